//! Harmony: key regions, Roman numerals, functions, and the contexts that
//! decide which tensions a chord takes.
//!
//! A tune is read in two steps. [`regions`] finds the key each chord stands in, over the whole tune.
//! Given that key, everything else is local: the [`HarmonicContext`] of a chord follows from the chord, its
//! region and the next different chord ([`context()`]), and so do numeral and function ([`Analysis`]).
//! [`analyses`] does both for a row of chords in played order, [`contexts`] only what colour needs.
//!
//! What might stand there instead is asked of a [`Passage`] in [`crate::reharm`]. [`fit`] and
//! [`melody_fit`] say what the melody's notes are over a chord; [`is_held`], which of them a chord has to
//! mind, and [`Melody`] has those and the others apart.
//!
//! It knows chords, keys and the melody over them, no hands or voicings.

mod analysis;
mod bass_line;
mod beside;
mod blues;
pub(crate) mod chord_kind;
mod chord_time;
mod context;
mod distance;
mod fit_anew;
mod formula;
mod function;
pub(crate) mod layout;
mod lines;
pub(crate) mod local_key;
mod melody;
mod melody_fit;
mod membership;
mod neighbours;
mod non_chord_tone;
mod numeral;
pub(crate) mod passage;
mod pedal;
mod plain_triads;
mod regions;
mod resolution;
mod role;
mod scale;
mod sung_resolution;
mod suspension;
mod symbol_runs;
#[cfg(test)]
mod tests;
mod triad_tune;

pub use analysis::{Analysis, analyses, analyses_in};
pub use chord_time::ChordTime;
pub use context::{HarmonicContext, context, contexts};
pub use distance::distance_from_tonic;
pub use fit_anew::fit_anew;
pub(crate) use fit_anew::melody_fit_anew;
pub use formula::{NotAFormula, formula, is_formula};
pub use function::Function;
pub(crate) use lines::lines_of_runs;
pub use lines::{LineTone, lines};
pub use melody::Melody;
pub use melody_fit::{Fit, MelodyFit, Misfit, fit, melody_fit};
pub use neighbours::nexts;
pub(crate) use neighbours::{Ahead, Past, aheads};
pub use non_chord_tone::{is_held, lasts};
pub use numeral::{Numeral, ScaleStep};
pub use passage::{Passage, Spot};
pub(crate) use plain_triads::plain_triads;
pub use regions::{KeysFound, home, regions};
pub use resolution::Resolution;
pub use scale::Scale;
pub(crate) use suspension::resolved_sevenths;
pub(crate) use symbol_runs::SymbolRuns;
