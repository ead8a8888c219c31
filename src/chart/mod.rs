//! Charts: the language a lead sheet is typed in, and the model it is read into.

mod beats;
mod form;
mod hands;
mod header;
mod jump;
mod meter;
mod model;
mod problem;
mod read;
mod remark;
mod slots;
mod span;
#[cfg(test)]
mod tests;
mod tidy;
mod transpose;
mod warnings;

pub use beats::{Beats, NotBeats};
pub use form::{Road, Run, Visit, Way};
pub use hands::SlotHand;
pub use header::{Entry, Field, Header, MiddleC, Played};
pub use jump::{Jump, NotAJump};
pub use meter::{Meter, NotAMeter};
pub use model::{
    Bar, Cell, Chart, Chords, Closing, Event, Line, Marked, Opening, Remarks, Row, Section, Stroke,
    Times, Wish,
};
pub use problem::{Level, Problem};
pub use read::{read, read_bytes};
pub use slots::{Place, Slot, TuneNote};
pub use span::Span;
