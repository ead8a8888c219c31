//! The one path, from a chart to a voiced left hand: play order, slots, candidates, plan, arrangement.
//!
//! [`arrange`] is what `compline voice` does with a chart; [`options`] is what `compline options` does,
//! [`crate::explain::why`] what `compline why` does, [`crate::reharm`] what `compline reharm` does.
//! Everything is decided elsewhere: in which order the bars are played in [`crate::chart`], what a
//! chord can be in [`crate::voicing`], which of them is smoothest in [`crate::optimise`]. This module lays
//! one's results before the other and keeps the books. It says and writes nothing:
//! sentences are in [`crate::explain`], formats in [`crate::formats`].

mod arrangement;
mod broken;
mod cache;
mod candidates;
pub(crate) mod choices;
mod compare;
mod given_up;
mod grounding;
mod misfits;
pub(crate) mod motion;
mod on_page;
mod planned;
mod played;
mod problem;
pub(crate) mod rest;
mod settings;
mod solve;
pub(crate) mod steps;
mod thinned;
mod trouble;
mod uncarried;
pub(crate) mod voicing_options;
mod warning;
mod warnings;
pub(crate) mod wishes;

pub use arrangement::{Alternative, Arranged, Arrangement, Totals};
pub use broken::Broken;
pub use cache::Cache;
pub(crate) use choices::{given, legal};
pub use compare::Compare;
pub use misfits::uncarried;
pub(crate) use misfits::uncarried_slots;
pub(crate) use motion::{row, value};
pub use planned::arrange;
pub(crate) use problem::Problem;
pub use settings::Settings;
pub(crate) use solve::{Answer, Hold, charged, plan_holding};
pub(crate) use steps::into as step_rule;
pub use trouble::{Reason, StuckSlot, Trouble, Unmet};
pub use uncarried::Uncarried;
pub use voicing_options::{OptionsOfSlot, Priced, options};
pub use warning::{GivenUp, Thinner, Warning};
