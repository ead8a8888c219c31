//! What is asked of the hand: a chord, where it stands, and the melody over it.

use std::borrow::Cow;
use std::sync::Arc;

use crate::chord::Chord;
use crate::hand::Sung;
use crate::harmony::{HarmonicContext, Melody, Scale};
use crate::pitch::{Degree, Name, Note, Pitch, Spelling};

use super::Voicing;

/// The slot that asks for a voicing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ask<'a> {
    /// The chord.
    pub chord: &'a Chord,
    /// Where it stands.
    pub context: HarmonicContext,
    /// The melody during the slot.
    pub melody: &'a Melody,
}

impl Ask<'_> {
    /// Whether the major third goes by in the melody.
    pub(super) fn passes_third(&self) -> bool {
        let root = self.chord.root().class();
        let mut passing = self.melody.passing.iter();
        passing.any(|key| root.up_to(key.class()).0 == 4)
    }

    /// The notes of the melody that decide the colour: those that are held, and over the I7 or IV7 of a
    /// blues a minor third that goes by.
    pub(crate) fn colouring(&self) -> Cow<'_, [Pitch]> {
        let Melody { held, passing, .. } = self.melody;
        let root = self.chord.root().class();
        let blue = |key: &&Pitch| self.context.blues && root.up_to(key.class()).0 == 3;
        let mut blue = passing.iter().filter(blue).copied().peekable();
        if blue.peek().is_none() {
            return Cow::Borrowed(held);
        }
        Cow::Owned(held.iter().copied().chain(blue).collect())
    }

    /// Where the chord stands, as the colour has it: a dominant whose #11 nobody asks for takes none under a melody
    /// that touches the natural 11 in passing (common practice, no source). One that is held forbids it anyway.
    pub(crate) fn coloured_context(&self) -> HarmonicContext {
        let context = self.context;
        let root = self.chord.root().class();
        let is = |above: i32| move |key: Pitch| root.up_to(key.class()).0 == above;
        let touched = || self.melody.passing.iter().copied().any(is(5));
        let lydian = context.scale == Scale::LydianDominant && touched();
        let gives_way = lydian && !self.melody.keys().any(is(6));
        let scale = if gives_way {
            Scale::Mixolydian
        } else {
            context.scale
        };
        HarmonicContext { scale, ..context }
    }

    /// What a degree of the chord is called here.
    pub fn name(&self, degree: Degree, spelling: Spelling) -> Name {
        self.chord.name(degree, spelling, self.context.names)
    }

    /// A voicing without a letter twice, where a name that is else written in everyday spelling avoids it: see
    /// [`Chord::keep_letters`].
    pub(super) fn lettered(&self, mut voicing: Voicing, spelling: Spelling) -> Voicing {
        let mut seen = 0_u8;
        let letters = voicing.notes.iter().map(|note| note.note.name().letter());
        let all = letters.fold(0, |count, letter| {
            seen |= 1 << letter as u8;
            count + 1
        });
        // Nearly always; and there is a voicing to name for every candidate.
        if seen.count_ones() == all {
            return voicing;
        }
        let named = voicing.notes.iter();
        let mut named: Vec<_> = named.map(|note| (note.degree, note.note.name())).collect();
        let names = self.context.names;
        self.chord.keep_letters(&mut named, spelling, names);
        let notes = Arc::make_mut(&mut voicing.notes).iter_mut();
        for (note, (_, name)) in notes.zip(named) {
            note.note = Note::spelled(note.pitch, name).unwrap_or(note.note);
        }
        voicing
    }

    /// What a key is called here.
    pub fn name_of(&self, pitch: Pitch, spelling: Spelling) -> Option<Note> {
        let names = self.context.names;
        Note::spelled(pitch, self.chord.name_of(pitch.class(), spelling, names))
    }
}

impl<'a> From<&'a Melody> for Sung<'a> {
    fn from(melody: &'a Melody) -> Self {
        Self {
            held: &melody.held,
            struck: &melody.struck,
            lasting: &melody.lasting,
            resolves_to: melody.resolves_to,
        }
    }
}
