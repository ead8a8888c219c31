//! How the last new chord goes on.

use super::weights::{ASTRAY, TRITONE};
use crate::chord::{Chord, Family};
use crate::harmony::chord_kind::{RootAndKind, ground};
use crate::pitch::Key;
use crate::reharm::in_place::InPlace;

/// The points: none for a motion that leads on, 2 for any other, 4 for a tritone; the most of all ways
/// the performance goes on. None where the last chord is the written one, or nothing follows.
pub(super) fn way_on(proposal: &InPlace<'_>) -> u32 {
    let Some((new, old)) = proposal.last() else {
        return 0;
    };
    if new.chord.symbol() == old.chord.symbol() {
        return 0;
    }
    let after = proposal.after.iter();
    let points = after.map(|next| points(&new.chord, old.key, next));
    points.max().unwrap_or(0)
}

fn points(last: &Chord, key: Option<Key>, next: &Chord) -> u32 {
    let up = ground(last).up_to(ground(next)).0;
    match up {
        0 | 5 | 11 => 0,
        1 | 2 | 10 if last.family() == Family::Diminished => 0,
        _ if key.is_some_and(|key| comes_home(last, key, next)) => 0,
        6 => TRITONE,
        _ => ASTRAY,
    }
}

/// Whether it is bVII7, IV, iv, vii or the diminished #IV before the tonic, whose fifth lies a half step above
/// the last.
fn comes_home(last: &Chord, key: Key, next: &Chord) -> bool {
    let tonic = key.tonic().class();
    let degree = tonic.up_to(ground(last)).0;
    let from = match degree {
        10 => RootAndKind::of(last).over_bass(last).is_dominant(),
        5 => matches!(last.family(), Family::Major | Family::Minor),
        6 => last.family() == Family::Diminished,
        11 => matches!(last.family(), Family::HalfDiminished | Family::Diminished),
        _ => false,
    };
    from && ground(next) == tonic
}
