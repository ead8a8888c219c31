//! How far a proposal bends the tune: a small whole number of stated parts.
//!
//! The price of a proposal says how the hand likes it, and nothing about whether it is any good. The
//! strain does. It is the sum of six parts, one file each; what each part counts, and the reading it is
//! there for, stands in [`weights`].

mod degree;
mod length;
mod outside;
mod style;
#[cfg(test)]
mod tests;
mod tones;
mod way_on;
pub mod weights;

use std::fmt;

use super::in_place::InPlace;

/// The strain of a proposal, part by part.
///
/// ```
/// use compline::reharm::{Band, Strain};
/// let strain = Strain { length: 2, tones: 2, way_on: 0, outside: 1, degree: 0, style: 0 };
/// assert_eq!((strain.total(), strain.band()), (5, Band::Medium));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Strain {
    /// How long another chord sounds.
    pub length: u32,
    /// How many written tones no longer sound.
    pub tones: u32,
    /// How the last new chord goes on.
    pub way_on: u32,
    /// How many notes outside the key come in.
    pub outside: u32,
    /// What becomes of the melody's long notes.
    pub degree: u32,
    /// How far the new chords are from what the tune is written in.
    pub style: u32,
}

impl Strain {
    /// The strain of a proposal in its page.
    pub fn of(proposal: &InPlace<'_>) -> Self {
        Self {
            length: length::length(proposal),
            tones: tones::tones(proposal),
            way_on: way_on::way_on(proposal),
            outside: outside::outside(proposal),
            degree: degree::degree(proposal),
            style: style::style(proposal),
        }
    }

    /// The parts, in the order of the fields.
    pub const fn parts(self) -> [u32; 6] {
        let Self {
            length,
            tones,
            way_on,
            outside,
            degree,
            style,
        } = self;
        [length, tones, way_on, outside, degree, style]
    }

    /// The sum of the parts.
    pub const fn total(self) -> u32 {
        let [length, tones, way_on, outside, degree, style] = self.parts();
        length + tones + way_on + outside + degree + style
    }

    /// How bold that is.
    pub fn band(self) -> Band {
        Band::of(self.total())
    }
}

/// How bold a proposal is; [`Band::most`] says up to how much strain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Band {
    /// Hardly anyone notices
    Gentle,
    /// A colour one hears
    Medium,
    /// Another chord, heard as one
    Bold,
    /// Another tune under the melody
    Beyond,
}

impl Band {
    /// Every one of them, the gentlest first.
    pub const ALL: [Self; 4] = [Self::Gentle, Self::Medium, Self::Bold, Self::Beyond];

    /// That of so many points.
    pub fn of(points: u32) -> Self {
        let fits = |band: &Self| band.most().is_none_or(|most| points <= most);
        Self::ALL.into_iter().find(fits).unwrap_or(Self::Beyond)
    }

    /// Its name in output.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Gentle => "gentle",
            Self::Medium => "medium",
            Self::Bold => "bold",
            Self::Beyond => "beyond",
        }
    }

    /// The most strain there is in it; `None` where there is no limit.
    pub const fn most(self) -> Option<u32> {
        match self {
            Self::Gentle => Some(2),
            Self::Medium => Some(5),
            Self::Bold => Some(9),
            Self::Beyond => None,
        }
    }
}

impl fmt::Display for Band {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}
