//! The hand under the tune.
//!
//! No note above a sounding tune note (the same key is allowed: the hands share it), and none a
//! minor second or a minor ninth below one.

use crate::pitch::Pitch;

use super::{Breach, Sounding};

/// Everything in the voicing that gets in the tune's way.
pub(super) fn breaches<'a>(
    notes: &'a [Sounding],
    melody: &'a [Pitch],
) -> impl Iterator<Item = Breach> + 'a {
    melody
        .iter()
        .flat_map(move |tune| notes.iter().filter_map(|note| between(*note, *tune)))
}

fn between(note: Sounding, tune: Pitch) -> Option<Breach> {
    let degree = note.degree;
    match note.pitch.up_to(tune).0 {
        gap if gap < 0 => Some(Breach::AboveTune {
            degree,
            note: note.pitch,
            tune,
        }),
        1 | 13 => Some(Breach::RubsTune {
            degree,
            note: note.pitch,
            tune,
        }),
        _ => None,
    }
}
