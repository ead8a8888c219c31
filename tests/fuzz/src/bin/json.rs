//! The JSON of a voiced chart: what is read is a chart that is read again.

#![no_main]

use compline::{chart, formats};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    if let Ok(voiced) = formats::read_voiced(text) {
        let tidy = voiced.chart.tidy();
        let again = chart::read(&tidy).expect("a chart from JSON is a chart");
        assert_eq!(again.tidy(), tidy);
        assert!(voiced.played.iter().all(|slot| *slot < again.slots().len()));
    }
});
