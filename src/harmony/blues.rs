//! The blue third: the minor third in the melody over a I7 or IV7 of a blues.
//!
//! It is idiom, not an alteration: the hand keeps the major third and neither bends its ninth nor plays
//! one beside it (common practice, no source; Levine, *The Jazz Theory Book*, ch. 10, has the blues scale
//! over all three chords, from memory).

use super::chord_kind::RootAndKind;
use super::function::Function;
use super::local_key::LocalKey;
use super::role::Role;
use crate::chord::Chord;
use crate::pitch::{Degree, Key, PitchClass};

/// Whether a sound is the blue third of a dominant on I or IV of this key, whatever it leads to; in
/// minor only IV has one.
pub(super) fn is_blue_third(chord: &Chord, key: Option<Key>, class: PitchClass) -> bool {
    let minor_third = chord.root().class().up_to(class).0 == 3;
    let on_degree = |key| {
        let (local_key, kind) = (LocalKey::of(key), RootAndKind::of(chord));
        let degree = local_key.degree(kind);
        kind.is_dominant() && (degree == 5 || degree == 0 && !local_key.minor)
    };
    minor_third && chord.third() == Some(Degree::THIRD) && key.is_some_and(on_degree)
}

/// Whether a chord of this function is the I7 or IV7 of a blues.
pub(super) const fn is_blues(role: Role) -> bool {
    matches!(
        role.function,
        Function::BluesTonic | Function::BluesSubdominant
    )
}
