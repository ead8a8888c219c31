//! One chord moved along under the tune.

use super::idea::{Idea, Kind, Wanted, exactly};
use super::{Example, Technique};
use crate::chart::enharmonic;
use crate::harmony::passage::{Passage, Spot, is_tonic};
use crate::pitch::{Key, Mode, Name, Semitones};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "constant-structure",
    rule: "Three chords on the way to a major I, each under another note of the tune, become major sevenths that move in parallel, the tune on the same degree of each.",
    taught: "\"Chord substitution\" handout (docslib 7593323); at least three chords, from memory",
    melody: "each chord's first note is its 7, 9, 5 or 3, the same in all three; the other notes by the usual test",
    example: Example {
        key: "C",
        before: "| Am7 | Dm7 | G7 | Cmaj7 |\nmel | G4:4 | A4:4 | B4:4 | E4:4 |",
        after: "| Abmaj7 | Bbmaj7 | Cmaj7 | Cmaj7 |\nmel | G4:4 | A4:4 | B4:4 | E4:4 |",
    },
    find,
};

/// What the tune may be over each of them, in semitones: the most colourful first.
const DEGREES: [(i32, &str); 4] = [(11, "7"), (2, "9"), (7, "5"), (4, "3")];

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    ideas(passage, at).unwrap_or_default()
}

fn ideas(passage: &Passage<'_>, at: usize) -> Option<Vec<Idea>> {
    let spots = passage.spots.get(at..at + 3)?;
    let key = passage.one_key(at..at + 3)?;
    let major = key.mode() == Mode::Major;
    let target = passage
        .after(at + 2)
        .filter(|next| major && is_tonic(key, next))?;
    let tune: Vec<Name> = spots.iter().map(first_note).collect::<Option<_>>()?;
    if !matches!(&tune[..], [a, b, c] if differ(*a, *b) && differ(*b, *c) && differ(*a, *c)) {
        return None;
    }
    let ideas = DEGREES.iter().filter_map(|(degree, name)| {
        let chords = spots.iter().zip(&tune);
        let chords = chords.map(|(spot, note)| under(spot, *note, *degree));
        Some(Idea {
            spots: at..at + 3,
            chords: chords.collect::<Option<_>>()?,
            reason: format!(
                "one sound moves along with the tune on its {name}, on the way to {target}"
            ),
        })
    });
    Some(ideas.collect())
}

fn differ(a: Name, b: Name) -> bool {
    a.class() != b.class()
}

/// The note that sounds as the spot's chord begins.
fn first_note(spot: &Spot<'_>) -> Option<Name> {
    let begun = |note: &&crate::chart::TuneNote| note.beat <= spot.beat;
    spot.tune.iter().find(begun).map(|note| note.note.name())
}

fn under(spot: &Spot<'_>, note: Name, degree: i32) -> Option<Wanted> {
    let class = note.class().plus(Semitones(-degree));
    let root = enharmonic::key(class, Mode::Major).map(Key::tonic)?;
    Some(exactly(root, Kind::Major, spot.beats))
}
