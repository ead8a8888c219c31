//! The hand under the melody.
//!
//! Under a note that is held: no note above it (the same key is allowed: the hands share it), and none a
//! minor second or a minor ninth below it. A note that goes by forbids nothing; what is in its way is
//! only heard, and so is a key that both hands play. Which notes are held is for the caller to say.

use crate::pitch::{Degree, Pitch};

use super::{SoundingNote, Violation};

/// The notes of the melody that a hand has to mind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sung<'a> {
    /// The keys that are held.
    pub held: &'a [Pitch],
    /// Those of them that sound when the chord is struck, and may stand for a tone that the symbol names.
    pub struck: &'a [Pitch],
    /// Those of these that sound long enough to stand for a third or a seventh.
    pub lasting: &'a [Pitch],
    /// The tone that the melody suspends and resolves by itself: the hand may do without it.
    pub resolves_to: Option<Degree>,
}

impl<'a> Sung<'a> {
    /// Notes that are held as long as the chord lasts.
    pub const fn for_long(held: &'a [Pitch]) -> Self {
        Self {
            held,
            struck: held,
            lasting: held,
            resolves_to: None,
        }
    }
}

/// Everything in the voicing that gets in the way of the held notes of the melody.
pub(super) fn violations<'a>(
    notes: &'a [SoundingNote],
    held: &'a [Pitch],
) -> impl Iterator<Item = Violation> + 'a {
    held.iter()
        .flat_map(move |melody| notes.iter().filter_map(|note| between(*note, *melody)))
}

/// Whether a note of a voicing that breaks no rule is in the melody's way all the same for a moment: it
/// rubs a note that goes by, or lies on or above one.
pub(crate) fn in_the_way(note: Pitch, passing: &[Pitch]) -> bool {
    let obstructs = |passing: &Pitch| rubs(note, *passing) || note >= *passing;
    passing.iter().any(obstructs)
}

/// Whether the top note of a voicing lies a whole step below a held note: the melody wants air.
pub(crate) fn crowds(top: Pitch, held: &[Pitch]) -> bool {
    held.iter().any(|held| top.up_to(*held).0 == 2)
}

/// Whether a note lies a minor second or a minor ninth below one of the melody.
pub(crate) fn rubs(note: Pitch, melody: Pitch) -> bool {
    matches!(note.up_to(melody).0, 1 | 13)
}

fn between(note: SoundingNote, melody: Pitch) -> Option<Violation> {
    let degree = note.degree;
    match note.pitch {
        note if note > melody => Some(Violation::AboveMelody {
            degree,
            note,
            melody,
        }),
        note if rubs(note, melody) => Some(Violation::RubsMelody {
            degree,
            note,
            melody,
        }),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn keys(names: &str) -> Vec<Pitch> {
        let notes = names.split_whitespace();
        notes.map(|name| crate::hand::key(name).unwrap()).collect()
    }

    #[test]
    fn what_is_only_heard_is_no_violation_and_yet_in_the_way() {
        for (note, passing, obstructs) in [
            ("E4", "F4", true),
            ("E4", "F5", true),
            ("E4", "F6", false),
            ("E4", "E4", true),
            ("E4", "D4", true),
            ("E4", "G4", false),
            ("E4", "G4 G5", false),
        ] {
            let found = in_the_way(keys(note)[0], &keys(passing));
            assert_eq!(found, obstructs, "{note} under {passing}");
        }
        assert!(crowds(keys("D4")[0], &keys("C5 E4")));
        assert!(!crowds(keys("D4")[0], &keys("F4")));
    }
}
