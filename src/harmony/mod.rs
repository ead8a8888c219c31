//! Where a chord stands in its tune, and what might stand there instead.
//!
//! The local look that the voicing's colour needs: where a chord goes next, and whether a minor
//! chord is a tonic ([`place()`], [`places`]). What the tune's notes are over a chord ([`carries`],
//! [`sung_over`]). The reharmonising [`techniques`], and the [`proposals`] they make for a
//! [`Passage`].

mod layout;
mod passage;
mod place;
mod proposal;
mod standing;
mod sung;
pub mod techniques;
mod under;

pub use passage::{Passage, Spot};
pub use place::{Place, Resolution, place, places};
pub use proposal::{New, Proposal, proposals, proposals_at};
pub use sung::{Refusal, Stretch, Sung, Verdict, carries, carries_anew, sung_over};
