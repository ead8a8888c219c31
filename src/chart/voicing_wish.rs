//! One wish about a voicing itself, whatever stands before it.

use std::fmt;

use crate::pitch::{Degree, Note, Pitch};

/// Which note of the frame lies lowest.
///
/// Books differ in what they call A and B. Here the letter says what lies lowest: A the third, B the
/// seventh. Others name the *progression*: in an "A" ii-V-I the V then starts on its seventh (Haerle,
/// from memory). So the output never shows the letter without the lowest degree.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Form {
    /// The third lies lowest; in a shell, the third lies below the seventh.
    A,
    /// The seventh lies lowest; in a shell, the seventh lies below the third.
    B,
}

/// One wish about a voicing. Notes have middle C = C4.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum VoicingWish {
    /// `A` or `B`: this form
    Form(Form),
    /// `with=G3`: this note among its own
    With(Note),
    /// `without=G3`: not this note
    Without(Note),
    /// `with=13`: this degree, in whatever octave
    WithDegree(Degree),
    /// `without=9`: not this degree
    WithoutDegree(Degree),
    /// `top=E4`: this note at the top
    Top(Note),
    /// `not=G3.Bb3.D4`: any voicing but this one, its notes strictly rising
    Not(Vec<Note>),
}

impl VoicingWish {
    /// Where it stands among the wishes of a slot: by kind, and notes of one kind rising.
    pub(super) fn order(&self) -> (u8, Option<Pitch>) {
        match self {
            Self::Form(_) => (0, None),
            Self::With(note) => (1, note.pitch()),
            Self::Without(note) => (2, note.pitch()),
            Self::WithDegree(_) => (3, None),
            Self::WithoutDegree(_) => (4, None),
            Self::Top(_) => (5, None),
            Self::Not(_) => (6, None),
        }
    }

    /// Whether the two ask for the same: of notes the key counts, not the spelling.
    pub(super) fn asks_for_the_same(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::With(_), Self::With(_)) | (Self::Without(_), Self::Without(_)) => {
                self.order() == other.order()
            }
            _ => self == other,
        }
    }

    /// Every note it names.
    pub(super) fn notes_mut(&mut self) -> &mut [Note] {
        match self {
            Self::With(note) | Self::Without(note) | Self::Top(note) => std::slice::from_mut(note),
            Self::Not(notes) => notes,
            Self::Form(_) | Self::WithDegree(_) | Self::WithoutDegree(_) => &mut [],
        }
    }
}

impl fmt::Display for Form {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::A => "A",
            Self::B => "B",
        })
    }
}
