//! No file that a run reads is written over by it, and no two results become one file: told before anything
//! is written.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use crate::check_charts::MUDDY;
use crate::program::folder;
use crate::typed::{TUNE, typed};

const ABC: &str = "X:1\nT:a\nK:C\n\"Dm7\"D4|\"G7\"G4|\n";

/// Every file below a folder, with what is in it.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut all = BTreeMap::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        match path.is_dir() {
            true => all.extend(
                files(&path)
                    .into_iter()
                    .map(|(inner, bytes)| (format!("{name}/{inner}"), bytes)),
            ),
            false => drop(all.insert(name, fs::read(&path).unwrap())),
        }
    }
    all
}

/// Lines that would write over what they read, or twice to one file, with what is said of it.
const REFUSED: &[(&str, &str)] = &[
    (
        "convert s.abc --report s.abc",
        "s.abc would overwrite s.abc, which is read",
    ),
    (
        "convert d -o out --report d/x.abc",
        "d/x.abc would overwrite d/x.abc, which is read",
    ),
    (
        "convert d -o out --report d/../link.abc",
        "would overwrite d/x.abc, which is read",
    ),
    (
        "convert a.chart --report a.chart",
        "a.chart would overwrite a.chart, which is read",
    ),
    (
        "convert - --stdin-as s.abc --report s.abc < s.abc",
        "would overwrite s.abc, which is read",
    ),
    (
        "convert - --stdin-as s.abc --report ./s.abc < d/x.abc",
        "would overwrite s.abc, which is read",
    ),
    (
        "convert s.abc -o z.chart --report z.chart",
        "s.abc and the report would both be written to z.chart",
    ),
    (
        "convert d -o out/ --report out/x.chart",
        "d/x.abc and the report would both be written to out/x.chart",
    ),
    (
        "voice one.set -o one.set",
        "one.set would overwrite one.set, which is read",
    ),
    (
        "voice n.set --to pdf -o p.pdf",
        "p.pdf would overwrite n.set, which is read",
    ),
    (
        "voice a.chart -o compline.toml",
        "compline.toml would overwrite compline.toml, which is read",
    ),
    (
        "voice a.chart -o new/compline.toml",
        "compline.toml is the name of settings files",
    ),
    (
        "voice a.chart --settings own.toml -o own.toml",
        "own.toml would overwrite own.toml, which is read",
    ),
    (
        "voice a.chart --limits lim.txt -o lim.txt",
        "lim.txt would overwrite lim.txt, which is read",
    ),
    (
        "voice lim.chart --limits lim-C.chart --key Eb,C -o .",
        "would overwrite lim-C.chart, which is read",
    ),
    (
        "drill a.chart --limits lim.txt -o lim.txt",
        "lim.txt would overwrite lim.txt, which is read",
    ),
    (
        "tidy a.chart -o compline.toml",
        "compline.toml would overwrite compline.toml, which is read",
    ),
    (
        "tidy - --stdin-as a.chart -o a.chart < b.chart",
        "a.chart would overwrite a.chart, which is read",
    ),
    (
        "reharm a.chart --changes 1 --limits lim.txt -o lim.txt",
        "lim.txt would overwrite lim.txt, which is read",
    ),
    (
        "reharm lim.chart --versions 2 --limits lim-2.chart -o .",
        "would overwrite lim-2.chart, which is read",
    ),
    (
        "check a.chart --mend --known k.json -o k.json",
        "k.json would overwrite k.json, which is read",
    ),
    (
        "check a.chart --mend --limits lim.txt -o lim.txt",
        "lim.txt would overwrite lim.txt, which is read",
    ),
    (
        "check n.set --record n.set",
        "n.set would overwrite n.set, which is read",
    ),
    (
        "check a.chart --limits lim.txt --record lim.txt",
        "lim.txt would overwrite lim.txt, which is read",
    ),
    (
        "check a.chart --record compline.toml",
        "compline.toml would overwrite compline.toml, which is read",
    ),
];

#[test]
fn nothing_that_is_read_is_written_over_and_nothing_is_written_twice() {
    let limits = "m3 C3\n";
    let scratch = folder(&[
        ("a.chart", TUNE),
        ("b.chart", TUNE),
        ("lim.chart", TUNE),
        ("muddy.chart", MUDDY),
        ("s.abc", ABC),
        ("d/x.abc", ABC),
        ("n.set", "a.chart\nb.chart\n"),
        ("one.set", "a.chart\n"),
        ("lim.txt", limits),
        ("lim-C.chart", limits),
        ("lim-2.chart", limits),
        ("own.toml", "low = \"D3\"\n"),
        ("compline.toml", "low = \"D3\"\n"),
        (
            "k.json",
            "{\"format\": \"compline-known\", \"version\": 1, \"findings\": []}\n",
        ),
    ]);
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink("d/x.abc", scratch.path().join("link.abc")).unwrap();
        std::os::unix::fs::symlink("n.set", scratch.path().join("p.pdf")).unwrap();
    }
    let before = files(scratch.path());
    for (line, told) in REFUSED {
        let ran = typed(&format!("compline {line}"), scratch.path());
        let err = String::from_utf8_lossy(&ran.stderr);
        assert_eq!(ran.status.code(), Some(2), "{line}: {err}");
        assert!(err.contains(told), "{line}: {err}");
        assert_eq!(files(scratch.path()), before, "{line}");
    }
}

#[test]
fn what_is_not_read_is_replaced_and_a_record_is_written_anew() {
    let scratch = folder(&[
        ("a.chart", TUNE),
        ("muddy.chart", MUDDY),
        ("s.abc", ABC),
        ("old.chart", "old"),
        ("old.json", "old"),
        (
            "known.json",
            "{\"format\": \"compline-known\", \"version\": 1, \"findings\": []}\n",
        ),
    ]);
    let before = files(scratch.path());
    for (line, written) in [
        ("voice a.chart -o old.chart", "old.chart"),
        ("convert s.abc -o s.chart --report old.json", "old.json"),
        (
            "check muddy.chart --known known.json --record known.json",
            "known.json",
        ),
    ] {
        let ran = typed(&format!("compline {line}"), scratch.path());
        let err = String::from_utf8_lossy(&ran.stderr);
        assert_eq!(ran.status.code(), Some(0), "{line}: {err}");
        assert_ne!(
            files(scratch.path()).get(written),
            before.get(written),
            "{line}"
        );
    }
}

#[test]
#[cfg(target_os = "linux")]
fn names_that_are_no_text_keep_their_bytes_whatever_is_made_of_them() {
    let scratch = folder(&[(
        "set.abc",
        "X:1\nT:a\nK:C\n\"Dm7\"D4|\n\nX:2\nT:b\nK:C\n\"G7\"G4|\n",
    )]);
    let made = r"
        mkdir in books
        for b in '\xff' '\xfe'; do
            printf 'key: C\n| Dm7 | G7 |\n' > in/bad$(printf $b).chart
            cp set.abc books/old.bad$(printf $b).abc
        done";
    assert_eq!(typed(made, scratch.path()).status.code(), Some(0));
    for (line, count, ends) in [
        ("voice in --key Eb,F -o keys", 4, "\\xfe-F.chart"),
        ("voice in --key all --to json -o all", 24, "\\xff-Gb.json"),
        ("voice in -o plain", 2, "\\xff.chart"),
        (
            "reharm in --versions 1 --changes 1 -o versions",
            2,
            "\\xfe-1.chart",
        ),
        ("convert books -o tunes", 4, "old.bad\\xff-2-b.chart"),
    ] {
        let listed = format!(
            "compline {line} -q > /dev/null && ls ${{PWD}}/{}",
            line.rsplit(' ').next().unwrap()
        );
        let ran = typed(&listed, scratch.path());
        let err = String::from_utf8_lossy(&ran.stderr);
        assert_eq!(ran.status.code(), Some(0), "{line}: {err}");
        let names = ran.stdout.escape_ascii().to_string();
        assert_eq!(names.matches("\\n").count(), count, "{line}: {names}");
        assert!(names.contains(ends), "{line}: {names}");
    }
}

#[test]
fn a_key_that_is_named_twice_is_one() {
    let scratch = folder(&[("a.chart", TUNE)]);
    let once = typed("compline voice a.chart --key Eb,F", scratch.path());
    let twice = typed("compline voice a.chart --key Eb,F,Eb,Eb", scratch.path());
    assert!(once.status.success() && once.stdout == twice.stdout);
}
