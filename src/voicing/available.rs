//! Which tensions fill the open places of a chord in its place: the choice among what the scale
//! offers ([`Scale`], where the sources are).
//!
//! Not everything a scale offers is played unasked. The #11 of a major chord and the 13 beside a maj7
//! wait for the symbol or the melody; over a 5 there is no b13.

use crate::chord::Family;
use crate::harmony::Scale;
use crate::pitch::Degree as D;

/// A choice of fifth place and ninth place.
pub(super) type Pair = (D, D);

/// The pairs of a dominant that names no tension.
pub(super) const fn dominant_pairs(scale: Scale) -> &'static [Pair] {
    const B13: D = D::FLAT_THIRTEENTH;
    match scale {
        Scale::MixolydianFlat13 => &[
            (B13, D::FLAT_NINTH),
            (D::FIFTH, D::FLAT_NINTH),
            (B13, D::NINTH),
            (D::FIFTH, D::NINTH),
        ],
        Scale::PhrygianDominant => &[
            (B13, D::FLAT_NINTH),
            (D::FIFTH, D::FLAT_NINTH),
            (B13, D::SHARP_NINTH),
            (D::FIFTH, D::SHARP_NINTH),
        ],
        Scale::HarmonicMinorFifth => &[(B13, D::FLAT_NINTH), (D::FIFTH, D::FLAT_NINTH)],
        Scale::LydianDominant => &[(D::THIRTEENTH, D::NINTH), (D::SHARP_ELEVENTH, D::NINTH)],
        Scale::Usual => &[(D::FIFTH, D::NINTH), (D::THIRTEENTH, D::NINTH)],
        _ => &[(D::THIRTEENTH, D::NINTH), (D::FIFTH, D::NINTH)],
    }
}

/// The pairs of a suspended chord.
pub(super) const fn suspended_pairs(scale: Scale) -> &'static [Pair] {
    match scale {
        Scale::SuspendedPhrygian | Scale::HarmonicMinorFifth | Scale::PhrygianDominant => &[
            (D::FIFTH, D::FLAT_NINTH),
            (D::FLAT_THIRTEENTH, D::FLAT_NINTH),
        ],
        Scale::MixolydianFlat13 => &[(D::FIFTH, D::FLAT_NINTH), (D::FIFTH, D::NINTH)],
        _ => &[(D::FIFTH, D::NINTH), (D::THIRTEENTH, D::NINTH)],
    }
}

/// What takes the ninth place of any other chord. Where the 9 is a note to avoid it is the root, or in
/// a minor chord the 11 in the root's stead.
pub(super) const fn ninths(family: Family, scale: Scale) -> &'static [D] {
    match (family, scale) {
        (Family::Minor, Scale::Phrygian) => &[D::ROOT, D::ELEVENTH],
        (Family::Major, Scale::PhrygianDominant | Scale::HarmonicMinorFifth) => &[D::ROOT],
        _ => &[D::NINTH],
    }
}

/// What takes the ninth place of a dominant whose fifth place is named.
pub(super) const fn dominant_ninths(scale: Scale) -> &'static [D] {
    match scale {
        Scale::MixolydianFlat13 => &[D::FLAT_NINTH, D::NINTH],
        Scale::PhrygianDominant => &[D::SHARP_NINTH, D::FLAT_NINTH],
        Scale::HarmonicMinorFifth => &[D::FLAT_NINTH],
        _ => &[D::NINTH],
    }
}

/// Whether the pairs of a dominant in this scale have a bent ninth.
pub(super) const fn bends_ninth(scale: Scale) -> bool {
    matches!(
        scale,
        Scale::MixolydianFlat13 | Scale::PhrygianDominant | Scale::HarmonicMinorFifth
    )
}

/// Whether the dominant belongs to a minor goal: it takes the b13, never the 13.
pub(super) const fn is_dark(scale: Scale) -> bool {
    matches!(
        scale,
        Scale::MixolydianFlat13
            | Scale::PhrygianDominant
            | Scale::HarmonicMinorFifth
            | Scale::SuspendedPhrygian
    )
}
