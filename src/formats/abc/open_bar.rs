//! The bar of a tune that is being read: its notes, one after the other.

use num_rational::Ratio;

use crate::chart::Meter;
use crate::formats::song::{SongBar, SongNote};
use crate::pitch::Note;
use crate::score::Quarters;

/// A bar that is not closed yet.
pub(super) struct OpenBar {
    /// What stands in it so far.
    pub bar: SongBar,
    /// Where the next note begins.
    at: Quarters,
    /// The last note or rest: its place in the melody, if it has one, and its length.
    last: Option<(Option<usize>, Quarters)>,
    /// The note that a tie goes on from.
    tied: Option<Note>,
}

impl OpenBar {
    /// An empty bar, called `place`.
    pub fn of(place: String, meter: Option<Meter>) -> Self {
        Self {
            bar: SongBar::of(place, meter.unwrap_or(Meter::COMMON)),
            at: Quarters::ZERO,
            last: None,
            tied: None,
        }
    }

    /// Whether any time has passed in it.
    pub fn has_begun(&self) -> bool {
        self.at > Quarters::ZERO
    }

    /// A chord symbol over what comes next.
    pub fn chord(&mut self, text: String) {
        self.bar.chords.push((self.at, text));
    }

    /// A note, or the rest of one that a tie has begun.
    pub fn note(&mut self, note: Note, length: Quarters) {
        let tied = self.tied.take() == Some(note);
        let at = self.at;
        self.at += length;
        match self.bar.melody.last_mut() {
            Some(last) if tied && last.at + last.length == at => {
                last.length += length;
                last.tied = false;
            }
            _ => self.bar.melody.push(SongNote {
                at,
                length,
                note,
                tied: false,
            }),
        }
        self.last = Some((Some(self.bar.melody.len() - 1), length));
    }

    /// A rest.
    pub fn rest(&mut self, length: Quarters) {
        self.at += length;
        self.last = Some((None, length));
    }

    /// A tie from the last note on.
    pub fn tie(&mut self) {
        let last = self.last.and_then(|(at, _)| at);
        let note = last.and_then(|at| self.bar.melody.get_mut(at));
        self.tied = note.map(|note| {
            note.tied = true;
            note.note
        });
    }

    /// Makes the last note or rest so many times as long, as a broken rhythm does.
    pub fn stretch_last(&mut self, times: Ratio<i64>) {
        let Some((note, old)) = self.last else { return };
        let new = old * times;
        if let Some(note) = note.and_then(|at| self.bar.melody.get_mut(at)) {
            note.length = note.length + new - old;
        }
        self.at = self.at + new - old;
        self.last = Some((note, new));
    }

    /// Goes on to the end of the bar.
    pub fn fill(&mut self) {
        self.at = Quarters::of_bar(self.bar.meter);
    }

    /// Nothing more comes. Chords without notes are a bar of nothing but chords.
    pub fn end(&mut self) {
        self.last = None;
        if !self.has_begun() && !self.bar.chords.is_empty() {
            self.fill();
        }
    }

    /// Begins the bar behind it, and gives this one, with its length. A tie goes on.
    pub fn follow(&mut self, place: String, meter: Option<Meter>) -> SongBar {
        let tied = self.tied;
        let next = Self {
            tied,
            ..Self::of(place, meter)
        };
        let Self { mut bar, at, .. } = std::mem::replace(self, next);
        bar.length = at;
        bar
    }
}
