//! The melody wins over the colour: which fillings agree with it, and the ways out where none does.
//!
//! A tone that is added may not lie half a step from a melody note that is no chord tone itself. So a
//! dominant under a b9, #9 or b13 takes its colours from that family; a #11 in the melody takes the 5's
//! place in the hand; under a natural 9 a dominant into minor gives up its b9. A minor chord under its b9
//! or b6 keeps its root or takes the 11 (common practice, no source).
//!
//! Over the I7 or IV7 of a blues a minor third in the melody is idiom and bends nothing: the #9, which it is
//! itself, or the root stands where a ninth would lie beside it (common practice, no source).

use super::frame::{Filling, Frame};
use crate::chord::Family;
use crate::hand::cancels;
use crate::harmony::{HarmonicContext, Scale};
use crate::pitch::{Degree, Pitch};
use crate::voicing::Colour;
use crate::voicing::available::{Pair, is_dark, suspended_pairs};

const BLUE_THIRD: i32 = 3;
const SHARP_ELEVENTH: i32 = 6;
const FIFTH: i32 = 7;

impl Frame<'_> {
    /// The fillings in this colour that agree with the melody best.
    pub(super) fn fillings(
        &self,
        context: HarmonicContext,
        colour: Colour,
        melody: &[Pitch],
    ) -> Vec<Filling> {
        let usual = self.clear_of_bass(self.pairs(context, colour, melody));
        let usual = self.under_blue_third(usual, context, melody);
        let raised = self.raised_fifth_place(&usual, colour, melody);
        let mut pairs = self.agreeing(&raised, melody);
        let ways_out = [Self::bent_way_out, Self::near_way_out, Self::last_way_out];
        for way_out in ways_out {
            if pairs.is_empty() {
                let found = self.clear_of_bass(way_out(self, context, colour));
                pairs = self.agreeing(&found, melody);
            }
        }
        let pairs = if pairs.is_empty() { usual } else { pairs };
        pairs.into_iter().map(|pair| self.fill(pair)).collect()
    }

    /// The pairs with the #9 or the root for a ninth that the symbol does not name, where the melody sings the
    /// minor third over the I7 or IV7 of a blues. The #9 goes with the 13 only.
    fn under_blue_third(
        &self,
        pairs: Vec<Pair>,
        context: HarmonicContext,
        melody: &[Pitch],
    ) -> Vec<Pair> {
        let sings = melody
            .iter()
            .any(|melody_note| self.above_root(*melody_note) == BLUE_THIRD);
        if !(sings && context.blues && self.is_dominant()) || self.chord.is_altered() {
            return pairs;
        }
        let mut rooted: Vec<Pair> = Vec::with_capacity(pairs.len());
        for (fifth, ninth) in pairs {
            let is_added = ninth.number() == 9 && !self.named.contains(&ninth);
            let instead: &[Degree] = match is_added {
                true if fifth == Degree::THIRTEENTH => &[Degree::SHARP_NINTH, Degree::ROOT],
                true => &[Degree::ROOT],
                false => &[ninth],
            };
            for ninth in instead {
                let pair = (fifth, *ninth);
                if self.admits(pair) && !rooted.contains(&pair) {
                    rooted.push(pair);
                }
            }
        }
        // With its ninth gone the 13 is the colour that is left.
        if rooted.iter().any(|(fifth, _)| *fifth == Degree::THIRTEENTH) {
            rooted.retain(|(fifth, _)| *fifth != Degree::FIFTH);
        }
        rooted
    }

    /// The pairs with the #11 for the 5 of a chord with a major third, where the melody sings the #11
    /// and not the 5.
    fn raised_fifth_place(&self, pairs: &[Pair], colour: Colour, melody: &[Pitch]) -> Vec<Pair> {
        let sings = |class| {
            melody
                .iter()
                .any(|melody_note| self.above_root(*melody_note) == class)
        };
        let sharp = sings(SHARP_ELEVENTH) && !sings(FIFTH) && self.third.class() == 4;
        if !sharp || colour == Colour::Written {
            return pairs.to_vec();
        }
        let mut raised: Vec<Pair> = Vec::with_capacity(pairs.len());
        for (fifth, ninth) in pairs {
            let fifth = match *fifth {
                Degree::FIFTH => Degree::SHARP_ELEVENTH,
                other => other,
            };
            if self.admits((fifth, *ninth)) && !raised.contains(&(fifth, *ninth)) {
                raised.push((fifth, *ninth));
            }
        }
        let raised = self.clear_of_bass(raised);
        if raised.is_empty() {
            pairs.to_vec()
        } else {
            raised
        }
    }

    pub(super) fn agreeing(&self, pairs: &[Pair], melody: &[Pitch]) -> Vec<Pair> {
        let agrees = |degree: Degree| {
            self.named.contains(&degree)
                || degree == Degree::ROOT
                || melody
                    .iter()
                    .all(|melody_note| !self.at_odds(degree, *melody_note))
        };
        let both = pairs
            .iter()
            .filter(|(fifth, ninth)| agrees(*fifth) && agrees(*ninth));
        both.copied().collect()
    }

    /// The melody note's place above the root, 0 to 11.
    pub(super) fn above_root(&self, melody_note: Pitch) -> i32 {
        self.chord.root().class().up_to(melody_note.class()).0
    }

    /// Whether an added tone cannot live with what the melody sings: a half step from a melody note that
    /// is itself no chord tone, or a b13 under the melody's 5. The 5 only minds a b13.
    pub(super) fn at_odds(&self, degree: Degree, melody_note: Pitch) -> bool {
        let above_root = self.above_root(melody_note);
        let gap = (above_root - i32::from(degree.class())).rem_euclid(12);
        let frame = [
            Some(Degree::ROOT),
            Some(self.third),
            self.chord.fifth(),
            Some(self.seventh),
        ];
        let mut frame = frame.into_iter().flatten();
        let chord_tone = frame.any(|tone| i32::from(tone.class()) == above_root);
        match degree {
            Degree::FIFTH => above_root == 8,
            Degree::FLAT_THIRTEENTH if above_root == 7 => true,
            // Over an "alt" the 5 is no chord tone, but all that a melody on it leaves is the #11.
            Degree::SHARP_ELEVENTH if above_root == 7 => false,
            _ => !chord_tone && (gap == 1 || gap == 11),
        }
    }

    /// A bent dominant whose b13 the melody forbids bends its fifth upward.
    fn bent_way_out(&self, context: HarmonicContext, colour: Colour) -> Vec<Pair> {
        let bent = [Degree::SHARP_NINTH, Degree::FLAT_NINTH];
        let pairs = bent.map(|ninth| (Degree::SHARP_ELEVENTH, ninth));
        let pairs = pairs.into_iter().filter(|pair| self.admits(*pair));
        match self.is_bent(context, colour) {
            true => pairs.collect(),
            false => Vec::new(),
        }
    }

    /// A dominant takes any ninth with what its goal leaves of the fifths, and the 9 beside a tone that it names; a
    /// suspended one the b9; any other chord keeps its root, and a minor one may take the 11.
    fn near_way_out(&self, context: HarmonicContext, colour: Colour) -> Vec<Pair> {
        if colour == Colour::Written || self.chord.is_altered() {
            return Vec::new();
        }
        let open = self.named.is_empty();
        let bare = open && self.implied(true).is_none();
        if bare && self.is_suspended_seventh() {
            return suspended_pairs(Scale::SuspendedPhrygian).to_vec();
        }
        if open && self.is_dominant() {
            return self.dominant_pairs(match is_dark(context.scale) {
                true => &[Degree::FIFTH, Degree::FLAT_THIRTEENTH],
                false => &[Degree::THIRTEENTH, Degree::FIFTH, Degree::FLAT_THIRTEENTH],
            });
        }
        let mut pairs = self.pairs(HarmonicContext::default(), Colour::Written, &[]);
        if let ([named], true) = (&self.named[..], self.is_dominant()) {
            // What is named may be a bent fifth; a natural 9 that the melody sings stands beside it all the same.
            let beside = (*named, Degree::NINTH);
            let fits = named.number() != 9 && self.admits(beside) && !pairs.contains(&beside);
            pairs.extend(fits.then_some(beside));
        }
        if open && self.chord.family() == Family::Minor {
            let eleventh = [Degree::NINTH, Degree::ROOT].map(|ninth| (Degree::ELEVENTH, ninth));
            pairs.extend(eleventh);
        }
        pairs
    }

    /// Any tension of a dominant; the written tones of a suspended chord; the root for the 5 of any other
    /// chord that names nothing.
    fn last_way_out(&self, context: HarmonicContext, colour: Colour) -> Vec<Pair> {
        if colour == Colour::Written || self.chord.is_altered() {
            return Vec::new();
        }
        if !self.is_dominant() || !self.named.is_empty() {
            let mut pairs = self.pairs(HarmonicContext::default(), Colour::Written, &[]);
            if self.named.is_empty() && !self.is_suspended() {
                let rooted = self.pairs(context, colour, &[]).into_iter();
                pairs.extend(rooted.map(|(_, ninth)| (Degree::ROOT, ninth)));
            }
            pairs.retain(|pair| self.admits(*pair));
            return pairs;
        }
        self.dominant_pairs(&[
            Degree::THIRTEENTH,
            Degree::FIFTH,
            Degree::FLAT_THIRTEENTH,
            Degree::SHARP_ELEVENTH,
        ])
    }

    /// Every ninth with these.
    fn dominant_pairs(&self, fifths: &[Degree]) -> Vec<Pair> {
        let ninths = [Degree::NINTH, Degree::FLAT_NINTH, Degree::SHARP_NINTH];
        let all = ninths.iter().flat_map(|n| fifths.iter().map(|f| (*f, *n)));
        all.filter(|pair| self.admits(*pair) && !cancels(pair.0, pair.1))
            .collect()
    }
}
