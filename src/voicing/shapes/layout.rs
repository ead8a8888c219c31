//! The degrees of a voicing in their order.

use crate::chart::Form;
use crate::pitch::Degree;

/// One order of notes above a root that is not itself placed yet.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Layout {
    /// Degree and semitones above the root, strictly rising; the first lies within an octave.
    pub tones: Vec<(Degree, u8)>,
    /// A or B, where the shape has forms.
    pub form: Option<Form>,
    /// Whether it is an inversion that is neither form although its shape has them.
    pub turned: bool,
}

impl Layout {
    /// The degrees from the lowest note up.
    pub fn degrees(&self) -> impl Iterator<Item = Degree> + '_ {
        self.tones.iter().map(|(degree, _)| *degree)
    }

    /// Semitones above the root, from the lowest note up.
    pub fn semitones(&self) -> impl Iterator<Item = u8> + '_ {
        self.tones.iter().map(|(_, semitones)| *semitones)
    }

    /// The degrees in close position upward from the first of them; the order of the others does
    /// not matter.
    pub(super) fn close(degrees: &[Degree], form: Option<Form>) -> Self {
        let start = degrees.first().map_or(0, |degree| degree.class());
        let mut tones: Vec<(Degree, u8)> = degrees
            .iter()
            .map(|degree| (*degree, start + (degree.class() + 12 - start) % 12))
            .collect();
        tones.sort_by_key(|(_, semitones)| *semitones);
        Self {
            tones,
            form,
            turned: false,
        }
    }

    /// The degrees upward in this order, each as near above the one before as it lies: in open position
    /// where the order skips some.
    pub(super) fn upward(degrees: &[Degree], form: Option<Form>) -> Self {
        let mut tones: Vec<(Degree, u8)> = Vec::with_capacity(degrees.len());
        for degree in degrees {
            let above = tones.last().map_or(0, |(_, below)| below + 1);
            let semitones = above + (degree.class() + 12 - above % 12) % 12;
            tones.push((*degree, semitones));
        }
        Self {
            tones,
            form,
            turned: false,
        }
    }

    /// Close position upward from the degree at `lowest`.
    pub(super) fn inversion(degrees: &[Degree], lowest: usize, form: Option<Form>) -> Self {
        let mut turned = degrees.to_vec();
        turned.rotate_left(lowest.min(degrees.len()));
        Self::close(&turned, form)
    }

    /// Adds the layout unless the list has it.
    pub(super) fn add_to(self, list: &mut Vec<Self>) {
        if !list.contains(&self) {
            list.push(self);
        }
    }
}
