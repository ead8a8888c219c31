//! Chord symbols: what is one alone is one in a chart, and is called the same.

#![no_main]

use compline::chart;
use compline::chord::Chord;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let Ok(chord) = Chord::read(text) else {
        return;
    };
    let again = Chord::read(chord.symbol()).expect("what a chord is called is a symbol");
    assert_eq!(again, chord);
    assert!(!chord.tones().is_empty());
    if !text.contains(char::is_whitespace) {
        let page = chart::read(&format!("| {text} |\n"));
        assert!(page.is_ok(), "{page:?}");
    }
});
