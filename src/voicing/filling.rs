//! Fillings: which tones stand around third and seventh in a four-note voicing.
//!
//! A rootless voicing has four places. Third and seventh are given by the chord; the *fifth place*
//! holds the 5 or what replaces it (b5 #5 11 #11 b13 13), the *ninth place* the 9, b9 or #9, or the
//! root itself where no ninth fits. Which of them, the [`Colour`] decides with the chord's
//! [`HarmonicContext`]. What the symbol names always wins: colour only fills what the symbol leaves open, and a
//! tone it adds keeps clear of a slash bass.
//!
//! What the melody does to the fillings is in [`melody`]. Neither file knows an order of notes or a
//! keyboard: see [`super::shapes`].

mod melody;
mod plain;

use crate::chord::{Chord, Family};
use crate::hand::{cancels, fourth_for_third, keeps_root, rubs_bass, sixth_for_seventh};
use crate::harmony::{HarmonicContext, Resolution, Scale};
use crate::pitch::{Degree, Pitch};

use super::Colour;
use super::available::{self, Pair};
use super::bare;
pub(super) use plain::TENSION;
use plain::without_thirteenth;

/// The four degrees of a rootless voicing, by place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Filling {
    /// 3 or b3, the 4 (or 2) of a suspended chord.
    pub third: Degree,
    /// 5 or what replaces it.
    pub fifth: Degree,
    /// 7, b7, bb7, or the 6 of a sixth chord.
    pub seventh: Degree,
    /// 9, b9, #9, or the root.
    pub ninth: Degree,
}

impl Filling {
    /// The degrees, place by place.
    pub const fn degrees(self) -> [Degree; 4] {
        [self.third, self.fifth, self.seventh, self.ninth]
    }
}

/// The usual fillings in this colour, in a fixed order; none where the chord lacks a third or a
/// seventh and the colour does not supply it.
///
/// The melody wins over the colour: a filling whose added tones lie a half step from a melody note is
/// dropped where another agrees with the melody, and a dominant then takes the melody's alteration.
///
/// ```
/// use compline::chord::Chord;
/// use compline::harmony::HarmonicContext;
/// use compline::voicing::{Colour, fillings};
///
/// let shown = |symbol, colour| -> Vec<String> {
///     let chord = Chord::read(symbol).unwrap();
///     let all = fillings(&chord, HarmonicContext::default(), colour, &[]);
///     all.iter().map(|f| f.degrees().map(|d| d.to_string()).join(" ")).collect()
/// };
/// assert_eq!(shown("Cmaj7", Colour::Natural), ["3 5 7 9"]);
/// assert_eq!(shown("Cmaj7", Colour::Written), ["3 5 7 1"]);
/// assert_eq!(shown("C", Colour::Natural), ["3 5 6 9"]);
/// ```
pub fn fillings(
    chord: &Chord,
    context: HarmonicContext,
    colour: Colour,
    melody: &[Pitch],
) -> Vec<Filling> {
    Fillings::of(chord, context, colour, melody, StandIn::None).usual
}

/// What the melody may put in the place of a tone of the chord.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum StandIn {
    /// Nothing.
    None,
    /// The 6 in the seventh's place.
    Sixth,
    /// The 4 in the third's place.
    Fourth,
}

/// The usual fillings, and the plainer ones each with the half tensions it leaves out.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Fillings {
    /// The usual ones for the place.
    pub usual: Vec<Filling>,
    /// The plainer ones, the least plain first.
    pub plainer: Vec<(u32, Filling)>,
}

impl Fillings {
    /// The fillings with what may stand in; none where the melody gives no cause for it, and where the
    /// chord has no third or seventh.
    pub fn of(
        chord: &Chord,
        context: HarmonicContext,
        colour: Colour,
        melody: &[Pitch],
        stand_in: StandIn,
    ) -> Self {
        let frame = Frame::of(chord, context, colour);
        let frame = frame.and_then(|frame| match stand_in {
            StandIn::None => Some(frame),
            StandIn::Sixth => Some(frame.with_seventh(sixth_for_seventh(chord, melody)?)),
            StandIn::Fourth => Some(frame.with_third(fourth_for_third(chord, melody)?)),
        });
        let Some(frame) = frame else {
            return Self::default();
        };
        let usual = frame.fillings(context, colour, melody);
        let plainer = frame.plainer(&usual, context, colour, melody);
        let (usual, mut lesser) = match colour {
            Colour::Written => (usual, Vec::new()),
            _ => without_thirteenth(usual),
        };
        lesser.extend(plainer);
        Self {
            usual,
            plainer: lesser,
        }
    }
}

/// Third and seventh, and what else the chord insists on.
struct Frame<'a> {
    chord: &'a Chord,
    third: Degree,
    seventh: Degree,
    /// Named tones beyond third and seventh, rising.
    named: Vec<Degree>,
}

impl<'a> Frame<'a> {
    fn of(chord: &'a Chord, context: HarmonicContext, colour: Colour) -> Option<Self> {
        let third = chord.third()?;
        let frame = [chord.third(), chord.seventh()];
        let mut named: Vec<Degree> = chord
            .tones()
            .iter()
            .filter(|tone| tone.named && !frame.contains(&Some(tone.degree)))
            .map(|tone| tone.degree)
            .collect();
        if chord.is_altered() {
            // It lists four alterations to choose from; only what is written besides is insisted on.
            let besides = chord.symbol().contains("11");
            named.retain(|degree| *degree == Degree::SHARP_ELEVENTH && besides);
        }
        named.sort();
        let seventh = chord.seventh().or_else(|| {
            let bare = named.is_empty()
                && colour != Colour::Written
                && chord.fifth() == Some(Degree::FIFTH);
            bare.then(|| bare::seventh(chord, context)).flatten()
        })?;
        Some(Self {
            chord,
            third,
            seventh,
            named,
        })
    }

    /// The frame with another note for its seventh; a named tone of the same sound is that note.
    fn with_seventh(mut self, seventh: Degree) -> Self {
        self.seventh = seventh;
        self.named.retain(|named| named.class() != seventh.class());
        self
    }

    /// The frame with another note for its third.
    fn with_third(mut self, third: Degree) -> Self {
        self.third = third;
        self
    }

    /// Whether the chord is suspended, by its symbol or for the melody.
    fn is_suspended(&self) -> bool {
        self.chord.family() == Family::Suspended || self.third.class() == 5
    }

    fn fill(&self, (fifth, ninth): Pair) -> Filling {
        Filling {
            third: self.third,
            fifth,
            seventh: self.seventh,
            ninth,
        }
    }

    /// Whether it is a suspended seventh chord. A triad that the melody suspends is none: its seventh is
    /// added, and over an added seventh nothing is bent.
    fn is_suspended_seventh(&self) -> bool {
        self.is_suspended() && self.chord.seventh().is_some() && self.seventh.class() == 10
    }

    /// Whether the symbol makes a dominant: C/Bb does not, which is a seventh chord by its bass alone.
    fn is_dominant(&self) -> bool {
        let seventh = self.chord.seventh().is_some() && self.seventh.class() == 10;
        seventh && self.third.class() == 4
    }

    /// Whether ninth and fifth are both bent and nothing else is named: `alt`, or a dominant that the
    /// colour alters.
    fn is_bent(&self, context: HarmonicContext, colour: Colour) -> bool {
        let by_colour = self.is_dominant() && alters(context.resolution, colour);
        self.chord.is_altered() || self.named.is_empty() && by_colour
    }

    fn pairs(&self, context: HarmonicContext, colour: Colour, melody: &[Pitch]) -> Vec<Pair> {
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

    /// An extension the symbol implies without writing it, for the ninth place or the fifth place.
    fn implied(&self, ninth: bool) -> Option<Degree> {
        let mut tones = self.chord.tones().iter().filter(|tone| !tone.named);
        let fits = |degree: Degree| match ninth {
            true => degree.number() == 9,
            false => degree.number() == 13,
        };
        tones.find(|tone| fits(tone.degree)).map(|tone| tone.degree)
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

    /// The pairs without an added tone a half step from a slash bass; where all have one, 5 and root
    /// in the place of such tones.
    fn clear_of_bass(&self, pairs: Vec<Pair>) -> Vec<Pair> {
        let rubs = |degree: Degree| rubs_bass(self.chord, degree);
        let clear: Vec<Pair> = pairs
            .iter()
            .copied()
            .filter(|(fifth, ninth)| !rubs(*fifth) && !rubs(*ninth))
            .collect();
        if !clear.is_empty() {
            return clear;
        }
        let plain = |tone, instead| if rubs(tone) { instead } else { tone };
        let mut plainer: Vec<Pair> = Vec::new();
        for (fifth, ninth) in pairs {
            let pair = (plain(fifth, Degree::FIFTH), plain(ninth, Degree::ROOT));
            if self.admits(pair) && !cancels(pair.0, pair.1) && !plainer.contains(&pair) {
                plainer.push(pair);
            }
        }
        plainer
    }

    /// Four different tones, and no 5 where the symbol leaves it out or replaces it.
    fn admits(&self, (fifth, ninth): Pair) -> bool {
        let all = self.fill((fifth, ninth)).degrees().map(Degree::class);
        let distinct = all
            .iter()
            .enumerate()
            .all(|(at, class)| !all[..at].contains(class));
        let five = [fifth, ninth].contains(&Degree::FIFTH);
        distinct && (!five || self.chord.fifth() == Some(Degree::FIFTH))
    }
}

/// Whether the colour alters a dominant that goes this way.
fn alters(resolution: Resolution, colour: Colour) -> bool {
    colour == Colour::Altered && resolution != Resolution::Elsewhere
}
