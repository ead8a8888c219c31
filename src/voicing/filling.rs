//! Fillings: which tones stand around third and seventh in a four-note voicing.
//!
//! A rootless voicing has four places. Third and seventh are given by the chord; the *fifth place*
//! holds the 5 or what replaces it (b5 #5 11 #11 b13 13), the *ninth place* the 9, b9 or #9, or the
//! root itself where no ninth fits. Which of them, the [`Colour`] decides with the chord's
//! [`Place`]. What the symbol names always wins: colour only fills what the symbol leaves open.
//!
//! The file knows no order of notes and no keyboard: see [`super::shapes`].

use crate::chord::{Chord, Family};
use crate::hand::{cancels, sixth_for_seventh};
use crate::harmony::{Place, Resolution};
use crate::pitch::{Degree, Pitch};

use super::Colour;

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

const ROOT: Degree = Degree::known(1, 0);
const FIFTH: Degree = Degree::known(5, 0);
const SIXTH: Degree = Degree::known(6, 0);
const FLAT_SEVENTH: Degree = Degree::known(7, -1);
const FLAT_NINTH: Degree = Degree::known(9, -1);
const NINTH: Degree = Degree::known(9, 0);
const SHARP_NINTH: Degree = Degree::known(9, 1);
const ELEVENTH: Degree = Degree::known(11, 0);
const SHARP_ELEVENTH: Degree = Degree::known(11, 1);
const FLAT_THIRTEENTH: Degree = Degree::known(13, -1);
const THIRTEENTH: Degree = Degree::known(13, 0);

/// A choice of fifth place and ninth place.
type Pair = (Degree, Degree);

/// Every filling the colour allows, in a fixed order; none where the chord lacks a third or a
/// seventh and the colour does not supply it.
///
/// The tune wins over the colour: a filling whose added tones lie a half step from a tune note is
/// dropped where another agrees with the tune, and a dominant then takes the tune's alteration.
///
/// ```
/// use compline::chord::Chord;
/// use compline::harmony::Place;
/// use compline::voicing::{Colour, fillings};
///
/// let shown = |symbol, colour| -> Vec<String> {
///     let chord = Chord::read(symbol).unwrap();
///     let all = fillings(&chord, Place::default(), colour, &[]);
///     all.iter().map(|f| f.degrees().map(|d| d.to_string()).join(" ")).collect()
/// };
/// assert_eq!(shown("Cmaj7", Colour::Natural), ["3 5 7 9"]);
/// assert_eq!(shown("Cmaj7", Colour::Written), ["3 5 7 1"]);
/// assert_eq!(shown("C", Colour::Natural), ["3 5 6 9"]);
/// ```
pub fn fillings(chord: &Chord, place: Place, colour: Colour, melody: &[Pitch]) -> Vec<Filling> {
    Frame::of(chord, place, colour)
        .map(|frame| frame.fillings(place, colour, melody))
        .unwrap_or_default()
}

/// The fillings with the 6 in the seventh's place; none where the tune gives no cause for it.
pub(super) fn sixth_fillings(
    chord: &Chord,
    place: Place,
    colour: Colour,
    melody: &[Pitch],
) -> Vec<Filling> {
    let frame = sixth_for_seventh(chord, melody)
        .and_then(|sixth| Some(Frame::of(chord, place, colour)?.with_seventh(sixth)));
    frame
        .map(|frame| frame.fillings(place, colour, melody))
        .unwrap_or_default()
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
    fn of(chord: &'a Chord, place: Place, colour: Colour) -> Option<Self> {
        let third = chord.third()?;
        let frame = [chord.third(), chord.seventh()];
        let mut named: Vec<Degree> = chord
            .tones()
            .iter()
            .filter(|tone| tone.named && !frame.contains(&Some(tone.degree)))
            .map(|tone| tone.degree)
            .collect();
        named.sort();
        let seventh = chord.seventh().or_else(|| {
            let bare =
                named.is_empty() && colour != Colour::Written && chord.fifth() == Some(FIFTH);
            bare.then(|| jazz_seventh(chord.family(), place)).flatten()
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

    fn fillings(&self, place: Place, colour: Colour, melody: &[Pitch]) -> Vec<Filling> {
        let usual = self.pairs(place, colour);
        let agreeing = self.agreeing(&usual, melody);
        let pairs = if !agreeing.is_empty() || colour == Colour::Written {
            agreeing
        } else {
            self.agreeing(&self.last_resort(), melody)
        };
        let pairs = if pairs.is_empty() { usual } else { pairs };
        pairs.into_iter().map(|pair| self.fill(pair)).collect()
    }
    fn fill(&self, (fifth, ninth): Pair) -> Filling {
        Filling {
            third: self.third,
            fifth,
            seventh: self.seventh,
            ninth,
        }
    }

    fn is_dominant(&self) -> bool {
        self.third.class() == 4 && self.seventh.class() == 10
    }

    fn pairs(&self, place: Place, colour: Colour) -> Vec<Pair> {
        if self.chord.is_altered() {
            return self.alt_pairs();
        }
        match self.named[..] {
            [] => self.open_pairs(place, colour),
            [one] => self.pairs_around(one, place, colour),
            _ => self.named_pairs(),
        }
        .into_iter()
        .filter(|pair| self.admits(*pair))
        .collect()
    }

    /// The symbol names nothing: the colour's own table.
    fn open_pairs(&self, place: Place, colour: Colour) -> Vec<Pair> {
        if colour == Colour::Written {
            return vec![(FIFTH, ROOT)];
        }
        if self.is_dominant() {
            return dominant_pairs(place.resolution, colour);
        }
        match self.chord.family() {
            Family::Suspended => vec![(FIFTH, NINTH), (THIRTEENTH, NINTH)],
            _ => vec![(FIFTH, NINTH)],
        }
    }

    /// The symbol names one tone: what may stand with it.
    fn pairs_around(&self, one: Degree, place: Place, colour: Colour) -> Vec<Pair> {
        let fifths = |list: &[Degree]| list.iter().map(|f| (*f, one)).collect();
        let ninths = |list: &[Degree]| list.iter().map(|n| (one, *n)).collect();
        let is_ninth = one.number() == 9;
        let altering = self.is_dominant() && alters(place.resolution, colour);
        match (is_ninth, colour) {
            (true, Colour::Written) => fifths(&[self.implied(false).unwrap_or(FIFTH)]),
            (false, Colour::Written) => ninths(&[self.implied(true).unwrap_or(ROOT)]),
            (true, _) if altering => fifths(&[FLAT_THIRTEENTH, SHARP_ELEVENTH]),
            (false, _) if altering => ninths(&[SHARP_NINTH, FLAT_NINTH]),
            (true, _) => fifths(self.fifths_with(one, place)),
            (false, _) => match self.implied(true) {
                Some(implied) => ninths(&[implied]),
                None => ninths(self.ninths_with(one, place)),
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
    fn fifths_with(&self, ninth: Degree, place: Place) -> &'static [Degree] {
        if !self.is_dominant() {
            return match self.chord.family() {
                Family::Suspended => &[FIFTH, THIRTEENTH],
                _ => &[FIFTH],
            };
        }
        match (place.resolution, ninth.alter()) {
            (Resolution::FifthIntoMinor, _) => &[FLAT_THIRTEENTH, FIFTH],
            (_, 1..) => &[FLAT_THIRTEENTH, FIFTH],
            (Resolution::HalfStepDown, 0) => &[THIRTEENTH, SHARP_ELEVENTH],
            (Resolution::Elsewhere, _) => &[FIFTH, THIRTEENTH],
            _ => &[THIRTEENTH, FIFTH],
        }
    }

    /// What may take the ninth place beside a named tone in the fifth place.
    fn ninths_with(&self, fifth: Degree, place: Place) -> &'static [Degree] {
        let into_minor = place.resolution == Resolution::FifthIntoMinor;
        let into_major = place.resolution == Resolution::FifthIntoMajor;
        match self.chord.family() {
            Family::HalfDiminished => &[ROOT, ELEVENTH],
            _ if !self.is_dominant() => &[NINTH],
            _ if fifth == FLAT_THIRTEENTH && (into_minor || into_major) => {
                &[SHARP_NINTH, FLAT_NINTH]
            }
            _ if fifth == THIRTEENTH && into_minor => &[FLAT_NINTH],
            _ => &[NINTH],
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

    /// An "alt" leaves the choice to the player: a bent ninth with a bent fifth.
    fn alt_pairs(&self) -> Vec<Pair> {
        vec![
            (FLAT_THIRTEENTH, SHARP_NINTH),
            (FLAT_THIRTEENTH, FLAT_NINTH),
            (SHARP_ELEVENTH, SHARP_NINTH),
            (SHARP_ELEVENTH, FLAT_NINTH),
        ]
    }

    /// Four different tones, and no 5 where the symbol leaves it out or replaces it.
    fn admits(&self, (fifth, ninth): Pair) -> bool {
        let all = self.fill((fifth, ninth)).degrees().map(Degree::class);
        let distinct = all
            .iter()
            .enumerate()
            .all(|(at, class)| !all[..at].contains(class));
        let five = [fifth, ninth].contains(&FIFTH);
        distinct && (!five || self.chord.fifth() == Some(FIFTH))
    }

    fn agreeing(&self, pairs: &[Pair], melody: &[Pitch]) -> Vec<Pair> {
        let agrees = |degree: Degree| {
            self.named.contains(&degree)
                || degree == ROOT
                || melody.iter().all(|tune| !self.at_odds(degree, *tune))
        };
        let both = pairs
            .iter()
            .filter(|(fifth, ninth)| agrees(*fifth) && agrees(*ninth));
        both.copied().collect()
    }

    /// Whether an added tone cannot live with what the tune sings: a half step from a tune note that
    /// is itself no chord tone, or a b13 under the tune's 5. The 5 only minds a b13.
    fn at_odds(&self, degree: Degree, tune: Pitch) -> bool {
        let above_root = self.chord.root().class().up_to(tune.class()).0;
        let gap = (above_root - i32::from(degree.class())).rem_euclid(12);
        let frame = [
            Some(ROOT),
            Some(self.third),
            self.chord.fifth(),
            Some(self.seventh),
        ];
        let mut frame = frame.into_iter().flatten();
        let chord_tone = frame.any(|tone| i32::from(tone.class()) == above_root);
        match degree {
            FIFTH => above_root == 8,
            FLAT_THIRTEENTH if above_root == 7 => true,
            _ => !chord_tone && (gap == 1 || gap == 11),
        }
    }

    /// Where nothing usual agrees with the tune: a dominant takes any of its tensions, any other
    /// chord keeps its root.
    fn last_resort(&self) -> Vec<Pair> {
        if !self.is_dominant() || !self.named.is_empty() {
            return self.pairs(Place::default(), Colour::Written);
        }
        let ninths = [NINTH, FLAT_NINTH, SHARP_NINTH];
        let fifths = [THIRTEENTH, FIFTH, FLAT_THIRTEENTH, SHARP_ELEVENTH];
        let all = ninths.iter().flat_map(|n| fifths.map(|f| (f, *n)));
        all.filter(|pair| self.admits(*pair) && !cancels(pair.0, pair.1))
            .collect()
    }
}

/// What a jazz player hears as the seventh of a bare triad: major as a six-nine, minor as a minor
/// ninth or, at rest, as a minor six-nine.
fn jazz_seventh(family: Family, place: Place) -> Option<Degree> {
    match family {
        Family::Major => Some(SIXTH),
        Family::Minor if place.tonic => Some(SIXTH),
        Family::Minor => Some(FLAT_SEVENTH),
        _ => None,
    }
}

/// Whether the colour alters a dominant that goes this way.
fn alters(resolution: Resolution, colour: Colour) -> bool {
    colour == Colour::Altered && resolution != Resolution::Elsewhere
}

/// The tensions of a dominant that names none (Berklee HARM 121 sheet, 2008, for the secondary
/// dominants; the half-step resolution from memory, Nettles & Graf).
fn dominant_pairs(resolution: Resolution, colour: Colour) -> Vec<Pair> {
    if alters(resolution, colour) {
        return vec![
            (FLAT_THIRTEENTH, SHARP_NINTH),
            (FLAT_THIRTEENTH, FLAT_NINTH),
            (SHARP_ELEVENTH, SHARP_NINTH),
            (SHARP_ELEVENTH, FLAT_NINTH),
        ];
    }
    match resolution {
        Resolution::FifthIntoMajor => vec![(THIRTEENTH, NINTH), (FIFTH, NINTH)],
        Resolution::FifthIntoMinor => vec![(FLAT_THIRTEENTH, FLAT_NINTH), (FIFTH, FLAT_NINTH)],
        Resolution::HalfStepDown => vec![(THIRTEENTH, NINTH), (SHARP_ELEVENTH, NINTH)],
        Resolution::Elsewhere => vec![(FIFTH, NINTH), (THIRTEENTH, NINTH)],
    }
}
