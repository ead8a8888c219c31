//! Voicings against the textbook, the given notes, and exhaustive enumeration.
//!
//! [`table`]: the four-note rootless forms in twelve keys and the identities between them. [`thin`]:
//! the other shapes. [`sixth`]: the 6 for a major seventh. [`bass`]: over a slash bass. [`bent`]: altered
//! dominants and raised diminished tones. [`tune`]: under a melody, and notes somebody gave.
//! [`complete`]: nothing faulty is offered and nothing legal is missing. [`nothing`]: what is said where nothing is left.

mod bass;
mod bent;
mod complete;
mod fillings;
mod nothing;
mod sixth;
mod table;
mod thin;
mod tune;

use compline::chord::Chord;
use compline::hand::{Hand, LimitTable, Range, Reach, Sung};
use compline::harmony::{HarmonicContext, Melody, Resolution, Scale};
use compline::pitch::Pitch;
use compline::voicing::{
    Ask, Candidates, Colour, SurchargeWeights, Voicing, VoicingSettings, candidates,
};

const ROOTS: [&str; 12] = [
    "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
];

const INTO_MAJOR: HarmonicContext = at(Resolution::FifthIntoMajor, false);
const INTO_MINOR: HarmonicContext = at(Resolution::FifthIntoMinor, false);
const HALF_DOWN: HarmonicContext = at(Resolution::HalfStepDown, false);
const ELSEWHERE: HarmonicContext = at(Resolution::Elsewhere, false);
const TONIC: HarmonicContext = at(Resolution::Elsewhere, true);

const fn at(resolution: Resolution, tonic: bool) -> HarmonicContext {
    // As without a key, where a dominant's scale follows from its way on.
    let scale = match resolution {
        Resolution::FifthIntoMajor => Scale::Mixolydian,
        Resolution::FifthIntoMinor => Scale::HarmonicMinorFifth,
        Resolution::HalfStepDown => Scale::LydianDominant,
        Resolution::Elsewhere => Scale::Usual,
    };
    HarmonicContext {
        resolution,
        tonic,
        blues: false,
        scale,
        line: None,
        after_suspension: false,
        names: compline::pitch::KeyNames::NONE,
    }
}

/// A melody whose notes are all held.
fn held(notes: Vec<Pitch>) -> Melody {
    Melody {
        struck: notes.clone(),
        lasting: notes.clone(),
        held: notes,
        passing: Vec::new(),
        leaning: Vec::new(),
        resolves_to: None,
    }
}

/// The context that a word of the tables means.
fn context(word: &str) -> HarmonicContext {
    match word {
        "into-major" => INTO_MAJOR,
        "into-minor" => INTO_MINOR,
        "half-down" => HALF_DOWN,
        "elsewhere" => ELSEWHERE,
        "tonic" => TONIC,
        other => panic!("no context called {other}"),
    }
}

/// The rows of a table, cell by cell.
fn rows(text: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    let lines = text.lines().filter(|line| !line.starts_with(';'));
    lines.map(|line| line.split('|').map(str::trim).collect())
}

/// A hand that minds nothing, so that a shape shows in every octave.
fn free_hand() -> Hand {
    Hand {
        range: Range::new(Pitch::new(24).unwrap(), Pitch::new(96).unwrap()).unwrap(),
        limits: LimitTable::none(),
        reach: Reach::Semitones(Reach::MOST),
        bass: None,
    }
}

fn settings(palette: &str, colour: Colour, hand: Hand) -> VoicingSettings {
    VoicingSettings {
        hand,
        palette: palette.parse().unwrap(),
        colour,
        surcharges: SurchargeWeights::default(),
        spelling: None,
    }
}

fn chord(symbol: &str) -> Chord {
    Chord::read(symbol).unwrap_or_else(|_| panic!("{symbol} is not read"))
}

fn voiced(symbol: &str, context: HarmonicContext, settings: &VoicingSettings) -> Candidates {
    let chord = chord(symbol);
    let ask = Ask {
        chord: &chord,
        context,
        melody: &Melody::NONE,
    };
    candidates(&ask, settings).unwrap_or_else(|none| panic!("{none}"))
}

/// The degrees of the voicings that leave no usual tension out, each once, sorted.
fn usual(found: &Candidates) -> Vec<String> {
    shown(found, |plain| plain == 0)
}

/// The degrees of the plainer ones.
fn plainer(found: &Candidates) -> Vec<String> {
    shown(found, |plain| plain > 0)
}

fn shown(found: &Candidates, wanted: impl Fn(u32) -> bool) -> Vec<String> {
    let voicings = found.voicings.iter();
    let wanted = voicings.filter(|voicing| wanted(voicing.surcharges.plain));
    let mut shown: Vec<String> = wanted.map(degrees).collect();
    shown.sort();
    shown.dedup();
    shown
}

fn degrees(voicing: &Voicing) -> String {
    let names = voicing.notes.iter().map(|note| note.degree.to_string());
    names.collect::<Vec<_>>().join(" ")
}

fn midi(voicing: &Voicing) -> Vec<i32> {
    voicing
        .pitches()
        .map(|pitch| i32::from(pitch.midi()))
        .collect()
}

fn form(voicing: &Voicing) -> String {
    voicing.form.map_or("-".to_owned(), |form| form.to_string())
}

fn key(text: &str) -> i32 {
    i32::from(compline::hand::key(text).unwrap().midi())
}
