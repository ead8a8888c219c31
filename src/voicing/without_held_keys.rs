//! What the hand leaves to the melody: a key that the melody holds.
//!
//! A key that both hands press sounds once, and one finger is in the other's way. So the voicing goes
//! without it: Em7 under a held E4 is G3 B3 D4. The tone is not missing, since the melody sounds it, and
//! the voicing is none of the plainer ones (common practice, no source). Three notes stay at least; whether
//! third and seventh are among them is the hand's question.

use std::sync::Arc;

use crate::pitch::{Degree, Pitch};

use super::Voicing;
use super::shapes::{BLOCK, THREE_NOTE};

/// The fewest notes that are left.
const FEWEST: usize = 3;

/// A voicing without the keys that the melody holds; `None` where it has none of them, or fewer than
/// three others.
pub(super) fn leave(voicing: &Voicing, held: &[Pitch]) -> Option<Voicing> {
    let notes = voicing.notes.iter();
    let others = notes.filter(|note| !held.contains(&note.pitch)).copied();
    let notes: Arc<[_]> = others.collect();
    let some = (FEWEST..voicing.notes.len()).contains(&notes.len());
    let lowest = notes.first().filter(|_| some)?.degree;
    let left = Voicing {
        lowest,
        form: voicing.form.filter(|_| lowest == voicing.lowest),
        turned: false,
        notes,
        ..voicing.clone()
    };
    let shape = if rooted(&left) { &BLOCK } else { &THREE_NOTE };
    Some(Voicing {
        shape: Some(shape),
        ..left
    })
}

/// Whether the root sounds in a voicing.
pub(super) fn rooted(voicing: &Voicing) -> bool {
    let mut notes = voicing.notes.iter();
    notes.any(|note| note.degree == Degree::ROOT)
}
