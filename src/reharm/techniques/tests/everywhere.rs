//! Every technique before every kind of chord on every degree of a major key and a minor one.
//!
//! The passages are four chords, a bar or half a bar each: something before, a chord of each kind on each of
//! the twelve degrees, a chord of three kinds on each, and something after; every second one of them is asked
//! about. To them come longer rows, moved to each of the twelve degrees. There are too many ideas to print,
//! so the snapshot has for each technique and key how many ideas it has for the chord on each of the twelve
//! degrees, and a digest of all of them with their reasons. `COMPLINE_TABLES=FOLDER` writes them out, a file a
//! technique, to be compared with those of another commit.

use std::fmt::Write;
use std::ops::Range;

use super::super::TECHNIQUES;
use crate::chart::Beats;
use crate::chord::Chord;
use crate::harmony::{Passage, Spot};
use crate::pitch::{Interval, Key};
use crate::reharm::techniques::{Idea, Technique};

const ROOTS: [&str; 12] = [
    "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
];

/// What stands before the chord, and what after the next one; nothing at all in the last place.
const BEFORE: [&str; 5] = ["Dm7", "C", "G7", "Am7", "Cm"];
const AFTER: [&str; 7] = ["Cmaj7", "Cm", "Cmaj7", "G7", "Cm", "Dm7", ""];

/// Longer rows, to be moved to every degree.
const ROWS: [&str; 14] = [
    "Dm7 G7 Cmaj7 Cmaj7",
    "Fmaj7 G7 C6 Am7",
    "Dm7b5 G7 Cm6 Cm6",
    "Cmaj7 Cmaj7 Cmaj7 Cmaj7",
    "Cm Cm Cm Cm Fm",
    "C C C7 F Fm C",
    "Dm7 Dm7 G7 G7 Cmaj7 Cmaj7",
    "Cmaj7 Am7 Dm7 G7 Em7 A7 Dm7 G7",
    "C G/B Am Am/G F C/E Dm7 G7",
    "Cmaj7 Ebmaj7 Abmaj7 Dbmaj7",
    "Em7 A7 Dm7 G7 Cmaj7",
    "Cm7 Fm7 Bb7 Ebmaj7 Abmaj7 Dm7b5 G7 Cm",
    "C7 F7 C7 C7 F7 F7",
    "Dm7/G Dm7/G G7sus G7 C F/C C",
];

fn chords(kinds: &[&str]) -> Vec<Chord> {
    let all = ROOTS
        .iter()
        .flat_map(|root| kinds.iter().map(move |kind| format!("{root}{kind}")));
    all.map(|symbol| Chord::read(&symbol).unwrap()).collect()
}

fn read(symbols: &[&str]) -> Vec<Option<Chord>> {
    symbols
        .iter()
        .map(|symbol| Chord::read(symbol).ok())
        .collect()
}

/// The chords in a row, a bar each or two in a bar.
fn spots<'a>(chords: impl IntoIterator<Item = &'a Chord>, key: Key, beats: i64) -> Vec<Spot<'a>> {
    let spot = |(at, chord)| {
        let place = at as i64 * beats;
        Spot {
            chord,
            key: Some(key),
            bar: 1 + (place / 4) as usize,
            beat: Beats::whole(1 + place % 4),
            beats: Beats::whole(beats),
            bar_beats: Beats::whole(4),
            melody_notes: &[],
        }
    };
    chords.into_iter().enumerate().map(spot).collect()
}

fn told(idea: &Idea) -> String {
    let mut text = format!("  {:?}", idea.spots);
    for wanted in &idea.chords {
        let only = wanted
            .only
            .map_or(String::new(), |only| format!(" under {only:?}"));
        write!(text, " {}:{}{only}", wanted.plainest(), wanted.beats).unwrap();
    }
    format!("{text} because {}\n", idea.reason)
}

/// FNV-1a, 64 bits: so that the figure is the same on every machine.
fn digest(text: &str) -> u64 {
    let add = |sum: u64, byte: u8| (sum ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
    text.bytes().fold(0xcbf2_9ce4_8422_2325, add)
}

/// A row of chords and what to ask of it.
#[derive(Clone)]
struct Row {
    chords: Vec<Chord>,
    /// The chord after the row.
    next: Option<Chord>,
    beats: i64,
    /// The chords from which ideas may begin.
    asked: Range<usize>,
    /// The degree of what the row is about.
    degree: usize,
}

/// Every second pair of chords, with something before and after it.
fn pairs() -> Vec<Row> {
    let firsts = chords(&["", "maj7", "7", "m7", "m7b5", "dim7", "7sus"]);
    let seconds = chords(&["maj7", "7", "m7"]);
    let (before, after) = (read(&BEFORE), read(&AFTER));
    let mut rows = Vec::new();
    for (x, first) in firsts.iter().enumerate() {
        for (y, second) in seconds.iter().enumerate().skip(x % 2).step_by(2) {
            let round = x * seconds.len() + y;
            let before = before[round % BEFORE.len()].as_ref();
            let after = after[round % AFTER.len()].as_ref();
            let row = [before, Some(first), Some(second), after];
            rows.push(Row {
                chords: row.into_iter().flatten().cloned().collect(),
                next: None,
                beats: if round.is_multiple_of(3) { 2 } else { 4 },
                asked: 1..2,
                degree: x / 7,
            });
        }
    }
    rows
}

/// The longer rows on every degree, a bar and half a bar a chord.
fn moved_rows() -> Vec<Row> {
    let mut rows = Vec::new();
    for row in ROWS {
        let row = row.split(' ').map(|symbol| Chord::read(symbol).unwrap());
        let row: Vec<Chord> = row.collect();
        for (degree, root) in ROOTS.iter().enumerate() {
            let up = Interval::between("C".parse().unwrap(), root.parse().unwrap());
            let moved = row.iter().map(|chord| chord.transposed(up).unwrap());
            let chords: Vec<Chord> = moved.collect();
            rows.extend([2, 4].map(|beats| Row {
                chords: chords.clone(),
                next: chords.first().filter(|_| beats == 4).cloned(),
                beats,
                asked: 0..chords.len(),
                degree,
            }));
        }
    }
    rows
}

/// What a technique thinks of, and how many ideas there are by degree.
fn ideas(rows: &[Row], technique: &Technique, key: Key) -> (String, [usize; 12]) {
    let (mut text, mut counts) = (String::new(), [0; 12]);
    for row in rows {
        let spots = spots(&row.chords, key, row.beats);
        let passage = Passage {
            spots: &spots,
            next: row.next.as_ref(),
        };
        let found = row.asked.clone().map(|at| (technique.find)(&passage, at));
        let found: Vec<Idea> = found.flatten().collect();
        if found.is_empty() {
            continue;
        }
        counts[row.degree] += found.len();
        for chord in &row.chords {
            text += &format!("{} ", chord.symbol());
        }
        writeln!(text, "{} each", row.beats).unwrap();
        found.iter().for_each(|idea| text += &told(idea));
    }
    (text, counts)
}

#[test]
fn every_technique_has_its_ideas_on_record() {
    let folder = std::env::var_os("COMPLINE_TABLES").map(std::path::PathBuf::from);
    let rows = [pairs(), moved_rows()].concat();
    let mut table = String::new();
    for technique in TECHNIQUES {
        for home in ["C", "Cm"] {
            let (text, counts) = ideas(&rows, technique, home.parse().unwrap());
            if let Some(folder) = &folder {
                std::fs::write(folder.join(format!("{}-{home}", technique.name)), &text).unwrap();
            }
            let counts = counts.map(|count| count.to_string()).join(" ");
            writeln!(
                table,
                "{} {home}: {counts} | {:016x}",
                technique.name,
                digest(&text)
            )
            .unwrap();
        }
    }
    insta::assert_snapshot!("everywhere", table);
}
