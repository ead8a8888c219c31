//! What a chord admits anywhere: its shapes in every colour and place, without a hand.

use std::collections::BTreeSet;

use crate::chord::{Chord, Family};
use crate::hand::{Requirements, SoundingNote, Sung, in_the_chord};
use crate::harmony::{HarmonicContext, Resolution, Scale};
use crate::pitch::{Degree, Pitch, Semitones};

use super::Colour;
use super::shapes::{Form, Layout, Material, SHAPES, Shape};

/// A layout that a chord admits, and the colour it does so in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Admitted {
    /// The shape.
    pub shape: &'static Shape,
    /// The colour.
    pub colour: Colour,
    /// The layout, with its form.
    pub layout: Layout,
}

impl Admitted {
    /// A or B, where the shape has forms.
    pub fn form(&self) -> Option<Form> {
        self.layout.form
    }
}

/// Every layout a chord admits in any shape, colour and place, by shape, then colour.
///
/// What must sound and what clashes has been asked; range, reach and limits have not, since they
/// belong to a hand.
///
/// ```
/// use compline::chord::Chord;
/// use compline::voicing::admitted;
///
/// let shells: Vec<String> = admitted(&Chord::read("Gm7").unwrap())
///     .iter()
///     .filter(|admitted| admitted.shape.name == "shell")
///     .map(|a| a.layout.degrees().map(|d| d.to_string()).collect::<Vec<_>>().join(" "))
///     .collect();
/// assert_eq!(shells[..2], ["1 b3 b7", "1 b7 b3"]);
/// ```
pub fn admitted(chord: &Chord) -> Vec<Admitted> {
    let mut found = Vec::new();
    for admitted in every(chord, &[], |_| true) {
        if !found.contains(&admitted) {
            found.push(admitted);
        }
    }
    found
}

/// The tones of all these layouts, as semitones above the chord's root, 0 to 11.
pub(crate) fn classes_in_shapes(chord: &Chord) -> BTreeSet<u8> {
    let layouts = every(chord, &[], |_| true).map(|admitted| admitted.layout);
    let degrees = layouts.flat_map(|layout| layout.degrees().collect::<Vec<_>>());
    degrees.map(Degree::class).collect()
}

/// The same under a melody, those layouts only that are `wanted`, one by one, some of them more than once.
pub(super) fn every<'c, W: Fn(&Layout) -> bool>(
    chord: &'c Chord,
    melody: &'c [Pitch],
    wanted: W,
) -> impl Iterator<Item = Admitted> + use<'c, W> {
    let asked = Requirements::of(chord, Sung::for_long(melody));
    let mut materials = Materials::of(chord, melody);
    let mut shapes = SHAPES.into_iter();
    let (mut shape, mut at) = (shapes.next(), 0);
    let pairs = std::iter::from_fn(move || {
        loop {
            let here = shape?;
            if let Some(material) = materials.get(at) {
                at += 1;
                return Some((here, material.colour, (here.layouts)(material)));
            }
            (shape, at) = (shapes.next(), 0);
        }
    });
    pairs
        .flat_map(|(shape, colour, layouts)| {
            let admitted = move |layout: Layout| Admitted {
                shape: shape.called(&layout),
                colour,
                layout,
            };
            layouts.into_iter().map(admitted)
        })
        .filter(move |Admitted { layout, .. }| wanted(layout) && is_of_the_chord(&asked, layout))
}

/// The chord in every colour, and in every place that makes a difference to it: worked out as far as it is asked
/// for, since most layouts are found in the first few.
struct Materials<'a> {
    found: Vec<Material<'a>>,
    rest: Box<dyn Iterator<Item = Material<'a>> + 'a>,
}

impl<'a> Materials<'a> {
    fn of(chord: &'a Chord, melody: &'a [Pitch]) -> Self {
        let of_place = move |(colour, context)| {
            let usual = Material::of(chord, context, colour, melody);
            let sixth = Material::sixth(chord, context, colour, melody);
            let suspended = Material::suspended(chord, context, colour, melody);
            usual.into_iter().chain(sixth).chain(suspended)
        };
        let colours = Colour::ALL.into_iter();
        let places = colours.flat_map(move |colour| contexts(chord).map(move |at| (colour, at)));
        Self {
            found: Vec::new(),
            rest: Box::new(places.flat_map(of_place)),
        }
    }

    /// The material at a place; each is there once.
    fn get(&mut self, at: usize) -> Option<&Material<'a>> {
        while self.found.len() <= at {
            let next = self.rest.next()?;
            if !self.found.contains(&next) {
                self.found.push(next);
            }
        }
        self.found.get(at)
    }
}

/// Every way on in every scale that makes a difference to the chord, rest, and the I7 of a blues.
fn contexts(chord: &Chord) -> impl Iterator<Item = HarmonicContext> {
    let ways = [Resolution::FifthIntoMajor, Resolution::Elsewhere];
    let scales = scales(chord);
    let going = ways.into_iter().flat_map(move |resolution| {
        scales.iter().map(move |scale| HarmonicContext {
            resolution,
            scale: *scale,
            ..HarmonicContext::default()
        })
    });
    let at_rest = match chord.family() {
        Family::Minor => scales,
        _ => &[Scale::Usual],
    };
    let blues = (chord.family() == Family::Dominant).then_some(HarmonicContext {
        blues: true,
        scale: Scale::Mixolydian,
        ..HarmonicContext::default()
    });
    let rest = at_rest.iter().map(|scale| HarmonicContext {
        tonic: true,
        scale: *scale,
        ..HarmonicContext::default()
    });
    going.chain(rest).chain(blues)
}

/// The scales in which the chord is filled differently.
fn scales(chord: &Chord) -> &'static [Scale] {
    let flat_seventh = chord.seventh().is_some_and(|seventh| seventh.class() == 10);
    match chord.family() {
        Family::Minor => &[Scale::Usual, Scale::Phrygian],
        Family::Major if chord.seventh().is_none() => &[
            Scale::Usual,
            Scale::MixolydianFlat13,
            Scale::PhrygianDominant,
        ],
        Family::Suspended => &[Scale::Usual, Scale::SuspendedPhrygian],
        Family::Dominant | Family::Major | Family::Augmented if flat_seventh => &[
            Scale::Mixolydian,
            Scale::Usual,
            Scale::MixolydianFlat13,
            Scale::PhrygianDominant,
            Scale::HarmonicMinorFifth,
            Scale::LydianDominant,
        ],
        _ => &[Scale::Usual],
    }
}

fn is_of_the_chord(asked: &Requirements, layout: &Layout) -> bool {
    // Any root does: these rules look at intervals only.
    let notes: Vec<SoundingNote> = layout
        .tones
        .iter()
        .filter_map(|(degree, semitones)| {
            let pitch = Pitch::MIDDLE_C.plus(Semitones(i32::from(*semitones)))?;
            Some(SoundingNote {
                pitch,
                degree: *degree,
            })
        })
        .collect();
    in_the_chord(asked, &notes).next().is_none()
}
