//! What the colour puts in the fifth place and the ninth place, with what the symbol names and where the
//! chord stands.

use super::frame::Frame;
use crate::chord::Family;
use crate::hand::keeps_root;
use crate::harmony::{HarmonicContext, Resolution, Scale};
use crate::pitch::{Degree, Pitch};
use crate::voicing::available::Pair;
use crate::voicing::{Colour, available};

impl Frame<'_> {
    /// Whether ninth and fifth are both bent and nothing else is named: `alt`, or a dominant that the
    /// colour alters.
    pub(super) fn is_bent(&self, context: HarmonicContext, colour: Colour) -> bool {
        let by_colour = self.is_dominant() && alters(context.resolution, colour);
        self.chord.is_altered() || self.named.is_empty() && by_colour
    }

    pub(super) fn pairs(
        &self,
        context: HarmonicContext,
        colour: Colour,
        melody: &[Pitch],
    ) -> Vec<Pair> {
        if keeps_root(self.chord) {
            return self.rooted_pair().into_iter().collect();
        }
        if self.is_bent(context, colour) {
            return self.bent_pairs(melody);
        }
        let into_minor = self.is_dominant() && context.resolution == Resolution::FifthIntoMinor;
        let context = match into_minor && !available::bends_ninth(context.scale) {
            true => HarmonicContext {
                scale: Scale::MixolydianFlat13,
                ..context
            },
            false => context,
        };
        let pairs: Vec<Pair> = self.pairs_in(context, colour, melody);
        if !into_minor || colour == Colour::Written {
            return pairs;
        }
        // A natural 9 tells of a major goal: beside a 13 that the symbol names it may stay. The minor
        // one is told by b9 or b13.
        let named = !self.named.is_empty();
        let tells = |pair: &Pair| {
            named || pair.1 == Degree::FLAT_NINTH || pair.0 == Degree::FLAT_THIRTEENTH
        };
        let natural = |pair: &Pair| pair.1 == Degree::NINTH && !self.keeps_ninth(pair.0);
        let dark = |pair: &&Pair| tells(pair) && !natural(pair);
        let dark: Vec<Pair> = pairs.iter().filter(dark).copied().collect();
        if dark.is_empty() { pairs } else { dark }
    }

    /// What stands beside the root of a chord over its own third, fifth or seventh: what is named, and
    /// otherwise the 5 or what replaces it.
    fn rooted_pair(&self) -> Option<Pair> {
        let named = self.named.first().copied();
        let beside = named.or_else(|| self.chord.fifth())?;
        let pair = match beside.number() == 9 {
            true => (Degree::ROOT, beside),
            false => (beside, Degree::ROOT),
        };
        Some(pair).filter(|pair| self.admits(*pair))
    }

    /// Whether a dominant into minor may have its natural 9 with this in the fifth place.
    fn keeps_ninth(&self, fifth: Degree) -> bool {
        let named = |degree| self.named.contains(&degree);
        named(Degree::NINTH) || fifth == Degree::THIRTEENTH && named(fifth)
    }

    fn pairs_in(&self, context: HarmonicContext, colour: Colour, melody: &[Pitch]) -> Vec<Pair> {
        match self.named[..] {
            [] => self.open_pairs(context, colour),
            [one] => self.pairs_around(one, context, colour, melody),
            _ => self.named_pairs(),
        }
        .into_iter()
        .filter(|pair| self.admits(*pair))
        .collect()
    }

    /// The symbol names nothing: the colour's own table.
    fn open_pairs(&self, context: HarmonicContext, colour: Colour) -> Vec<Pair> {
        if colour == Colour::Written {
            return vec![(Degree::FIFTH, Degree::ROOT)];
        }
        if self.is_dominant() {
            return available::dominant_pairs(context.scale).to_vec();
        }
        let suspended = self.is_suspended_seventh();
        if suspended || self.chord.family() == Family::Suspended {
            // A C11 implies its 9: no scale bends that.
            let bent = |pair: &&Pair| pair.1.alter() != 0 && self.implied(true).is_some();
            let scale = match suspended {
                true => context.scale,
                false => Scale::Usual,
            };
            let pairs = available::suspended_pairs(scale).iter();
            let open: Vec<Pair> = pairs.filter(|pair| !bent(pair)).copied().collect();
            return match self.implied(true) {
                Some(ninth) if open.is_empty() => vec![(Degree::FIFTH, ninth)],
                _ => open,
            };
        }
        let ninths = available::ninths(self.chord.family(), context.scale).iter();
        ninths.map(|ninth| (Degree::FIFTH, *ninth)).collect()
    }

    /// The symbol names one tone: what may stand with it.
    fn pairs_around(
        &self,
        one: Degree,
        context: HarmonicContext,
        colour: Colour,
        melody: &[Pitch],
    ) -> Vec<Pair> {
        let fifths = |list: &[Degree]| list.iter().map(|f| (*f, one)).collect();
        let ninths = |list: &[Degree]| list.iter().map(|n| (one, *n)).collect();
        let is_ninth = one.number() == 9;
        let altering = self.is_dominant() && alters(context.resolution, colour);
        match (is_ninth, colour) {
            (true, Colour::Written) => fifths(&[self.implied(false).unwrap_or(Degree::FIFTH)]),
            (false, Colour::Written) => ninths(&[self.implied(true).unwrap_or(Degree::ROOT)]),
            (true, _) if altering => fifths(self.bent_fifths(melody)),
            (false, _) if altering => ninths(&[Degree::SHARP_NINTH, Degree::FLAT_NINTH]),
            (true, _) => fifths(self.fifths_with(one, context)),
            // The 9 is foreign to the key, a colour to ask for (locrian with a natural 2, from memory).
            (false, Colour::Altered) if self.chord.family() == Family::HalfDiminished => {
                ninths(&[Degree::ROOT, Degree::ELEVENTH, Degree::NINTH])
            }
            (false, _) => match self.implied(true) {
                Some(implied) => ninths(&[implied]),
                None => ninths(self.ninths_with(one, context)),
            },
        }
    }

    /// What may take the fifth place beside a named ninth.
    fn fifths_with(&self, ninth: Degree, context: HarmonicContext) -> &'static [Degree] {
        let dark = available::is_dark(context.scale);
        if !self.is_dominant() {
            return match self.is_suspended() && !dark {
                true => &[Degree::FIFTH, Degree::THIRTEENTH],
                false => &[Degree::FIFTH],
            };
        }
        match (context.scale, ninth.alter()) {
            (_, 1..) => &[Degree::FLAT_THIRTEENTH, Degree::FIFTH],
            _ if dark => &[Degree::FLAT_THIRTEENTH, Degree::FIFTH],
            (Scale::LydianDominant, 0) => &[Degree::THIRTEENTH, Degree::SHARP_ELEVENTH],
            (Scale::Usual, _) => &[Degree::FIFTH, Degree::THIRTEENTH],
            _ => &[Degree::THIRTEENTH, Degree::FIFTH],
        }
    }

    /// What may take the ninth place beside a named tone in the fifth place.
    fn ninths_with(&self, fifth: Degree, context: HarmonicContext) -> &'static [Degree] {
        let falls = matches!(
            context.resolution,
            Resolution::FifthIntoMajor | Resolution::FifthIntoMinor
        );
        match self.chord.family() {
            Family::HalfDiminished => &[Degree::ROOT, Degree::ELEVENTH],
            _ if !self.is_dominant() => available::ninths(self.chord.family(), context.scale),
            _ if fifth == Degree::FLAT_THIRTEENTH && falls => match context.scale {
                Scale::MixolydianFlat13 => {
                    &[Degree::SHARP_NINTH, Degree::FLAT_NINTH, Degree::NINTH]
                }
                _ => &[Degree::SHARP_NINTH, Degree::FLAT_NINTH],
            },
            _ => available::dominant_ninths(context.scale),
        }
    }

    /// The symbol names two or more: each two of them that may stand together.
    fn named_pairs(&self) -> Vec<Pair> {
        let each = self.named.iter().enumerate();
        each.flat_map(|(at, first)| {
            self.named
                .iter()
                .skip(at + 1)
                .map(|second| (*first, *second))
        })
        .map(|(a, b)| {
            let ninth_first = a.number() == 9 && b.number() != 9;
            if ninth_first { (b, a) } else { (a, b) }
        })
        .collect()
    }

    /// A bent ninth with a bent fifth: the flat thirteenth. With the #11 in its place 3, b7 and b9
    /// are the seventh chord a tritone away with this root as its own #11, which is another sound;
    /// so it joins only where the symbol or the melody has it (common practice, no source).
    fn bent_pairs(&self, melody: &[Pitch]) -> Vec<Pair> {
        let fifths = self.bent_fifths(melody).iter();
        fifths
            .flat_map(|fifth| [(*fifth, Degree::SHARP_NINTH), (*fifth, Degree::FLAT_NINTH)])
            .filter(|pair| self.admits(*pair))
            .collect()
    }

    /// What bends the fifth: b13, beside it the #11 where the melody sings that, and the #11 alone where
    /// the symbol asks for it or the melody leaves the b13 no room.
    fn bent_fifths(&self, melody: &[Pitch]) -> &'static [Degree] {
        let sharp_eleventh = i32::from(Degree::SHARP_ELEVENTH.class());
        let no_room = melody
            .iter()
            .any(|t| self.at_odds(Degree::FLAT_THIRTEENTH, *t));
        if no_room || self.named.contains(&Degree::SHARP_ELEVENTH) {
            &[Degree::SHARP_ELEVENTH]
        } else if melody.iter().any(|t| self.above_root(*t) == sharp_eleventh) {
            &[Degree::FLAT_THIRTEENTH, Degree::SHARP_ELEVENTH]
        } else {
            &[Degree::FLAT_THIRTEENTH]
        }
    }
}

/// Whether the colour alters a dominant that goes this way.
fn alters(resolution: Resolution, colour: Colour) -> bool {
    colour == Colour::Altered && resolution != Resolution::Elsewhere
}
