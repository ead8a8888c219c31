//! Pitches and their names: the alphabet everything else is written in.
//!
//! A [`Pitch`] is a key of the piano, a [`Name`] is how a musician writes one ("Bb", "Fb"), a
//! [`Note`] is both ("Bb3"), and a [`Degree`] is a place in a chord ("b7", "#11"). The module knows
//! nothing of chords, charts or hands.
//!
//! Middle C is C4, MIDI 60 (*MIDI 1.0 Detailed Specification 4.2*, p. 10, as quoted; the
//! specification itself was not opened). A chart that calls middle C "C3" is converted where it is
//! read, never here.
//!
//! ```
//! use compline::pitch::{Degree, Name};
//!
//! let root: Name = "Gb".parse().unwrap();
//! let seventh: Degree = "b7".parse().unwrap();
//! assert_eq!(seventh.above(root).unwrap().to_string(), "Fb");
//! ```

mod accidental;
mod cycle;
mod degree;
mod interval;
mod key;
mod name;
mod note;
mod semitones;
mod short;
mod spelling;

pub use cycle::Cycle;
pub use degree::Degree;
pub use interval::Interval;
pub use key::{Key, Mode};
pub use name::{Letter, Name};
pub use note::Note;
pub use semitones::{Pitch, PitchClass, Semitones};
pub use spelling::{KeyNames, Spelling};

/// Text that was to be a pitch, a name, a degree or a key, and is not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unreadable {
    what: &'static str,
    text: String,
}

impl Unreadable {
    fn new(what: &'static str, text: &str) -> Self {
        Self {
            what,
            text: text.to_owned(),
        }
    }
}

impl std::fmt::Display for Unreadable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "`{}` is not {}", self.text, self.what)
    }
}

impl std::error::Error for Unreadable {}
