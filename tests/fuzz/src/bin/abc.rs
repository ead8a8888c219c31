#![no_main]

use compline_fuzz::tune_holds;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| tune_holds("abc", bytes));
