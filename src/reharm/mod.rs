//! What could stand instead of a chart's chords.
//!
//! The [`techniques`] make [`proposals`] for a passage; [`reharm`] lists those of a whole chart, and
//! [`changes`] chooses among them together with the voicings.

mod changes;
mod dull;
mod held;
mod idle;
mod in_place;
mod in_rhythm;
mod judgement;
mod language;
mod leads_on;
mod listed;
mod name;
mod neighbours;
mod objective;
mod phrase;
mod poorer;
mod priced;
mod proposal;
mod rank;
mod set_change_weight;
mod strain;
pub mod techniques;
#[cfg(test)]
mod tests;
mod unproposed;
mod versions;
mod ways;

pub use changes::{AtMost, Rung, Terms, as_many_as_fit, changes, prices, replaced, stretches};
pub use held::{AskedPlaces, HeldBy, HeldPlaces};
pub use in_place::{InPlace, Meeting};
pub use judgement::Judgement;
pub use language::{Foreign, Language, TriadShare};
pub use listed::{KeptOut, Listed, Proposed, reharm};
pub use name::{ChordPlace, NotName, ProposalName};
pub use objective::{ChangeWeights, worth_a_change};
pub use priced::priced;
pub use proposal::{Proposal, proposals, proposals_at};
pub use rank::Ranking;
pub use set_change_weight::{NotAChangeWeight, SetChangeWeight};
pub use strain::{Band, Strain, weights};
pub use unproposed::Unproposed;
pub use versions::{Version, usual_changes, versions};
pub use ways::{NotWays, Ways};
