//! Where a chord stands in its tune: key regions, Roman numerals, functions, and the places that
//! decide which tensions a chord takes.
//!
//! A tune is read in two steps. [`regions`] finds the key each chord stands in, over the whole tune.
//! Given that key, everything else is local: the [`Place`] of a chord follows from the chord, its
//! region and the next different chord ([`place()`]), and so do numeral and function ([`Standing`]).
//! [`standings`] does both for a row of chords in played order, [`places`] only what colour needs.
//!
//! It knows chords and keys, no charts, hands or voicings.

mod analysis;
mod function;
mod home;
mod look;
mod neighbours;
mod numeral;
mod place;
mod regions;
mod resolution;
mod scale;
mod standing;
#[cfg(test)]
mod tests;

pub use function::Function;
pub(crate) use neighbours::Ahead;
pub use neighbours::nexts;
pub use numeral::{Numeral, Step};
pub use place::{Place, place, places};
pub use regions::regions;
pub use resolution::Resolution;
pub use scale::Scale;
pub use standing::{Standing, standings};
