//! The frame of a four-note voicing: third and seventh, which the chord gives, and what it insists on besides.

use crate::chord::{Chord, Family};
use crate::hand::{cancels, rubs_bass};
use crate::harmony::HarmonicContext;
use crate::pitch::{Degree, Pitch};
use crate::voicing::available::Pair;
use crate::voicing::{Colour, bare};

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

/// Third and seventh, and what else the chord insists on.
pub(super) struct Frame<'a> {
    pub chord: &'a Chord,
    pub third: Degree,
    pub seventh: Degree,
    /// Named tones beyond third and seventh, rising.
    pub named: Vec<Degree>,
}

impl<'a> Frame<'a> {
    pub fn of(
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
    pub fn with_seventh(mut self, seventh: Degree) -> Self {
        self.seventh = seventh;
        self.named.retain(|named| named.class() != seventh.class());
        self
    }

    /// The frame with another note for its third.
    pub fn with_third(mut self, third: Degree) -> Self {
        self.third = third;
        self
    }

    /// Whether the chord is suspended, by its symbol or for the melody.
    pub fn is_suspended(&self) -> bool {
        self.chord.family() == Family::Suspended || self.third.class() == 5
    }

    pub fn fill(&self, (fifth, ninth): Pair) -> Filling {
        Filling {
            third: self.third,
            fifth,
            seventh: self.seventh,
            ninth,
        }
    }

    /// Whether it is a suspended seventh chord. A triad that the melody suspends is none: its seventh is
    /// added, and over an added seventh nothing is bent.
    pub fn is_suspended_seventh(&self) -> bool {
        self.is_suspended() && self.chord.seventh().is_some() && self.seventh.class() == 10
    }

    /// Whether the symbol makes a dominant: C/Bb does not, which is a seventh chord by its bass alone.
    pub fn is_dominant(&self) -> bool {
        let seventh = self.chord.seventh().is_some() && self.seventh.class() == 10;
        seventh && self.third.class() == 4
    }

    /// An extension the symbol implies without writing it, for the ninth place or the fifth place.
    pub fn implied(&self, ninth: bool) -> Option<Degree> {
        let mut tones = self.chord.tones().iter().filter(|tone| !tone.named);
        let fits = |degree: Degree| match ninth {
            true => degree.number() == 9,
            false => degree.number() == 13,
        };
        tones.find(|tone| fits(tone.degree)).map(|tone| tone.degree)
    }

    /// The pairs without an added tone a half step from a slash bass; where all have one, 5 and root
    /// in the place of such tones.
    pub fn clear_of_bass(&self, pairs: Vec<Pair>) -> Vec<Pair> {
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
    pub fn admits(&self, (fifth, ninth): Pair) -> bool {
        let all = self.fill((fifth, ninth)).degrees().map(Degree::class);
        let distinct = all
            .iter()
            .enumerate()
            .all(|(at, class)| !all[..at].contains(class));
        let five = [fifth, ninth].contains(&Degree::FIFTH);
        distinct && (!five || self.chord.fifth() == Some(Degree::FIFTH))
    }
}
