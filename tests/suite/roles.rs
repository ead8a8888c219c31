//! What every kind of chord does on every degree of a key, before every chord it may go on to.
//!
//! The table in the snapshot is read like this: a chord in C or in C minor, then its readings, each with the
//! next chords before which it holds; the one that holds most often comes first and stands for the rest. A
//! reading is numeral, function and goal, and the scale.

use std::collections::BTreeMap;

use compline::chord::Chord;
use compline::harmony::{Analysis, analyses};
use compline::pitch::{Interval, Key};

/// Twelve tonics, as tunes in those keys are usually written.
const TONICS: [&str; 12] = [
    "C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B",
];

/// A chord of each kind that harmony tells apart.
const KINDS: [&str; 13] = [
    "", "maj7", "6", "7", "9sus", "sus", "m7", "m6", "m7b5", "dim7", "+", "maj7#5", "5",
];

/// What may come next: a chord of each kind that a cadence hears.
const NEXT: [&str; 4] = ["maj7", "7", "m7", "m7b5"];

fn key(text: &str) -> Key {
    text.parse().unwrap()
}

fn on(tonic: &str, suffix: &str) -> Chord {
    Chord::read(&format!("{tonic}{suffix}")).unwrap()
}

/// The reading of a chord in words.
fn reading(chord: &Chord, region: Key, next: Option<&Chord>) -> String {
    let analysis = Analysis::of(chord, region, next);
    let blues = if analysis.context.blues {
        ", blues"
    } else {
        ""
    };
    format!("{analysis}, {}{blues}", analysis.context.scale)
}

/// The readings of a chord, each with the chords before which it holds.
fn row(chord: &Chord, region: Key) -> String {
    let mut readings: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let nothing = reading(chord, region, None);
    readings
        .entry(nothing)
        .or_default()
        .push("nothing".to_owned());
    for next in TONICS
        .iter()
        .flat_map(|tonic| NEXT.map(|suffix| on(tonic, suffix)))
    {
        let before = readings
            .entry(reading(chord, region, Some(&next)))
            .or_default();
        before.push(next.symbol().to_owned());
    }
    let mut readings: Vec<_> = readings.into_iter().collect();
    readings.sort_by_key(|(_, before)| std::cmp::Reverse(before.len()));
    let mut told = readings
        .into_iter()
        .map(|(reading, before)| (reading, before.join(" ")));
    let usual = told.next().map_or_else(String::new, |(reading, _)| reading);
    let others = told.map(|(reading, before)| format!("\n    {reading} | {before}"));
    usual + &others.collect::<String>()
}

#[test]
fn every_chord_on_every_degree_is_read_as_the_table_says() {
    let mut table = String::new();
    for home in ["C", "Cm"] {
        for (tonic, suffix) in TONICS
            .iter()
            .flat_map(|tonic| KINDS.map(|kind| (tonic, kind)))
        {
            let chord = on(tonic, suffix);
            table += &format!("{home} {}: {}\n", chord.symbol(), row(&chord, key(home)));
        }
    }
    insta::assert_snapshot!("roles", table);
}

#[test]
fn every_key_reads_its_chords_alike() {
    for (tonic, suffix) in TONICS
        .iter()
        .flat_map(|tonic| KINDS.map(|kind| (tonic, kind)))
    {
        let (chord, next) = (on(tonic, suffix), on("F", "7"));
        let [home, moved] = [key("C"), key("E")];
        let up = Interval::between(home.tonic(), moved.tonic());
        let there = [&chord, &next].map(|chord| chord.transposed(up).unwrap());
        let (here, there) = (
            Analysis::of(&chord, home, Some(&next)),
            Analysis::of(&there[0], moved, Some(&there[1])),
        );
        assert_eq!(
            (here.function, here.context.scale),
            (there.function, there.context.scale)
        );
    }
}

/// Rows of chords that leave open where they belong: which key each chord is heard in, no key being given.
#[test]
fn rows_without_a_key_are_heard_as_the_table_says() {
    let rows = [
        "C F",
        "F C",
        "C G",
        "G C",
        "Am F",
        "Am F C G",
        "C Am F G",
        "F G Am",
        "G F C",
        "Dm7 G7",
        "Dm7 G7 Cmaj7 Am7",
        "Fmaj7 Em7 Dm7 Cmaj7",
        "Am7 D7 Gmaj7 Cmaj7 F#m7b5 B7 Em6",
        "Cmaj7 Ebmaj7 Abmaj7 Dbmaj7",
        "C7 F7 G7",
        "Em7 A7 Dm7 G7",
        "Cmaj7 Dm7 G7 Cmaj7 Am7 D7 Gmaj7",
        "Gmaj7 Am7 D7 Gmaj7 Dm7 G7 Cmaj7",
        "Cm Fm7 Bb7 Ebmaj7",
        "Ebmaj7 Fm7 Dm7b5 G7 Cm6",
        "Dm7 Em7 Fmaj7 G7",
        "Cmaj7 Fmaj7 Cmaj7 Fmaj7",
        "Dm7 Am7 Dm7 Am7",
        "Bbmaj7 Ebmaj7 Fmaj7",
        "C E7 Am C7 F",
        "G7 C7 F7 Bb7",
        "Am7 Dm7 Am7 E7",
        "C D7 F C",
        "Am G F E",
        "E F G Am",
        "Cmaj7 Bm7 E7 Am7 Gm7 C7 Fmaj7 Fm7 Bb7 Cmaj7",
        "Fm7 Bb7 Ebmaj7 Am7 D7 Gmaj7 Cm7 F7 Bbmaj7",
        "Dmaj7 Fmaj7 Dmaj7 Fmaj7",
        "Em Am Em B7 Em",
        "G D Em C",
        "C G Am Em F C F G",
    ];
    let mut table = String::new();
    for row in rows {
        let chords: Vec<Chord> = row
            .split(' ')
            .map(|symbol| Chord::read(symbol).unwrap())
            .collect();
        let slots: Vec<Option<&Chord>> = chords.iter().map(Some).collect();
        for looped in [false, true] {
            let found = analyses(&slots, None, looped);
            let keys = found.iter().map(|one| {
                one.as_ref()
                    .map_or("-".to_owned(), |one| one.region.to_string())
            });
            let looped = if looped { ", round and round" } else { "" };
            table += &format!("{row}{looped}: {}\n", keys.collect::<Vec<_>>().join(" "));
        }
    }
    insta::assert_snapshot!("regions", table);
}
