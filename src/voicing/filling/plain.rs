//! Plainer fillings: the root, the 5, or an 11 over minor, where a usual tension would stand.
//!
//! Four notes stay four when a tension has no room under the melody or leads the hand astray. Whatever the
//! symbol alone asks for is a plainer filling too, so that colour *natural* allows all that *written* does.
//! A filling is as plain as the number of usual tensions it leaves out, counted against the first of the
//! usual fillings, the principal one. The 5 for the 13 of a dominant is half as plain: it is usual too, but
//! where the 13 is free it says more.

use super::frame::{Filling, Frame};
use crate::chord::Family;
use crate::hand::{is_forbidden, rubs_bass};
use crate::harmony::HarmonicContext;
use crate::pitch::{Degree, Pitch};
use crate::voicing::Colour;
use crate::voicing::available::Pair;

impl Frame<'_> {
    /// The plainer fillings beside the usual ones, with what each leaves out, the least plain first.
    pub(super) fn plainer(
        &self,
        usual: &[Filling],
        context: HarmonicContext,
        colour: Colour,
        melody: &[Pitch],
    ) -> Vec<(u32, Filling)> {
        let Some(principal) = usual.first().filter(|_| colour != Colour::Written) else {
            return Vec::new();
        };
        let written = self.pairs(context, Colour::Written, melody);
        let pairs = usual.iter().flat_map(|filling| self.plainer_than(filling));
        let pairs = self.clear_of_bass_only(pairs.chain(written));
        let mut found: Vec<(u32, Filling)> = Vec::new();
        for pair in self.agreeing(&pairs, melody) {
            let filling = self.fill(pair);
            let known = found.iter().any(|(_, other)| *other == filling);
            if self.says_what_is_named(pair, usual, melody) && !known && !usual.contains(&filling) {
                found.push((left_out(principal, &filling).max(TENSION), filling));
            }
        }
        found.sort_by_key(|(left_out, _)| *left_out);
        found
    }

    /// The filling with plain tones for its tensions.
    fn plainer_than(&self, filling: &Filling) -> Vec<Pair> {
        let Filling { fifth, ninth, .. } = *filling;
        // With a 6 and an 11 but no root nothing would say that this is the tonic.
        let minor_seventh = self.chord.family() == Family::Minor && self.seventh.class() == 10;
        let eleventh = minor_seventh.then_some(Degree::ELEVENTH);
        let plain = [
            Some((fifth, Degree::ROOT)),
            eleventh.map(|eleventh| (fifth, eleventh)),
            Some((Degree::FIFTH, ninth)),
            Some((Degree::FIFTH, Degree::ROOT)),
        ];
        let plain = plain.into_iter().flatten();
        plain.filter(|pair| self.admits(*pair)).collect()
    }

    /// Without the pairs that have an added tone a half step from a slash bass.
    fn clear_of_bass_only(&self, pairs: impl Iterator<Item = Pair>) -> Vec<Pair> {
        let rubs = |degree| rubs_bass(self.chord, degree);
        pairs
            .filter(|(fifth, ninth)| !rubs(*fifth) && !rubs(*ninth))
            .collect()
    }

    /// Whether a pair has every named tone that the usual fillings have and the melody leaves room for.
    fn says_what_is_named(
        &self,
        (fifth, ninth): Pair,
        usual: &[Filling],
        melody: &[Pitch],
    ) -> bool {
        let mut named = self.named.iter();
        named.all(|degree| {
            let has = |filling: &Filling| filling.degrees().contains(degree);
            [fifth, ninth].contains(degree)
                || !usual.iter().all(has)
                || is_forbidden(self.chord, *degree, melody)
        })
    }
}

/// A tension, counted in halves of one.
pub(in crate::voicing) const TENSION: u32 = 2;

/// How many half tensions of a filling another lacks.
fn left_out(usual: &Filling, plainer: &Filling) -> u32 {
    let lacks = |degree: Degree| degree.number() > 7 && !plainer.degrees().contains(&degree);
    let fifth = match lacks(usual.fifth) {
        true if plainer.fifth == Degree::FIFTH => TENSION / 2,
        lacks => TENSION * u32::from(lacks),
    };
    fifth + TENSION * u32::from(lacks(usual.ninth))
}

/// The usual fillings without those that have the 5 where the 13 comes first; and those, each with the half
/// tension it leaves out. Beside a bent ninth either will do.
pub(super) fn without_thirteenth(usual: Vec<Filling>) -> (Vec<Filling>, Vec<(u32, Filling)>) {
    let thirteen = usual
        .first()
        .is_some_and(|first| first.fifth == Degree::THIRTEENTH);
    let full = |filling: &Filling| {
        let (fifth, ninth) = (Degree::THIRTEENTH, filling.ninth);
        let bent = ninth.number() == 9 && ninth.alter() != 0;
        !thirteen
            || bent
            || filling.fifth != Degree::FIFTH
            || !usual.contains(&Filling { fifth, ..*filling })
    };
    let (full, lesser): (Vec<_>, Vec<_>) = usual.iter().partition(|filling| full(filling));
    let half = lesser.into_iter().map(|filling| (TENSION / 2, filling));
    (full, half.collect())
}
