//! Charts, with everything done to them.

#![no_main]

use compline_fuzz::chart_holds;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| chart_holds(text));
