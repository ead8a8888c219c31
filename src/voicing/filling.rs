//! Fillings: which tones stand around third and seventh in a four-note voicing.
//!
//! A rootless voicing has four places. Third and seventh are given by the chord; the *fifth place*
//! holds the 5 or what replaces it (b5 #5 11 #11 b13 13), the *ninth place* the 9, b9 or #9, or the
//! root itself where no ninth fits. Which of them, the [`Colour`] decides with the chord's
//! [`HarmonicContext`]: see [`pairs`]. What the symbol names always wins: colour only fills what the symbol
//! leaves open, and a tone it adds keeps clear of a slash bass.
//!
//! What the melody does to the fillings is in [`melody`], what may stand in their place in [`plain`]. None of
//! these files knows an order of notes or a keyboard: see [`super::shapes`].

mod melody;
mod pairs;
mod plain;

use crate::chord::{Chord, Family};
use crate::hand::{cancels, fourth_for_third, rubs_bass, sixth_for_seventh};
use crate::harmony::HarmonicContext;
use crate::pitch::{Degree, Pitch};

use super::Colour;
use super::available::Pair;
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
        let frame = Frame::of(chord, context, colour, melody);
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
            // Where the 5 stays from the suspension on, it lacks nothing.
            _ if context.after_suspension => (usual, Vec::new()),
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
    fn of(
        chord: &'a Chord,
        context: HarmonicContext,
        colour: Colour,
        melody: &[Pitch],
    ) -> Option<Self> {
        let third = chord.third()?;
        let mut named: Vec<Degree> = chord.named_beyond_frame().collect();
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
            bare.then(|| bare::seventh(chord, context, melody))
                .flatten()
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

    /// An extension the symbol implies without writing it, for the ninth place or the fifth place.
    fn implied(&self, ninth: bool) -> Option<Degree> {
        let mut tones = self.chord.tones().iter().filter(|tone| !tone.named);
        let fits = |degree: Degree| match ninth {
            true => degree.number() == 9,
            false => degree.number() == 13,
        };
        tones.find(|tone| fits(tone.degree)).map(|tone| tone.degree)
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
