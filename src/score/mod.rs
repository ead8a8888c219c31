//! The score: an arrangement as it is written on a stand, and as it sounds.
//!
//! [`Score`] is what a printed page and a notation file both need: bars with their signs, two staves
//! of note values with dots, ties, tuplets, beams, rests and accidentals, and the chord symbols at
//! their places. [`Timeline`] is what a sequencer file and a sound file both need: the performance in
//! the order it is played, every note with its start and length.
//!
//! Both count in [`Quarters`], exact fractions of a quarter note. Where it stops: nothing here knows
//! a file format, staff lines or sound waves.
//!
//! ```
//! use compline::arrange::{Settings, arrange};
//! use compline::chart;
//! use compline::score::{Part, Performing, Score, Timeline};
//!
//! let chart = chart::read("key: C\n|: Dm7 G7 | Cmaj7 :|\nmel | F4:3/2 E4:5/2 | r:4 |\n").unwrap();
//! let arrangement = arrange(chart, &Settings::default(), &mut Default::default()).unwrap();
//! let score = Score::of(&arrangement);
//! // E4 is tied over the middle of the bar: an eighth, then a half.
//! assert_eq!(score.bars[0].melody.len(), 3);
//! let timeline = Timeline::of(&arrangement, &Performing::default());
//! assert_eq!(timeline.notes.iter().filter(|note| note.part == Part::Melody).count(), 4);
//! assert_eq!(timeline.end.to_string(), "16");
//! ```

mod accidental;
mod bar;
mod beam;
mod comping;
mod groups;
mod notated_score;
mod performing;
mod quarters;
mod rhythm;
mod slot_times;
mod swing;
mod tempo;
mod ties;
mod timeline;
mod tuplet;
mod value;
mod written;
mod written_note;

pub use bar::{BarSigns, EndingStop, ScoreBar};
pub use comping::{COMPING, Comping, comping};
pub use notated_score::Score;
pub use performing::{Bass, Performing};
pub use quarters::Quarters;
pub use slot_times::{SlotTime, slot_times};
pub use swing::{NotASwing, Swing};
pub use tempo::Tempo;
pub use timeline::{Part, Sign, TimedNote, Timeline};
pub use tuplet::Tuplet;
pub use value::NoteValue;
pub use written::written;
pub use written_note::{Beam, NotesOrRest, StartStop, Written};
