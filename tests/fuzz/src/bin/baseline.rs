//! Records of known findings: one that is read says how many of them are gone.

#![no_main]

// Records are read by the program, not by the library.
#[allow(dead_code)]
#[path = "../../../../src/cli/mod.rs"]
mod cli;

use std::collections::BTreeMap;
use std::path::Path;

use cli::check::record::{ChartName, Counts, Known};
use compline_fuzz::{Share, pieced};
use libfuzzer_sys::fuzz_target;

/// What records are made of.
const PIECES: &[&str] = &[
    "{\"format\": \"compline-known\", \"version\": 1, \"findings\": [",
    "{\"chart\":\"a.chart\",\"rule\":\"muddy\",\"section\":\"A\",\"symbol\":\"Cm7\",\"notes\":\"Eb2.G2.Bb2.D3\",\"count\":1}",
    "{\"chart\":\"b.json#Fog\",\"rule\":\"muddy\",\"section\":\"\",\"symbol\":\"\",\"notes\":\"\",\"count\":18446744073709551615}",
    "]}\n",
    ",",
    "{",
    "}",
    "[",
    "]",
    "\"chart\":",
    "\"rule\":",
    "\"count\":",
    "1",
    "-1",
    "1e9",
    "null",
    "\"",
    "\\u0000",
    "\"format\": \"compline-known\"",
    "\"version\": 1",
    "\"findings\": []",
    " ",
    "\n",
    "..",
    "/",
    "#",
];

static READ: Share = Share::of("records");

fuzz_target!(|bytes: &[u8]| {
    let text = pieced(bytes, PIECES);
    let read = Known::of(Path::new("/no/such/folder/known.json"), &text);
    READ.count(read.is_ok());
    match read {
        Ok(known) => {
            // A chart that is checked and clean has lost everything, one that is not there at most that.
            let name = ChartName::of(Some(Path::new("/no/such/folder/a.chart")), None);
            let clean = BTreeMap::from([(name, Counts::new())]);
            assert!(known.gone(&clean) >= known.gone(&BTreeMap::new()));
        }
        Err(why) => assert!(why.to_string().contains("known.json")),
    }
});
