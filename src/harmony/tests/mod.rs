//! Harmony held against published tables and stock progressions, in every key.

mod modulations;
mod notes;
mod prices;
mod progressions;
mod regions;
mod scales;
pub mod sung;
mod tunes;

use super::{Analysis, analyses};
use crate::chord::Chord;
use crate::pitch::{Interval, Key, Mode, Name};

/// Twelve tonics, as tunes in those keys are usually written.
const TONICS: [&str; 12] = [
    "C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B",
];

fn key(text: &str) -> Option<Key> {
    text.parse().ok()
}

fn chords(symbols: &str) -> Vec<Chord> {
    let words = symbols.split_whitespace().filter(|word| *word != "|");
    words.map(|word| Chord::read(word).expect(word)).collect()
}

/// The symbols and the key a tune in C (or C minor) has on each of the twelve tonics.
fn everywhere(symbols: &str, home: &str) -> Vec<(Vec<Chord>, Option<Key>)> {
    let home = key(home);
    let from: Name = "C".parse().unwrap();
    let minor = home.is_some_and(|home| home.mode() == Mode::Minor);
    // No minor key has its signature on Db or Gb.
    let respelled = |tonic: &&'static str| match *tonic {
        "Db" if minor => "C#",
        "Gb" if minor => "F#",
        other => other,
    };
    TONICS
        .iter()
        .map(respelled)
        .map(|tonic| {
            let up = Interval::between(from, tonic.parse().unwrap());
            let moved = chords(symbols)
                .into_iter()
                .map(|c| c.transposed(up).unwrap());
            (moved.collect(), home.map(|home| home.plus(up).unwrap()))
        })
        .collect()
}

fn analysis(chords: &[Chord], key: Option<Key>) -> Vec<Analysis> {
    let row: Vec<Option<&Chord>> = chords.iter().map(Some).collect();
    let found = analyses(&row, key, false);
    found.into_iter().map(Option::unwrap).collect()
}

/// Asserts that the progression reads like this in every key, with the chart's key given.
fn reads(symbols: &str, home: &str, expected: &str) {
    for (chords, key) in everywhere(symbols, home) {
        let found = analysis(&chords, key);
        let shown: Vec<String> = found.iter().map(|s| s.numeral.to_string()).collect();
        assert_eq!(
            shown.join(" "),
            expected,
            "{symbols} in {}: {}",
            key.unwrap(),
            found[0].region
        );
    }
}

/// Asserts the functions, by name, in every key.
fn does(symbols: &str, home: &str, expected: &[&str]) {
    for (chords, key) in everywhere(symbols, home) {
        let found = analysis(&chords, key);
        let named = |s: &Analysis| match s.goal {
            Some(goal) => format!("{} of {goal}", s.function),
            None => s.function.to_string(),
        };
        let shown: Vec<String> = found.iter().map(named).collect();
        assert_eq!(shown, expected, "{symbols} in {}", key.unwrap());
    }
}
