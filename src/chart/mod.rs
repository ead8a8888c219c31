//! Charts: the language a lead sheet is typed in, and the model it is read into.

mod beats;
mod header;
mod jump;
mod meter;
mod model;
mod problem;
mod slots;
mod span;

pub use beats::{Beats, NotBeats};
pub use header::{Entry, Field, Header, MiddleC, Played};
pub use jump::{Jump, NotAJump};
pub use meter::{Meter, NotAMeter};
pub use model::{
    Bar, Cell, Chart, Chords, Closing, Event, Line, Marked, Opening, Remarks, Row, Section, Stroke,
    Times, Wish,
};
pub use problem::{Level, Problem};
pub use slots::{Place, Slot, TuneNote};
pub use span::Span;
