//! The page for the music stand: melody and left hand in staff notation, as SVG or PDF.
//!
//! Three steps, each in files of its own:
//!
//! 1. The [`Score`](crate::score::Score) of an arrangement is laid out: `shape` says what a note looks like, `measure` how
//!    much room a bar needs, `lines` which bars share a line, `system` and `staff` what stands where, `sheet` which lines
//!    share a page.
//! 2. The result is a [`Drawing`]: one list of marks, in whole thousandths of a staff space.
//! 3. [`svg`] and [`pdf`] write a drawing.
//!
//! Signs are named as in SMuFL, the standard layout of music fonts; sizes of lines are the `engravingDefaults` that come
//! with its reference font. Spacing and stems follow common practice of engraving, for which no source is claimed.

mod accidental;
mod barline;
mod beam;
mod clef;
mod columns;
mod document;
mod drawing;
mod font;
mod frame;
mod head;
mod heading;
mod keyboard;
mod lines;
mod measure;
mod page_options;
mod pdf;
mod pen;
mod set;
mod shape;
mod sheet;
mod signature;
mod signs;
mod staff;
mod svg;
mod symbol;
mod system;
mod tie;
mod tuplet;
mod upper_row;

pub use document::{draw, lacking};
pub use drawing::{Drawing, DrawnPage, Item, Length, Point, Segment};
pub use font::{Face, Font, Glyph};
pub use page_options::{Content, Labels, PageOptions, Paper};
pub use pdf::pdf;
pub use set::set;
pub use svg::svg;
