//! Where a chord stands in its tune: key regions, Roman numerals, functions, and the places that
//! decide which tensions a chord takes.
//!
//! A tune is read in two steps. [`regions`] finds the key each chord stands in, over the whole tune.
//! Given that key, everything else is local: the [`Place`] of a chord follows from the chord, its
//! region and the next different chord ([`place()`]), and so do numeral and function ([`Standing`]).
//! [`standings`] does both for a row of chords in played order, [`places`] only what colour needs.
//!
//! What might stand there instead is asked of a [`Passage`] in [`crate::reharm`]; [`carries`] and [`sung_over`] say what the tune's notes are over a chord;
//! [`goes_by`], which of those it can't carry nobody minds.
//!
//! It knows chords, keys and the tune over them, no hands or voicings.

mod analysis;
mod carried;
mod function;
mod going_by;
pub(crate) mod home;
pub(crate) mod layout;
pub(crate) mod look;
mod neighbours;
mod numeral;
pub(crate) mod passage;
mod place;
mod regions;
mod resolution;
mod scale;
mod standing;
pub(crate) mod sung;
#[cfg(test)]
mod tests;
pub(crate) mod under;

pub use function::Function;
pub use going_by::{goes_by, is_held};
pub use neighbours::nexts;
pub(crate) use neighbours::{Ahead, Past, aheads};
pub use numeral::{Numeral, Step};
pub use passage::{Passage, Spot};
pub use place::{Place, place, places};
pub use regions::{home, regions};
pub use resolution::Resolution;
pub use scale::Scale;
pub use standing::{Standing, standings, standings_in};
pub(crate) use sung::a_degree;
pub use sung::{Refusal, Stretch, Sung, Verdict, carries, carries_anew, sung_over};
