//! Wishes for a place.

#![no_main]

use compline::chart::{Wish, read};
use compline_fuzz::{Share, pieced};
use libfuzzer_sys::fuzz_target;

/// What wishes are made of.
const PIECES: &[&str] = &[
    "?", "-", ",", "=", ".", "A", "B", "with=", "without=", "not=", "top=", "leap=", "held",
    "step", "free", "G3", "Bb3", "F#4", "E4", "3", "b7", "9", "13", "#11", "F3.A3.C4", "5", "12",
];

static READ: Share = Share::of("wishes");

fuzz_target!(|bytes: &[u8]| {
    let text = pieced(bytes, PIECES);
    let read_alone = text.parse::<Wish>().is_ok();
    READ.count(read_alone);
    let alone = !text.contains(char::is_whitespace) && !text.contains(['|', ';']);
    if alone && read_alone {
        // What is typed for a place may stand in a chart.
        let page = read(&format!("| Cm7 |\nlh | {text} |\n"));
        assert!(page.is_ok(), "{page:?}");
    }
});
