//! The shapes: rules that turn a chord's tones into orders of notes.
//!
//! A shape is one file and one line in [`SHAPES`]. It lays notes out above the root and knows nothing
//! of keyboards and hands: whether a [`Layout`] may be played, and where, is judged elsewhere.

mod block;
mod guide_tones;
mod layout;
mod rootless;
mod shell;
mod three_note;

use std::fmt;
use std::hash::{Hash, Hasher};

pub use crate::chart::Form;
pub use block::{block_nearest, block_root};
pub use layout::Layout;

pub(super) use block::SHAPE as BLOCK;
pub(super) use guide_tones::SHAPE as GUIDE_TONES;
pub(super) use rootless::SHAPE as ROOTLESS;
pub(super) use shell::SHAPE as SHELL;
pub(super) use three_note::SHAPE as THREE_NOTE;

use crate::chord::{Chord, Family};
use crate::hand::{fourth_for_third, is_forbidden, sixth_for_seventh};
use crate::harmony::{HarmonicContext, LineTone};
use crate::pitch::{Degree, Pitch};

use super::Colour;
use super::bare;
use super::filling::{Filling, Fillings, StandIn, TENSION};

/// A named way of laying out a chord; prints its name. No two have the same name, so those of one name are equal.
#[derive(Debug)]
pub struct Shape {
    /// Its name in settings and output.
    pub name: &'static str,
    /// What it is, in one line, with who teaches it.
    pub about: &'static str,
    /// Every layout of a chord in this shape, in a fixed order.
    pub layouts: fn(&Material<'_>) -> Vec<Layout>,
}

/// Every shape the program knows.
pub static SHAPES: [&Shape; 5] = [&ROOTLESS, &THREE_NOTE, &SHELL, &GUIDE_TONES, &BLOCK];

impl PartialEq for Shape {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

impl Eq for Shape {}

impl Hash for Shape {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.name.hash(state);
    }
}

impl fmt::Display for Shape {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name)
    }
}

impl Shape {
    /// What a layout of this shape is called: with its root a four-note or three-note voicing is no
    /// rootless one but a close position of the chord, and three notes are a three-note voicing.
    pub(super) fn called(&'static self, layout: &Layout) -> &'static Self {
        let rooted = layout.degrees().any(|degree| degree == Degree::ROOT);
        let rootless = [&ROOTLESS, &THREE_NOTE].contains(&self);
        match (rooted, layout.tones.len()) {
            (true, _) if rootless => &BLOCK,
            (false, 3) if *self == ROOTLESS => &THREE_NOTE,
            _ => self,
        }
    }
}

/// The shape of this name.
pub fn shape(name: &str) -> Option<&'static Shape> {
    SHAPES.into_iter().find(|shape| shape.name == name)
}

/// What the shapes are made of: the chord, and the colour worked out for its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Material<'a> {
    /// The chord.
    pub chord: &'a Chord,
    /// How much is added.
    pub colour: Colour,
    /// The chord's third, or the 4 that stands for it.
    pub third: Option<Degree>,
    /// The chord's seventh, or the 6 that stands for it.
    pub seventh: Option<Degree>,
    /// The fillings of the four places.
    pub fillings: Vec<Filling>,
    /// How many half tensions of the usual ones the fillings leave out: 0 for the usual ones.
    pub left_out: u32,
    /// All that sounds, where the place decides it: the tones of a line on one root, or of a chord that the melody
    /// suspends. Empty for most.
    pub only: Vec<Degree>,
    /// Whether every shape of more than two notes lays `only` out: what the melody leaves of a chord is nobody's
    /// own shape.
    pub in_any_shape: bool,
    /// The named tones that are left out, since the melody leaves no room for them.
    pub given_up: Vec<Degree>,
}

impl<'a> Material<'a> {
    /// The material of a chord in its place, under these melody notes: first the usual, then the plainer,
    /// the least plain first.
    pub fn of(
        chord: &'a Chord,
        context: HarmonicContext,
        colour: Colour,
        melody: &[Pitch],
    ) -> Vec<Self> {
        let fillings = Fillings::of(chord, context, colour, melody, StandIn::None);
        let frame = (chord.third(), chord.seventh());
        Self::filled(chord, colour, frame, fillings)
    }

    /// The same with the 4 in the third's place, where a melody on the 11 gives cause for it. None for
    /// any other chord or melody.
    pub fn suspended(
        chord: &'a Chord,
        context: HarmonicContext,
        colour: Colour,
        melody: &[Pitch],
    ) -> Vec<Self> {
        let Some(fourth) = fourth_for_third(chord, melody) else {
            return Vec::new();
        };
        if stays_triad(chord, context, melody) {
            return vec![Self {
                in_any_shape: true,
                ..Self::of_only(chord, colour, vec![Degree::ROOT, fourth, Degree::FIFTH])
            }];
        }
        let fillings = Fillings::of(chord, context, colour, melody, StandIn::Fourth);
        let frame = (Some(fourth), chord.seventh());
        Self::filled(chord, colour, frame, fillings)
    }

    /// The same with the 6 in the seventh's place, where a melody on the root gives cause for it.
    ///
    /// A major seventh rubs against a root in the melody, so the sixth is played for it (common
    /// practice, no source). None for any other chord or melody.
    pub fn sixth(
        chord: &'a Chord,
        context: HarmonicContext,
        colour: Colour,
        melody: &[Pitch],
    ) -> Vec<Self> {
        let Some(sixth) = sixth_for_seventh(chord, melody) else {
            return Vec::new();
        };
        let fillings = Fillings::of(chord, context, colour, melody, StandIn::Sixth);
        let frame = (chord.third(), Some(sixth));
        Self::filled(chord, colour, frame, fillings)
    }

    /// The chord without a tone that the melody suspends and resolves by itself. Without its third: what stands
    /// around third and seventh in the usual fillings, the 5 for a 13 that nobody named, since b7 and 13 alone
    /// tell another chord; of a bare triad root and fifth, with the 9 where colour is added. Without its sixth:
    /// the triad. Without its fifth: third and seventh around the root.
    pub fn without(
        tone: Degree,
        chord: &'a Chord,
        context: HarmonicContext,
        colour: Colour,
        melody: &[Pitch],
    ) -> Vec<Self> {
        let only = |left_out: u32, tones: Vec<Degree>| Self {
            left_out: left_out + TENSION,
            in_any_shape: true,
            ..Self::of_only(chord, colour, tones)
        };
        let tones = |tones: [Option<Degree>; 3]| tones.into_iter().flatten().collect();
        let triad = [Some(Degree::ROOT), chord.third(), chord.fifth()];
        let seventh = chord
            .seventh()
            .or_else(|| bare::seventh(chord, context, melody));
        let around_root = [Some(Degree::ROOT), chord.third(), seventh];
        match tone {
            _ if Some(tone) == chord.seventh() => return vec![only(0, tones(triad))],
            Degree::FIFTH => return vec![only(0, tones(around_root))],
            _ => {}
        }
        if chord.seventh().is_none() && !is_dominant(chord, context, melody) {
            let plain = colour == Colour::Written || context.line.is_some() || !is_bare(chord);
            let ninth = (!plain).then(|| only(0, vec![Degree::ROOT, Degree::FIFTH, Degree::NINTH]));
            let bare = only(0, vec![Degree::ROOT, Degree::FIFTH]);
            return ninth.into_iter().chain([bare]).collect();
        }
        let fillings = Fillings::of(chord, context, colour, melody, StandIn::None);
        let usual = fillings.usual.into_iter().map(|filling| (0, filling));
        let all = usual.chain(fillings.plainer);
        let named = |degree| chord.named_beyond_frame().any(|named| named == degree);
        let fifth = |f: &Filling| match f.fifth {
            Degree::THIRTEENTH if !named(Degree::THIRTEENTH) => Degree::FIFTH,
            fifth => fifth,
        };
        let around = |f: Filling| vec![fifth(&f), f.seventh, f.ninth];
        all.map(|(left_out, filling)| only(left_out, around(filling)))
            .collect()
    }

    /// The material of a chord in a line on one root.
    pub fn in_line(chord: &'a Chord, line: LineTone, colour: Colour) -> Self {
        let LineTone {
            moves,
            stays,
            seventh,
        } = line;
        let tones = stays.into_iter().chain([moves]).chain(seventh);
        Self::of_only(chord, colour, tones.collect())
    }

    /// The material of which these tones are all that sounds.
    fn of_only(chord: &'a Chord, colour: Colour, only: Vec<Degree>) -> Self {
        Self {
            chord,
            colour,
            third: chord.third(),
            seventh: chord.seventh(),
            fillings: Vec::new(),
            left_out: 0,
            only,
            in_any_shape: false,
            given_up: Vec::new(),
        }
    }

    /// The material without the named tones that the melody leaves no room for, for the shapes that are
    /// made of the chord's own tones; `None` where there are no such tones.
    pub fn giving_up(chord: &'a Chord, colour: Colour, melody: &[Pitch]) -> Option<Self> {
        let given_up: Vec<Degree> = chord
            .named_beyond_frame()
            .filter(|degree| is_forbidden(chord, *degree, melody))
            .collect();
        let left_out = TENSION * u32::try_from(given_up.len()).ok()?;
        (left_out > 0).then(|| Self {
            chord,
            colour,
            third: chord.third(),
            seventh: chord.seventh(),
            fillings: Vec::new(),
            left_out,
            only: Vec::new(),
            in_any_shape: false,
            given_up,
        })
    }

    fn filled(
        chord: &'a Chord,
        colour: Colour,
        (third, seventh): (Option<Degree>, Option<Degree>),
        fillings: Fillings,
    ) -> Vec<Self> {
        let with = |left_out: u32, fillings: Vec<Filling>| Self {
            chord,
            colour,
            third,
            seventh,
            fillings,
            left_out,
            only: Vec::new(),
            in_any_shape: false,
            given_up: Vec::new(),
        };
        let mut all = vec![with(0, fillings.usual)];
        for (left_out, filling) in fillings.plainer {
            match all.last_mut() {
                Some(last) if last.left_out == left_out => last.fillings.push(filling),
                _ => all.push(with(left_out, vec![filling])),
            }
        }
        all
    }

    /// What every shape of more than two notes lays out, in every inversion; nothing for most.
    fn of_any_shape(&self) -> Vec<Layout> {
        let each = 0..self.only.len();
        let layouts = each.map(|at| Layout::inversion(&self.only, at, None));
        if self.in_any_shape {
            layouts.collect()
        } else {
            Vec::new()
        }
    }

    /// Third and seventh, or what stands for them in this colour; none where the place decides what sounds.
    fn frame(&self) -> Option<(Degree, Degree)> {
        if !self.only.is_empty() {
            return None;
        }
        let filled = self.fillings.first().map(|f| (f.third, f.seventh));
        filled.or_else(|| Some((self.third?, self.seventh?)))
    }

    /// b3, b5 and seventh of a diminished seventh chord, which no two of them tell.
    fn diminished(&self) -> Option<[Degree; 3]> {
        let diminished = self.chord.family() == Family::Diminished && self.only.is_empty();
        let tones = [self.third?, self.chord.fifth()?, self.seventh?];
        diminished.then_some(tones)
    }

    /// Named tones beyond third and seventh.
    fn named(&self) -> Vec<Degree> {
        self.chord
            .named_beyond_frame()
            .filter(|degree| !self.stands_for_seventh(*degree) && !self.given_up.contains(degree))
            .collect()
    }

    /// Whether the degree sounds like the 6 that is played for the seventh.
    fn stands_for_seventh(&self, degree: Degree) -> bool {
        self.seventh != self.chord.seventh()
            && self
                .seventh
                .is_some_and(|sixth| sixth.class() == degree.class())
    }
}

/// Whether a symbol is a major triad with nothing else, over its root.
fn is_bare(chord: &Chord) -> bool {
    chord.is_major_triad() && !chord.is_triad_over_bass()
}

/// Whether a triad is read as a seventh chord in its place.
fn is_dominant(chord: &Chord, context: HarmonicContext, melody: &[Pitch]) -> bool {
    bare::seventh(chord, context, melody) == Some(Degree::FLAT_SEVENTH)
}

/// Whether a bare major triad is none but a triad.
fn stays_triad(chord: &Chord, context: HarmonicContext, melody: &[Pitch]) -> bool {
    is_bare(chord) && !is_dominant(chord, context, melody)
}

/// A degree in a diminished chord's inversion: the form follows the lowest note.
fn form_of(lowest: Degree, third: Degree, seventh: Degree) -> Option<Form> {
    match lowest {
        l if l == third => Some(Form::A),
        l if l == seventh => Some(Form::B),
        _ => None,
    }
}
