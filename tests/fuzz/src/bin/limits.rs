//! Tables of limits from a file.

#![no_main]

use compline::hand::LimitTable;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| match LimitTable::read(text) {
    Ok(table) => assert!(table.rows().count() > 0),
    Err(mistakes) => assert!(!mistakes.is_empty()),
});
