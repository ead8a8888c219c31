//! Left hands that were printed: each is produced, and no plan moves more than the printed progression.
//!
//! Most of the sources are lesson pages, worked examples and no authorities.

use compline::arrange::{Cache, Settings, arrange};
use compline::chart;
use compline::chord::Chord;
use compline::hand::{Hand, LimitTable};
use compline::harmony::{HarmonicContext, Melody, Resolution, Scale};
use compline::pitch::{Interval, Name};
use compline::voicing::{self, Ask, Colour, SHAPES, SurchargeWeights, Voicing, candidates};

/// Symbols, what was printed for each from the lowest note up, and where.
const PRINTED: &[(&str, &str, &str)] = &[
    (
        "Dm7 G7 Cmaj7",
        "F A C E, F A B E, E G B D",
        "lesson page \"4 Note ii-V-I Left Hand Voicings\"",
    ),
    (
        "Dm7b5 G7(b9,b13) Cm6",
        "F Ab C D, F Ab B Eb, Eb G A D",
        "forum post with the formulas 3 b5 7 1, 7 b9 3 b13, 3 5 6 9, 2025",
    ),
    (
        "Dm7 G9",
        "F A C D, F A B D",
        "chart of named moves posted to a jazz piano forum",
    ),
    ("Dm7 G9b5", "F A C D, F A B Db", "the same chart"),
    ("Dm7 G9b13", "F A C D, F A B Eb", "the same chart"),
    ("Dm7 G7b9", "F A C D, F Ab B D", "the same chart"),
    ("Dm7 G7(b9,b5)", "F A C D, F Ab B Db", "the same chart"),
    ("Dm7 G7(b9,b13)", "F A C D, F Ab B Eb", "the same chart"),
    ("Cmaj9", "E G B D", "J. Kahn, \"Rootless Voicings\", 2010"),
    ("Am9", "C E G B", "J. Kahn, \"Rootless Voicings\", 2010"),
    ("C9", "E G Bb D", "J. Kahn, \"Rootless Voicings\", 2010"),
    ("C7b9", "E G Bb Db", "J. Kahn, \"Rootless Voicings\", 2010"),
    (
        "Am(maj9)",
        "C E G# B",
        "J. Kahn, \"Rootless Voicings\", 2010",
    ),
    (
        "A7alt",
        "C# F G C",
        "Funnell, \"maximizing the use of the common dominant shape\"",
    ),
    ("A7alt", "G C C# F", "Funnell, the other form"),
    ("Eb7", "G C Db F", "Funnell, the same shape as a 13"),
    ("Eb7", "Db F G C", "Funnell, the other form"),
    (
        "C7 C7b5 C7#5 C13",
        "Bb E G, Bb E Gb, Bb E G#, Bb E A",
        "T. Richards, spoken clip to Exploring Jazz Piano vol. 2, transcript 2018",
    ),
    (
        "C7b9 C7#9",
        "E Bb Db, E Bb D#",
        "T. Richards, the same clip",
    ),
    (
        "Cmaj9",
        "E B D",
        "W. Myette, \"Three-Note Rootless Chords\", 2021, transcript",
    ),
    (
        "Dm7 Cmaj7",
        "F A C, E G B",
        "lesson page \"ii7-V7-IM7: Chord Voicings: Triad over Root\"",
    ),
    ("Am7", "C E G", "Diana, \"Bouncin' With Bill E.\", 2012"),
    ("Gm7", "Bb D F", "Diana, \"Bouncin' With Bill E.\", 2012"),
    ("D7", "A C F#", "Diana, \"Bouncin' With Bill E.\", 2012"),
    (
        "C#dim7",
        "C# E G A",
        "M. Sabatella, A Jazz Improvisation Almanac, 2000, \"Diminished Chord Voicings\"",
    ),
    (
        "C#dim7",
        "C# E C",
        "M. Sabatella, the same page, three notes",
    ),
    ("Dm9", "F A C E", "lesson page \"Minor 9ths\""),
];

/// A hand that minds reach and low intervals no more than the page does.
fn free() -> Hand {
    Hand {
        range: "C2-C6".parse().unwrap(),
        limits: LimitTable::none(),
        ..Hand::default()
    }
}

fn settings(shape: &str, colour: Colour) -> voicing::VoicingSettings {
    voicing::VoicingSettings {
        hand: free(),
        palette: shape.parse().unwrap(),
        colour,
        surcharges: SurchargeWeights::NONE,
        spelling: None,
    }
}

/// The contexts that make a difference to a dominant.
fn contexts() -> impl Iterator<Item = HarmonicContext> {
    let ways = [
        (Resolution::FifthIntoMajor, Scale::Mixolydian),
        (Resolution::FifthIntoMinor, Scale::HarmonicMinorFifth),
        (Resolution::Elsewhere, Scale::Usual),
    ];
    ways.into_iter().flat_map(|(resolution, scale)| {
        [true, false].map(|tonic| HarmonicContext {
            resolution,
            scale,
            tonic,
            ..HarmonicContext::default()
        })
    })
}

/// The shape and the colour in which these notes are offered for a symbol.
fn produced(symbol: &str, notes: &[Name]) -> Option<(&'static str, Colour)> {
    let chord = Chord::read(symbol).unwrap();
    for (shape, colour) in SHAPES
        .iter()
        .flat_map(|shape| Colour::ALL.map(|colour| (shape.name, colour)))
    {
        for context in contexts() {
            let ask = Ask {
                chord: &chord,
                context,
                melody: &Melody::NONE,
            };
            let found = candidates(&ask, &settings(shape, colour));
            let mut voicings = found.iter().flat_map(|found| &found.voicings);
            if voicings.any(|voicing| is(voicing, notes)) {
                return Some((shape, colour));
            }
        }
    }
    None
}

/// Whether a voicing is these names from the lowest note up, each within an octave of the one before.
fn is(voicing: &Voicing, notes: &[Name]) -> bool {
    let keys: Vec<i32> = voicing.pitches().map(|p| i32::from(p.midi())).collect();
    let same = voicing.pitches().map(|pitch| pitch.class());
    same.eq(notes.iter().map(|name| name.class())) && keys.windows(2).all(|w| w[1] - w[0] < 12)
}

fn names(text: &str, by: Interval) -> Vec<Name> {
    let each = text.split(' ').map(|name| name.parse::<Name>().unwrap());
    each.map(|name| moved(name, by)).collect()
}

fn moved(name: Name, by: Interval) -> Name {
    name.plus(by).map_or(name, Name::simplest)
}

#[test]
fn every_printed_voicing_is_produced_in_all_twelve_keys() {
    let from: Name = "C".parse().unwrap();
    for tonic in [
        "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
    ] {
        let by = Interval::between(from, tonic.parse().unwrap());
        for (symbols, notes, source) in PRINTED {
            for (symbol, notes) in symbols.split(' ').zip(notes.split(", ")) {
                let (root, suffix) = Name::split(symbol).unwrap();
                let symbol = format!("{}{suffix}", moved(root, by));
                let found = produced(&symbol, &names(notes, by));
                assert!(found.is_some(), "{symbol}: {notes} ({source})");
            }
        }
    }
}

/// The sum of the moves of the printed notes, each voicing in the octave nearest to the one before.
fn printed_motion(rows: &[Vec<i32>]) -> i32 {
    let moves = rows.windows(2).map(|pair| {
        let [before, after] = pair else { return 0 };
        let shifted = |octave: i32| -> i32 {
            let moved = after.iter().map(|key| key + 12 * octave);
            before.iter().zip(moved).map(|(a, b)| (a - b).abs()).sum()
        };
        (-2..=2).map(shifted).min().unwrap()
    });
    moves.sum()
}

/// Keys that rise from the first name, which lies in the octave below middle C.
fn rising(notes: &str) -> Vec<i32> {
    let mut keys: Vec<i32> = Vec::new();
    for name in notes.split(' ') {
        let class = i32::from(name.parse::<Name>().unwrap().class().number());
        let above = keys.last().map_or(47, |last| *last);
        keys.push(above + 1 + (class - above - 1).rem_euclid(12));
    }
    keys
}

#[test]
fn no_plan_moves_more_than_the_printed_progression() {
    let mut planned = 0;
    for (symbols, notes, source) in PRINTED {
        let printed: Vec<Vec<i32>> = notes.split(", ").map(rising).collect();
        if printed.len() < 2 {
            continue;
        }
        let palette = match printed[0].len() {
            4 => "rootless",
            _ => "three-note",
        };
        let bars = symbols.split(' ').collect::<Vec<_>>().join(" | ");
        let chart = chart::read(&format!("| {bars} |")).unwrap();
        let settings = Settings {
            voicing: settings(palette, Colour::Natural),
            ..Settings::default()
        };
        let arrangement = arrange(chart, &settings, &mut Cache::default()).unwrap();
        let motion = i32::try_from(arrangement.totals.motion()).unwrap();
        let most = printed_motion(&printed);
        assert!(
            arrangement.totals.optimal && motion <= most,
            "{symbols}: {motion} > {most} ({source})"
        );
        planned += 1;
    }
    assert!(planned >= 10, "{planned}");
}
