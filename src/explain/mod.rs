//! What is said about music, in sentences: why a slot sounds as it does, what a player should know,
//! what stands in the way and what would help.
//!
//! The parts below give facts as types; here each is put into words, as its `Display` or a method
//! beside it. Nothing is decided here. Only the rows of a table carry their own words, so that one file
//! is all of them: a technique its rule and its reasons, a rule what it is for, a shape what it is.

mod broken_step;
pub(crate) mod grounding;
mod held;
mod misfits;
mod no_voicing;
pub(crate) mod phrases;
mod readings;
mod trouble;
mod uncarried;
mod unproposed;
mod violations;
mod warnings;
pub mod why;

pub use held::held_because;
pub use phrases::bars;
pub(crate) use violations::in_words;
pub use warnings::CAUTION;
