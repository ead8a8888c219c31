//! Chord symbols from outside: a table to read by eye, real spellings, and properties.

use std::collections::BTreeSet;

use compline::chord::{Chord, Symbol};
use compline::pitch::{Interval, Letter, Name, Semitones};
use proptest::prelude::*;

use crate::data::data;

/// Symbol, family, tones (`!`: named), the bass, and `*` where the chord has a note on its reading.
///
/// Held by eye against MusicXML 4.0's kinds, the Harte shorthands and the ambiguities collected from
/// textbooks; the goldens hold it against them by machine.
const TABLE: &str = "\
C | Major | 1 3! 5
CM | Major | 1 3! 5
Cmaj | Major | 1 3! 5
CMA | Major | 1 3! 5
C5 | Power | 1 5!
C(#11) | Major | 1 3! 5 #11! *
Cadd9 | Major | 1 3! 5 9!
C2 | Major | 1 3! 5 9! *
C/2 | Major | 1 3! 5 9! *
C4 | Suspended | 1 4! 5 *
Cadd4 | Major | 1 3! 5 11!
Cno3 | Power | 1 5
C-5 | Major | 1 3! b5!
Cm | Minor | 1 b3! 5
C- | Minor | 1 b3! 5
CMI | Minor | 1 b3! 5
C minor | Minor | 1 b3! 5
Cm(add9) | Minor | 1 b3! 5 9!
Cmb6 | Minor | 1 b3! 5 b13!
C5(b3)(b7) | Minor | 1 b3! 5! b7!
C6 | Major | 1 3! 5 6!
C69 | Major | 1 3! 5 6! 9!
C6/9 | Major | 1 3! 5 6! 9!
Cm6 | Minor | 1 b3! 5 6!
Cm6/9 | Minor | 1 b3! 5 6! 9!
C6add9 | Major | 1 3! 5 6! 9!
C6(b7) | Dominant | 1 3! 5 b7! 13!
Cmaj7 | Major | 1 3! 5 7!
CΔ | Major | 1 3! 5 7! *
C∆7 | Major | 1 3! 5 7!
C^9 | Major | 1 3! 5 7! 9!
C7M | Major | 1 3! 5 7!
CMaj9 | Major | 1 3! 5 7! 9!
Cmaj11 | Major | 1 3! 5 7! 9 11! *
Cmaj13 | Major | 1 3! 5 7! 9 13!
Cmaj7#11 | Major | 1 3! 5 7! #11!
Cmaj7b5 | Major | 1 3! b5! 7!
Cma13(#11) | Major | 1 3! 5 7! 9 #11! 13!
C7 | Dominant | 1 3! 5 b7!
C9 | Dominant | 1 3! 5 b7! 9!
C11 | Suspended | 1 4! 5 b7! 9 *
C13 | Dominant | 1 3! 5 b7! 9 13!
C13#11 | Dominant | 1 3! 5 b7! 9 #11! 13!
C13b9 | Dominant | 1 3! 5 b7! b9! 13!
C7b9#9 | Dominant | 1 3! 5 b7! b9! #9!
C7(9)(13) | Dominant | 1 3! 5 b7! 9! 13!
C7/b9 | Dominant | 1 3! 5 b7! b9!
C7b5 | Dominant | 1 3! b5! b7!
C7-5 | Dominant | 1 3! b5! b7!
C7#5 | Dominant | 1 3! #5! b7!
C7+ | Dominant | 1 3! #5! b7! *
C+7 | Dominant | 1 3! #5! b7! *
C7alt | Dominant | 1 3! b7! b9! #9! #11! b13!
Calt | Dominant | 1 3! b7! b9! #9! #11! b13!
C7(b5,#5,b9,#9) | Dominant | 1 3! b5! #5! b7! b9! #9!
C13no9no11 | Dominant | 1 3! 5 b7! 13!
C7add13 | Dominant | 1 3! 5 b7! 13!
C7(4) | Suspended | 1 4! 5 b7! *
C7(4)(9) | Suspended | 1 4! 5 b7! 9! *
C7/4 | Suspended | 1 4! 5 b7! *
C7(4/9) | Suspended | 1 4! 5 b7! 9! *
C7(11) | Dominant | 1 3! 5 b7! 11!
Cm7(4) | Minor | 1 b3! 5 b7! 11!
C7(b9/13) | Dominant | 1 3! 5 b7! b9! 13!
C7addb5 | Dominant | 1 3! b5! 5 b7!
C(b9) | Dominant | 1 3! 5 b9! *
C(#9) | Dominant | 1 3! 5 #9! *
Cm7 | Minor | 1 b3! 5 b7!
C-7 | Minor | 1 b3! 5 b7!
Cm9 | Minor | 1 b3! 5 b7! 9!
Cm11 | Minor | 1 b3! 5 b7! 9 11!
Cm13 | Minor | 1 b3! 5 b7! 9 11 13!
Cmi11(b5,no3) | Power | 1 b5! b7! 9 11!
Cm7#5 | Minor | 1 b3! #5! b7!
CmM7 | Minor | 1 b3! 5 7!
Cm(maj7) | Minor | 1 b3! 5 7!
C-Δ7 | Minor | 1 b3! 5 7!
Cm#7 | Minor | 1 b3! 5 7!
CminMaj9#11 | Minor | 1 b3! 5 7! 9! #11!
CmiΔ13 | Minor | 1 b3! 5 7! 9 11 13!
Cm(+7) | Minor | 1 b3! 5 7! *
Cdim | Diminished | 1 b3! b5!
C° | Diminished | 1 b3! b5! *
Co7 | Diminished | 1 b3! b5! bb7!
Cdim7(add ma7,11,b13) | Diminished | 1 b3! b5! bb7! 7! 11! b13!
CoM7 | Diminished | 1 b3! b5! 7!
Cø | HalfDiminished | 1 b3! b5! b7!
Cm7b5 | HalfDiminished | 1 b3! b5! b7!
Cm9b5 | HalfDiminished | 1 b3! b5! b7! 9!
C+ | Augmented | 1 3! #5!
Caug | Augmented | 1 3! #5!
Cmaj7#5 | Augmented | 1 3! #5! 7!
C+M7 | Augmented | 1 3! #5! 7!
Caug(b7) | Dominant | 1 3! #5! b7!
C+9 | Dominant | 1 3! #5! b7! 9!
Csus | Suspended | 1 4! 5
Csus2 | Suspended | 1 2! 5
Csus24 | Suspended | 1 2! 4! 5
C7sus | Suspended | 1 4! 5 b7!
C9sus | Suspended | 1 4! 5 b7! 9!
C13sus | Suspended | 1 4! 5 b7! 9 13!
C7SUS(b9) | Suspended | 1 4! 5 b7! b9!
Csus4(b7)(add9) | Suspended | 1 4! 5 b7! 9!
Csus47 | Suspended | 1 4! 5 b7!
Cmaj7sus | Suspended | 1 4! 5 7!
C7SUS(add 3) | Suspended | 1 3! 4! 5 b7!
C/E | Major | 1 3! 5 /E
D/f+ | Major | 1 3! 5 /F# *
C6/9/E | Major | 1 3! 5 6! 9! /E
D//C7 | Dominant | 1 3! 5 b7! 9! #11! 13!
(G7) | Dominant | 1 3! 5 b7! *
f# | Minor | 1 b3! 5 *
Hm7 | Minor | 1 b3! 5 b7! *
Gd | Diminished | 1 b3! b5! *
Fa7 | Dominant | 1 3! #5! b7! *
G/dim | Diminished | 1 b3! b5! *";

/// One line of the table.
fn line(symbol: &str) -> String {
    let chord = Chord::read(symbol).unwrap_or_else(|unread| panic!("{symbol}: {unread}"));
    let tones: Vec<String> = chord
        .tones()
        .iter()
        .map(|tone| format!("{}{}", tone.degree, if tone.named { "!" } else { "" }))
        .collect();
    let bass = chord
        .bass()
        .map_or(String::new(), |bass| format!(" /{bass}"));
    let note = if chord.reading().is_some() { " *" } else { "" };
    format!(
        "{symbol} | {:?} | {}{bass}{note}",
        chord.family(),
        tones.join(" ")
    )
}

/// The habit of one country's songbooks, after the root: the major seventh as `7M` in brackets.
const BRACKETED_MAJOR_SEVENTHS: [(&str, &str); 12] = [
    ("(7M)", "Major | 1 3! 5 7!"),
    ("(7M)(9)", "Major | 1 3! 5 7! 9!"),
    ("(7M/9)", "Major | 1 3! 5 7! 9!"),
    ("(7M)(#11)", "Major | 1 3! 5 7! #11!"),
    ("(#5)(7M)", "Augmented | 1 3! #5! 7!"),
    ("6(7M)(9)", "Major | 1 3! 5 7! 9! 13!"),
    ("m(7M)", "Minor | 1 b3! 5 7!"),
    ("m(7M)(9)", "Minor | 1 b3! 5 7! 9!"),
    ("m6(7M)", "Minor | 1 b3! 5 7! 13!"),
    ("m6/7M", "Minor | 1 b3! 5 7! 13!"),
    ("dim(7M)", "Diminished | 1 b3! b5! 7!"),
    ("o(7M)", "Diminished | 1 b3! b5! 7! *"),
];

#[test]
fn the_major_seventh_in_brackets_is_read_on_every_root() {
    for letter in Letter::ALL {
        for alter in -1..=1 {
            let root = Name::new(letter, alter).unwrap();
            for (suffix, expected) in BRACKETED_MAJOR_SEVENTHS {
                let symbol = format!("{root}{suffix}");
                assert_eq!(line(&symbol), format!("{symbol} | {expected}"));
            }
        }
    }
    assert_eq!(
        line("Cm6(7M)/Eb"),
        "Cm6(7M)/Eb | Minor | 1 b3! 5 7! 13! /Eb"
    );
}

#[test]
fn degrees_that_name_one_key_are_one_tone() {
    for (symbol, tones) in [
        ("Cdim7(#5,b13,#9)no3", "Power | 1 b5! #5! bb7! #9!"),
        ("Cdim7(add#11,9)", "Diminished | 1 b3! b5! bb7! 9!"),
        (
            "C7(b5b5,#5,b9,b9,#9,b9,b9,b03)",
            "HalfDiminished | 1 b3! b5! #5! b7! b9!",
        ),
        ("C7#5b13", "Dominant | 1 3! #5! b7!"),
        ("Cm7(#9)", "Minor | 1 b3! 5 b7!"),
        ("Cdim7(13)", "Diminished | 1 b3! b5! bb7!"),
        ("C//Cm7b5", "HalfDiminished | 1 b3! b5! 5 b7! b11!"),
        // A fifth or a root that the upper chord has too is no more named than before.
        ("G//C7", "Dominant | 1 3! 5 b7! 7! 9!"),
        ("Em//Cmaj7", "Major | 1 3! 5 7!"),
    ] {
        assert_eq!(line(symbol), format!("{symbol} | {tones}"));
    }
}

/// What every change makes of every kind of chord, or what was expected in its place. Read before it was
/// accepted.
#[test]
fn every_change_makes_of_a_chord_what_the_table_says() {
    let stems = [
        "C", "Cm", "C6", "Cmaj7", "C7", "Cm7", "CmMaj7", "C9", "C11", "Cmaj11", "C13", "Cm13",
        "Csus", "C7sus", "Cdim", "Cdim7", "Cm7b5", "C+", "C5", "Calt",
    ];
    let changes = [
        "sus", "sus2", "sus4", "b3", "b5", "#5", "b6", "b7", "maj7", "maj9", "+7", "2", "4", "6",
        "7", "9", "b9", "#9", "11", "#11", "13", "b13", "add2", "add3", "add4", "add5", "add6",
        "add7", "add9", "add11", "add13", "addb5", "addb9", "add#11", "no1", "no3", "no5", "no6",
        "no7", "no9", "no11", "no13", "alt", "b5,#5", "b9,#9", "#5,no5", "no3,sus",
    ];
    let mut table = String::new();
    for stem in stems {
        for change in changes {
            let symbol = format!("{stem}({change})");
            let read = match Chord::read(&symbol) {
                Ok(_) => line(&symbol),
                Err(unread) => format!(
                    "{symbol} - {} {}",
                    unread.expected,
                    unread.help.unwrap_or_default()
                ),
            };
            table += read.trim_end();
            table += "\n";
        }
    }
    insta::assert_snapshot!("changes", table);
}

#[test]
fn every_spelling_of_the_table_is_read_as_it_says() {
    for expected in TABLE.lines() {
        let (symbol, _) = expected.split_once(" | ").unwrap();
        assert_eq!(line(symbol), expected);
    }
}

/// Labels in the collection that are no chord symbols, by the mark that tells: not counted.
const NO_CHORD_MARKS: [(&str, &str); 4] = [
    ("<", "a library's own notation for MusicXML kinds"),
    ("[", "the same library's notation for changes to a kind"),
    ("{", "a Roman numeral: a function in a key"),
    ("/@", "a layout instruction of the source, glued to a chord"),
];

/// Further labels that are none, with the reason each.
const NO_CHORDS: [(&str, &str); 22] = [
    ("(a+)", "a bass note"),
    ("(e d+ d c+)", "a run of bass notes"),
    ("e d+ d c+", "a run of bass notes"),
    ("c d", "two bass notes"),
    ("g G", "a bass note and a chord"),
    ("C/(pl", "a cut-off playing instruction"),
    ("G/(pl", "a cut-off playing instruction"),
    ("C  drone", "an instruction"),
    ("C bass", "an instruction"),
    ("5A", "a fingering or a bar number before a chord"),
    (
        "C4|\\n",
        "a chord with the source's own bar line and line end",
    ),
    ("Cn", "cut off"),
    ("D/nF", "a bass in no known notation"),
    ("C (Em)", "two chords: one and its alternative"),
    ("Em (A)", "two chords: one and its alternative"),
    ("Em (C)", "two chords: one and its alternative"),
    ("G (A7)", "two chords: one and its alternative"),
    ("Dm G7", "two chords"),
    ("G  C", "two chords"),
    ("CIt+6", "the Italian sixth: a function in a key"),
    ("CN6", "the Neapolitan sixth: a function in a key"),
    ("FTristan", "one chord of one opera"),
];

/// Chords that are refused all the same.
const REFUSED: [(&str, &str); 4] = [
    ("(D", "a bracket is left open"),
    ("A7)", "a bracket is closed that wasn't opened"),
    ("C64", "figured bass, not a symbol for players"),
    ("G)", "a bracket is closed that wasn't opened"),
];

fn is_no_chord(label: &str) -> bool {
    NO_CHORD_MARKS.iter().any(|(mark, _)| label.contains(mark))
        || NO_CHORDS.iter().any(|(known, _)| *known == label)
}

#[test]
fn real_spellings_are_read() {
    let Some(path) = data("chord-spellings.tsv") else {
        return;
    };
    let text = std::fs::read_to_string(path).unwrap();
    let (mut read, mut all, mut refused) = (0u64, 0u64, Vec::new());
    for row in text.lines().skip(1) {
        let (label, count) = row.rsplit_once('\t').unwrap();
        let count: u64 = count.parse().unwrap();
        let symbol = Symbol::read(label);
        if is_no_chord(label) {
            assert!(
                symbol.is_err(),
                "{label} is listed as no chord, but is read"
            );
            continue;
        }
        all += count;
        match symbol {
            Ok(symbol) => {
                assert_eq!(symbol.text(), label);
                read += count;
            }
            Err(unread) => {
                eprintln!("refused: {label} ({count} times): {unread}");
                refused.push(label);
            }
        }
    }
    eprintln!("{read} of {all} chords are read");
    assert!(read * 1000 >= all * 995, "{read} of {all}");
    assert_eq!(refused, REFUSED.map(|(label, _)| label));
}

/// Two sevenths at once, which a mechanical rewriting left behind.
const TWO_SEVENTHS: &str = "maj7(b7)";

#[test]
fn every_symbol_of_the_annotated_charts_is_read() {
    let Some(folder) = data("charts-billboard") else {
        return;
    };
    let (mut read, mut refused) = (0u64, 0u64);
    for entry in std::fs::read_dir(folder).unwrap() {
        let text = std::fs::read_to_string(entry.unwrap().path()).unwrap();
        let bars = text.lines().filter(|line| line.starts_with('|'));
        let tokens = bars.flat_map(|line| line.split(['|', ' ', ':']));
        for token in tokens.filter(|token| token.starts_with(char::is_alphabetic)) {
            match Symbol::read(token) {
                Ok(_) => read += 1,
                Err(unread) => {
                    assert!(token.contains(TWO_SEVENTHS), "{token}: {unread}");
                    refused += 1;
                }
            }
        }
    }
    eprintln!("{read} symbols read, {refused} with two sevenths refused");
    assert!(
        read > 100_000 && refused < 10,
        "{read} read, {refused} refused"
    );
}

/// What may follow a root, taken from the table.
fn suffixes() -> Vec<&'static str> {
    let symbols = TABLE.lines().filter_map(|line| line.split(" | ").next());
    symbols
        .filter_map(|symbol| symbol.strip_prefix('C'))
        .filter(|suffix| !suffix.contains('/') || suffix.contains("/9") && !suffix.contains("/E"))
        .collect()
}

fn name() -> impl Strategy<Value = Name> {
    let letter = proptest::sample::select(Letter::ALL.to_vec());
    (letter, -1i8..=1).prop_map(|(letter, alter)| Name::new(letter, alter).unwrap())
}

fn symbol() -> impl Strategy<Value = String> {
    let suffix = proptest::sample::select(suffixes());
    (name(), suffix, proptest::option::of(name())).prop_map(|(root, suffix, bass)| match bass {
        Some(bass) => format!("{root}{suffix}/{bass}"),
        None => format!("{root}{suffix}"),
    })
}

/// The intervals of the major and minor scales, up and down.
fn interval() -> impl Strategy<Value = Interval> {
    let up = [
        (1, 1),
        (1, 2),
        (2, 3),
        (2, 4),
        (3, 5),
        (3, 6),
        (4, 6),
        (4, 7),
        (5, 8),
        (5, 9),
        (6, 10),
        (6, 11),
    ];
    let both = up
        .into_iter()
        .flat_map(|(steps, semis)| [(steps, semis), (-steps, -semis)]);
    let all: Vec<Interval> = both
        .map(|(steps, semis)| Interval::new(steps, Semitones(semis)))
        .collect();
    proptest::sample::select(all)
}

/// Pieces of symbols, put together at random: far more of these get deep into the grammar than
/// random text does.
fn near_symbol() -> impl Strategy<Value = String> {
    let pieces = [
        "C", "Bb", "f#", "H", "m", "M", "maj", "min", "dim", "°", "ø", "+", "-", "aug", "sus",
        "alt", "dom", "add", "no", "omit", "2", "4", "5", "6", "7", "9", "11", "13", "b", "#", "♭",
        "(", ")", ",", " ", "/", "//", "Δ", "é", "<", "1/2dim", "64",
    ];
    proptest::collection::vec(proptest::sample::select(pieces.to_vec()), 0..10)
        .prop_map(|pieces| pieces.concat())
}

/// Reads a text, asks everything of what was read, and checks what holds for any text.
fn exercise(text: &str) {
    match Symbol::read(text) {
        Ok(Symbol::Chord(chord)) => {
            assert_eq!(chord.symbol(), text);
            assert!(chord.tones().is_sorted_by_key(|tone| tone.degree.number()));
            let keys: BTreeSet<u8> = chord.tones().iter().map(|t| t.degree.class()).collect();
            assert_eq!(keys.len(), chord.tones().len(), "{text}");
            assert!(!chord.tones().is_empty());
            for degree in chord
                .tensions()
                .into_iter()
                .chain(chord.avoid())
                .chain(chord.extensions())
            {
                assert!(chord.spell(degree).alter().abs() <= 2);
            }
        }
        Ok(Symbol::NoChord) => {}
        Err(unread) => {
            assert!(
                text.get(unread.span.clone()).is_some(),
                "{text}: {:?}",
                unread.span
            );
            assert!(!unread.expected.is_empty());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn no_text_makes_the_reader_panic(text in any::<String>(), near in near_symbol()) {
        exercise(&text);
        exercise(&near);
    }

    #[test]
    fn transposing_keeps_every_degree(symbol in symbol(), by in interval()) {
        let chord = Chord::read(&symbol).unwrap();
        let moved = chord.transposed(by).unwrap();
        prop_assert_eq!(moved.tones(), chord.tones());
        prop_assert_eq!(moved.family(), chord.family());
        prop_assert_eq!(moved.reading(), chord.reading());
        prop_assert_eq!(moved.root().class(), chord.root().class().plus(by.semitones()));
        let bass = chord.bass().map(|bass| bass.class().plus(by.semitones()));
        prop_assert_eq!(moved.bass().map(Name::class), bass);
    }

    #[test]
    fn transposing_there_and_back_gives_the_same_chord(symbol in symbol(), by in interval()) {
        let chord = Chord::read(&symbol).unwrap();
        let back = Interval::new(-by.steps(), Semitones(-by.semitones().0));
        let moved = chord.transposed(by).unwrap();
        let returned = moved.transposed(back).unwrap();
        let exact = |name: Name| name.plus(by).is_some_and(|name| name.alter().abs() < 2);
        if exact(chord.root()) && chord.bass().is_none_or(exact) {
            prop_assert_eq!(&returned, &chord);
        }
        prop_assert_eq!(returned.tones(), chord.tones());
        prop_assert_eq!(returned.root().class(), chord.root().class());
    }
}
