//! Wishes for a place.

#![no_main]

use compline::chart::{Wish, read};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let alone = !text.contains(char::is_whitespace) && !text.contains(['|', ';']);
    if alone && text.parse::<Wish>().is_ok() {
        // What is typed for a place may stand in a chart.
        let page = read(&format!("| Cm7 |\nlh | {text} |\n"));
        assert!(page.is_ok(), "{page:?}");
    }
});
