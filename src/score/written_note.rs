//! A note, a chord or a rest: as it sounds, and as it is written.

use super::quarters::Quarters;
use super::tuplet::Tuplet;
use super::value::NoteValue;
use crate::pitch::Note;

/// What sounds on a staff for a while: notes struck together, or none for a rest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotesOrRest {
    /// The notes, lowest first; none is a rest.
    pub notes: Vec<Note>,
    /// How long it lasts.
    pub length: Quarters,
    /// Whether it comes from the bar before, and whether it goes on in the next.
    pub tie: StartStop,
}

/// A note, a chord or a rest as it is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// Where in the bar it stands.
    pub at: Quarters,
    /// How long it lasts.
    pub length: Quarters,
    /// The notes, lowest first; none is a rest.
    pub notes: Vec<Note>,
    /// For each note the accidental to print, in semitones: 0 is a natural.
    pub accidentals: Vec<Option<i8>>,
    /// Its note value; `None` is a rest that fills the bar.
    pub value: Option<NoteValue>,
    /// The tuplet it belongs to.
    pub tuplet: Option<Tuplet>,
    /// Whether it is the first or the last of its tuplet.
    pub tuplet_mark: StartStop,
    /// Whether it is tied to what stands before it and behind it.
    pub tie: StartStop,
    /// Its beams, the thickest first.
    pub beams: Vec<Beam>,
}

/// Whether something starts here, and whether something stops here.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct StartStop {
    /// It starts, and goes on behind.
    pub starts: bool,
    /// It stops, and came from before.
    pub stops: bool,
}

impl Written {
    /// Whether nothing sounds.
    pub const fn is_rest(&self) -> bool {
        self.notes.is_empty()
    }
}

/// What one beam does at a note.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Beam {
    /// It begins.
    Begin,
    /// It goes through.
    Continue,
    /// It ends.
    End,
    /// A stub to the right.
    ForwardHook,
    /// A stub to the left.
    BackwardHook,
}
