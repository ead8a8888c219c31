//! Records of known findings: one that is read says how many of them are gone.

#![no_main]

// Records are read by the program, not by the library.
#[allow(dead_code)]
#[path = "../../../../src/cli/mod.rs"]
mod cli;

use std::collections::BTreeSet;
use std::path::Path;

use cli::check::record::{ChartName, Known};
use compline_fuzz::{Share, pieced};
use libfuzzer_sys::fuzz_target;

/// What records are made of.
const PIECES: &[&str] = &[
    "{\"format\": \"compline-known\", \"version\": 1, \"findings\": [",
    "{\"chart\":\"a.chart\",\"rule\":\"muddy\",\"section\":\"A\",\"symbol\":\"Cm7\",\"notes\":\"Eb2.G2.Bb2.D3\",\"count\":1}",
    "{\"chart\":\"b.json#Fog\",\"rule\":\"muddy\",\"section\":\"\",\"symbol\":\"\",\"notes\":\"\",\"count\":18446744073709551615}",
    "]}\n", ",", "{", "}", "[", "]", "\"chart\":", "\"rule\":", "\"count\":", "1", "-1", "1e9", "null", "\"", "\\u0000",
    "\"format\": \"compline-known\"", "\"version\": 1", "\"findings\": []", " ", "\n", "..", "/", "#",
];

static READ: Share = Share::of("records");

fuzz_target!(|bytes: &[u8]| {
    let text = pieced(bytes, PIECES);
    let read = Known::of(Path::new("/no/such/folder/known.json"), &text);
    READ.count(read.is_ok());
    match read {
        Ok(known) => {
            let here = known.mark(&ChartName::of(Some(Path::new("a.chart")), None), &mut []);
            // No file of the record is there.
            assert!(known.gone(&BTreeSet::new()) >= here);
        }
        Err(why) => assert!(why.to_string().contains("known.json")),
    }
});
