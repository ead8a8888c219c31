//! Settings files: one that is read gives settings for every folder, or says that its range stands on its head.

#![no_main]

// Settings are read by the program, not by the library.
#[allow(dead_code)]
#[path = "../../../../src/cli/mod.rs"]
mod cli;

use std::path::Path;

use cli::settings::file::SettingsFile;
use compline_fuzz::{Share, pieced};
use libfuzzer_sys::fuzz_target;

/// Lines and words of settings files.
const PIECES: &[&str] = &[
    "low = \"C3\"\n",
    "high = \"A4\"\n",
    "low = 40\n",
    "high = 80\n",
    "reach = 12\n",
    "hand = \"200mm\"\n",
    "hand = \"150\"\n",
    "limits = \"series\"\n",
    "limits = \"none\"\n",
    "limits = \"own.txt\"\n",
    "count-bass = 2\n",
    "palette = [\"shell\", \"block\"]\n",
    "palette = \"rootless,quartal\"\n",
    "colour = \"altered\"\n",
    "spelling = \"strict\"\n",
    "ignore-melody = true\n",
    "loop = true\n",
    "leap = 7\n",
    "top = \"step\"\n",
    "fail-on = \"note\"\n",
    "known = \"known.json\"\n",
    "detour = 9\n",
    "restless = \"2+5\"\n",
    "[rules]\n",
    "muddy = \"error\"\n",
    "untidy = \"off\"\n",
    "[surcharges]\n",
    "register = 3\n",
    "floor = \"D3\"\n",
    "floor = 50\n",
    "plain = 0\n",
    "melody = 1000\n",
    "[reharm]\n",
    "strain = 4\n",
    "leads-on = 1\n",
    "of-a-kind = 3\n",
    "[folder.\"songs\"]\n",
    "[folder.\"songs/late\"]\n",
    "[folder.x.rules]\n",
    "rules.muddy = \"off\"\n",
    "surcharges.plain = 7\n",
    "# remark\n",
    "\n",
    "low",
    " = ",
    "\"",
    "'",
    "1",
    "-",
    ".",
    "[",
    "]",
    "{",
    "}",
    ",",
    "true",
];

static READ: Share = Share::of("settings files");

fuzz_target!(|bytes: &[u8]| {
    let text = pieced(bytes, PIECES);
    let read = SettingsFile::of(Path::new("/no/such/folder/compline.toml"), &text);
    READ.count(read.is_ok());
    match read {
        Ok(file) => {
            let own = file.for_folder(Some(Path::new(""))).in_force();
            assert!(
                own.is_ok(),
                "what stands on its head is a mistake in the file"
            );
            for folder in ["songs", "songs/late", "x"] {
                assert!(
                    file.for_folder(Some(Path::new(folder)))
                        .against(&file.for_folder(None))
                        .len()
                        < 64
                );
            }
        }
        Err(mistakes) => {
            assert!(!mistakes.is_empty());
            assert!(
                mistakes
                    .iter()
                    .all(|mistake| text.get(mistake.span.clone()).is_some())
            );
        }
    }
});
