//! One chord moved along under the melody.
//!
//! The handout speaks of one quality moved in parallel; that the way to a major tonic takes major
//! sevenths and the way to a minor one minor sevenths is from memory.

use super::idea::{Idea, Wanted, WantedKind, exactly, higher, on};
use super::{Example, Technique};
use crate::chart::MelodyNote;
use crate::harmony::passage::{Passage, Spot, is_tonic};
use crate::pitch::{Key, Mode, Name};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "constant-structure",
    rule: "Three chords on the way to the tonic, each under another note of the melody, become chords of one kind that move in parallel, the melody on the same degree of each: major sevenths before a major I, minor sevenths before a minor one.",
    taught: "\"Chord substitution\" handout (docslib 7593323); at least three chords, and which kind in which mode, from memory",
    melody: "each chord's first note is its 7, 9, 5 or 3, or for minor sevenths its 9, 11, b7, 5 or b3, the same in all three; the other notes by the usual test",
    example: Example {
        key: "C",
        before: "| Am7 | Dm7 | G7 | Cmaj7 |\nmel | G4:4 | A4:4 | B4:4 | E4:4 |",
        after: "| Abmaj7 | Bbmaj7 | Cmaj7 | Cmaj7 |\nmel | G4:4 | A4:4 | B4:4 | E4:4 |",
    },
    find,
};

/// What the melody may be over each of them: its name, and the letters and half steps it lies above the
/// root. The most colourful first.
type Degrees = &'static [(&'static str, i32, i32)];

const OF_MAJOR: Degrees = &[("7", 6, 11), ("9", 1, 2), ("5", 4, 7), ("3", 2, 4)];

const OF_MINOR: Degrees = &[
    ("9", 1, 2),
    ("11", 3, 5),
    ("b7", 6, 10),
    ("5", 4, 7),
    ("b3", 2, 3),
];

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    ideas(passage, at).unwrap_or_default()
}

fn ideas(passage: &Passage<'_>, at: usize) -> Option<Vec<Idea>> {
    let spots = passage.spots.get(at..at + 3)?;
    let key = passage.one_key(at..at + 3)?;
    let target = passage
        .after(at + 2)
        .filter(|next| is_tonic(key, next) && passage.begins(at + 3))?;
    let melody: Vec<Name> = spots.iter().map(first_note).collect::<Option<_>>()?;
    if !matches!(&melody[..], [a, b, c] if differ(*a, *b) && differ(*b, *c) && differ(*a, *c)) {
        return None;
    }
    let degrees = match key.mode() {
        Mode::Major => OF_MAJOR,
        Mode::Minor => OF_MINOR,
    };
    let ideas = degrees.iter().map(|(name, letters, semitones)| {
        let under = |(spot, note): (&Spot<'_>, &Name)| {
            under(key, spot, higher(*note, -letters, -semitones))
        };
        Idea {
            spots: at..at + 3,
            chords: spots.iter().zip(&melody).map(under).collect(),
            reason: format!(
                "one sound moves along with the melody on its {name}, on the way to {target}"
            ),
        }
    });
    Some(ideas.collect())
}

fn differ(a: Name, b: Name) -> bool {
    a.class() != b.class()
}

/// The note that sounds as the spot's chord begins.
fn first_note(spot: &Spot<'_>) -> Option<Name> {
    let begun = |note: &&MelodyNote| note.beat <= spot.beat;
    spot.melody_notes
        .iter()
        .find(begun)
        .map(|note| note.note.name())
}

/// The chord on a root: a major seventh passes through its own key and goes by that key's name, a minor
/// seventh, which is at home in three, by that of the key it leads to.
fn under(key: Key, spot: &Spot<'_>, root: Name) -> Wanted {
    let passing = || Key::usual(root.class(), Mode::Major);
    match key.mode() {
        Mode::Major => {
            let root = passing().map_or(root, Key::tonic);
            exactly(root, WantedKind::Major, spot.beats)
        }
        Mode::Minor => on(root, WantedKind::Minor, Some(key), spot.beats),
    }
}
