//! A tune as other formats have it, on its way to a chart: bars of absolute times.
//!
//! Every reader fills a [`Song`]; a chart is made of it, the same way for all of them,
//! and counts in a [`LossReport`] what a chart has no place for.

mod bars;
mod cells;
mod clean;
mod hand;
mod jump_words;
mod melody;
mod mend;
mod meters;
mod modes;
mod playable;
#[cfg(test)]
mod tests;

pub use bars::into_chart;
pub use clean::{clean, header_value};
pub(in crate::formats) use jump_words::{jump_of_words, merged};
pub(in crate::formats) use modes::{key_of_signature, key_of_tonic, signature_of};

use super::report::LossReport;
use crate::chart::{Jump, Meter, Stroke, Times};
use crate::pitch::{Key, Note};
use crate::score::Quarters;

/// A tune on its way to a chart.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Song {
    /// The title.
    pub title: Option<String>,
    /// Other lines of the header: names and values.
    pub remarks: Vec<(String, String)>,
    /// The key at the beginning.
    pub key: Option<Key>,
    /// Quarter notes a minute at the beginning.
    pub tempo: Option<Quarters>,
    /// The sections in the order they are played, where the format says.
    pub play: Vec<String>,
    /// The bars, in the order they are written.
    pub bars: Vec<SongBar>,
    /// What could not be carried over so far.
    pub report: LossReport,
}

/// A bar of a song.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SongBar {
    /// What the file calls it, such as `measure 3`.
    pub place: String,
    /// The meter in force.
    pub meter: Meter,
    /// How long it is in fact.
    pub length: Quarters,
    /// The section that begins with it.
    pub section: Option<String>,
    /// A repeat starts with it.
    pub opens_repeat: bool,
    /// An ending starts with it, for these passes.
    pub endings: Vec<u8>,
    /// A repeat ends with it.
    pub closes_repeat: Option<Times>,
    /// Its right bar line.
    pub stroke: Stroke,
    /// Its jumps.
    pub jumps: Vec<Jump>,
    /// The key from it on, where the format says one.
    pub key: Option<Key>,
    /// Quarter notes a minute from it on, where the format says so.
    pub tempo: Option<Quarters>,
    /// The chord symbols and where they stand, in their order.
    pub chords: Vec<(Quarters, String)>,
    /// The melody, in the order it sounds.
    pub melody: Vec<SongNote>,
    /// What the left hand strikes, in order.
    pub hand: Vec<SongChord>,
}

/// A note of the melody.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SongNote {
    /// Where it starts in its bar.
    pub at: Quarters,
    /// How long it lasts; not over the end of the bar.
    pub length: Quarters,
    /// The note.
    pub note: Note,
    /// Whether it is tied to the first note of the bar that is played next.
    pub tied: bool,
}

/// Notes the left hand strikes together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SongChord {
    /// Where in the bar they are struck; 0 as well for what is held from the bar before.
    pub at: Quarters,
    /// The notes.
    pub notes: Vec<Note>,
}

impl SongBar {
    /// An empty bar of full length.
    pub fn of(place: String, meter: Meter) -> Self {
        Self {
            place,
            meter,
            length: Quarters::of_bar(meter),
            section: None,
            opens_repeat: false,
            endings: Vec::new(),
            closes_repeat: None,
            stroke: Stroke::Single,
            jumps: Vec::new(),
            key: None,
            tempo: None,
            chords: Vec::new(),
            melody: Vec::new(),
            hand: Vec::new(),
        }
    }
}
