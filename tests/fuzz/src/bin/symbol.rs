//! Chord symbols: what is one alone is one in a chart, and is called the same.

#![no_main]

use compline::chart;
use compline::chord::Chord;
use compline_fuzz::{Share, pieced};
use libfuzzer_sys::fuzz_target;

/// What symbols are made of.
const PIECES: &[&str] = &[
    "A", "B", "C", "D", "E", "F", "G", "#", "b", "m", "maj", "min", "dim", "aug", "sus", "add",
    "no", "omit", "alt", "6", "7", "9", "11", "13", "b5", "#5", "b9", "#9", "#11", "b13", "2", "3",
    "4", "5", "/", "//", "(", ")", ",", "-", "+", "o", "ø", "Δ", "°", "♭", "♯", "69", "M", "7M",
];

static READ: Share = Share::of("symbols");

fuzz_target!(|bytes: &[u8]| {
    let text = pieced(bytes, PIECES);
    let text = text.as_ref();
    let chord = Chord::read(text);
    READ.count(chord.is_ok());
    let Ok(chord) = chord else {
        return;
    };
    let again = Chord::read(chord.symbol()).expect("what a chord is called is a symbol");
    assert_eq!(again, chord);
    assert!(!chord.tones().is_empty());
    // A bar line or a comment ends a symbol that stands in a chart.
    if !text.contains(char::is_whitespace) && !text.contains(['|', ';']) {
        let page = chart::read(&format!("| {text} |\n"));
        assert!(page.is_ok(), "{page:?}");
    }
});
