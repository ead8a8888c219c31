//! The one path, from a chart to a voiced left hand: play order, slots, candidates, plan, arrangement.
//!
//! [`arrange`] is what `compline voice` does with a chart; [`options`] is what `compline options` does,
//! [`crate::explain::why`] what `compline why` does, [`crate::reharm`] what `compline reharm` does.
//! Everything is decided elsewhere: in which order the bars are played in [`crate::chart`], what a
//! chord can be in [`crate::voicing`], which of them is smoothest in [`crate::optimise`]. This module lays
//! one's results before the other and keeps the books. It says and writes nothing:
//! sentences are in [`crate::explain`], formats in [`crate::formats`].

mod cache;
mod candidates;
pub(crate) mod choices;
mod compare;
mod given_up;
mod grounding;
pub(crate) mod motion;
mod on_page;
mod played;
mod problem;
pub(crate) mod rest;
mod solve;
pub(crate) mod steps;
mod thinned;
mod trouble;
mod uncarried;
pub(crate) mod voicing_options;
mod warning;
pub(crate) mod wishes;

use std::sync::Arc;

use crate::chart::{Chart, Performance, Slot, TopWish, Wish};
use crate::harmony::{HarmonicContext, Melody};
use crate::optimise::Cost;
use crate::pitch::Key;
use crate::voicing::{self, TotalSurcharges, Voicing};

use candidates::candidates;
use solve::Solver;
use uncarried::gathered;

pub use cache::Cache;
pub(crate) use choices::{given, legal};
pub use compare::Compare;
pub use given_up::GivenUp;
pub(crate) use motion::{row, value};
pub(crate) use problem::Problem;
pub(crate) use solve::{Answer, Hold, charged, plan_holding};
pub use steps::Broken;
pub(crate) use steps::into as step_rule;
pub use thinned::Thinner;
pub use trouble::{Reason, StuckSlot, Trouble};
pub(crate) use uncarried::uncarried_slots;
pub use uncarried::{Uncarried, uncarried};
pub use voicing_options::{OptionsOfSlot, Priced, options};
pub use warning::Warning;
pub use wishes::Unmet;

/// Everything that decides an arrangement, besides the chart.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Settings {
    /// The hand, the shapes, the colour.
    pub voicing: voicing::VoicingSettings,
    /// Whether the step from the last slot back to the first counts.
    pub looped: bool,
    /// Whether the melody is left out of account.
    pub ignore_melody: bool,
    /// Where the top note may go in every step, unless a slot wishes otherwise.
    pub top: Option<TopWish>,
    /// How far any note may leap in every step, in semitones, unless a slot wishes otherwise.
    pub leap: Option<u8>,
    /// Whether each pass is written out and may differ; else the page has one voicing a slot.
    pub as_played: bool,
    /// How many of the best different plans to list, the plan itself the first of them.
    pub alternatives: usize,
}

impl Settings {
    /// These settings for a chart: notes are named as its `spelling` line says, unless the settings
    /// say.
    #[must_use]
    pub fn on(&self, chart: &Chart) -> Self {
        let mut settings = self.clone();
        let said = settings.voicing.spelling;
        settings.voicing.spelling = said.or(chart.header.spelling());
        settings
    }

    /// The melody that counts in a slot.
    pub(crate) fn melody(&self, slot: &Slot) -> Melody {
        match self.ignore_melody {
            true => Melody::NONE,
            false => Melody::of(slot),
        }
    }
}

/// A chart with its left hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Arrangement {
    /// The chart the voicings stand in: as read, or with every pass written out.
    pub chart: Chart,
    /// What it was arranged under.
    pub settings: Settings,
    /// The key that is home for the whole tune, given by the chart or found in its chords.
    pub home: Option<Key>,
    /// Every slot of the page, in written order.
    pub slots: Vec<Arranged>,
    /// How they are performed, each known by its place in [`Arrangement::slots`].
    pub performance: Performance,
    /// What the plan costs.
    pub totals: Totals,
    /// The best different plans, the plan itself first; empty unless they were asked for.
    pub alternatives: Vec<Alternative>,
    /// What the player should know.
    pub warnings: Vec<Warning>,
}

/// A slot with what the hand plays in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Arranged {
    /// The slot.
    pub slot: Slot,
    /// The key it stands in the first time it is played.
    pub key: Option<Key>,
    /// Where its chord goes the first time it is played.
    pub context: HarmonicContext,
    /// What the hand plays; `None` is silence, where the chart says so or the hand makes way for a
    /// low melody.
    pub voicing: Option<Voicing>,
    /// Whether the chart itself gave the voicing.
    pub given: bool,
    /// Every voicing the plan could have taken, in the order that decides between equal plans.
    pub candidates: Arc<Vec<Voicing>>,
}

/// What a plan costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Totals {
    /// The cost over the whole performance, in the order in which plans are compared.
    pub cost: Cost,
    /// What the voicings are charged besides motion, each time they are struck: part of the effort.
    pub surcharges: TotalSurcharges,
    /// Whether no plan costs less: proved, not hoped.
    pub optimal: bool,
    /// No plan costs less than this.
    pub lower_bound: Cost,
    /// With every pass written out: what one voicing a slot would cost the same performance; `None`
    /// where it can't meet the wishes.
    pub as_written: Option<Cost>,
    /// How many slots had to be looked at together at the most: 1 for a tune played straight.
    pub width: usize,
}

impl Totals {
    /// The motion alone, in semitones.
    pub const fn motion(self) -> u64 {
        self.cost.effort - self.surcharges.sum()
    }
}

/// One of the best plans.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Alternative {
    /// What it costs over the whole performance.
    pub cost: Cost,
    /// What its voicings are charged besides motion.
    pub surcharges: TotalSurcharges,
    /// Whether its place in the list is proved.
    pub optimal: bool,
    /// What the hand plays in every slot; `None` is silence.
    pub voicings: Vec<Option<Voicing>>,
}

/// Plans the left hand of a chart.
///
/// Each slot of the page has one voicing however often it is played, and the plan is the best for the
/// whole performance: repeats, endings, jumps. It has the least total motion there is; among those,
/// the least sum of largest steps; then the least distance from the middle of the range; then the
/// order of the candidates, lowest notes first. See [`crate::optimise`] for the proof.
///
/// ```
/// use compline::arrange::{Settings, arrange};
/// use compline::chart;
///
/// let chart = chart::read("title: ii-V-I\nkey: C\n| Dm7 | G7 | Cmaj7 |\n").unwrap();
/// let arrangement = arrange(chart, &Settings::default(), &mut Default::default()).unwrap();
/// let hand: Vec<String> = arrangement.slots.iter()
///     .map(|slot| slot.voicing.as_ref().unwrap().to_string())
///     .collect();
/// assert_eq!(hand, ["F3 A3 C4 E4", "F3 A3 B3 E4", "E3 G3 B3 D4"]);
/// assert_eq!(arrangement.totals.cost.effort, 6);
/// ```
///
/// # Errors
///
/// A play order that can't be played; every slot that no legal voicing fits, with the limits that threw its
/// candidates out; wishes that can't all be met.
pub fn arrange(
    chart: Chart,
    settings: &Settings,
    cache: &mut Cache,
) -> Result<Arrangement, Trouble> {
    if !settings.as_played {
        return planned(chart, settings, cache);
    }
    let as_written = match planned(chart.clone(), settings, cache) {
        Ok(page) => Some(page.totals.cost),
        // The passes may meet wishes that one voicing a slot can't.
        Err(Trouble::Broken(_)) => None,
        Err(other) => return Err(other),
    };
    let order = chart.play_order().map_err(Trouble::PlayOrder)?;
    let mut arrangement = planned(chart.unfolded(&order), settings, cache)?;
    arrangement.totals.as_written = as_written;
    Ok(arrangement)
}

fn planned(chart: Chart, settings: &Settings, cache: &mut Cache) -> Result<Arrangement, Trouble> {
    let settings = &settings.on(&chart);
    let problem = Problem::of(&chart, settings)?;
    let (solver, warnings) = prepared(&problem, cache)?;
    let answer = solver.solve(settings.alternatives)?;
    let candidates = solver.candidates();
    Ok(arrangement(chart, problem, candidates, answer, warnings))
}

/// A problem with the candidates its chart leaves, and what the player should know about them.
///
/// # Errors
///
/// Every slot that no legal voicing fits.
fn prepared<'p>(
    problem: &'p Problem<'p>,
    cache: &mut Cache,
) -> Result<(Solver<'p>, Vec<Warning>), Trouble> {
    let uncarried = match problem.settings.ignore_melody {
        true => Vec::new(),
        false => uncarried_slots(problem),
    };
    let candidates = candidates(problem, &uncarried, cache).map_err(Trouble::Stuck)?;
    let mut warnings = warning::all(problem, &candidates);
    warnings.extend(gathered(uncarried).into_iter().map(Warning::Uncarried));
    let solver = Solver::of(problem, candidates);
    warnings.extend(solver.given_steps());
    Ok((solver, warnings))
}

fn arrangement(
    chart: Chart,
    problem: Problem<'_>,
    candidates: Vec<Arc<Vec<Voicing>>>,
    answer: Answer,
    warnings: Vec<Warning>,
) -> Arrangement {
    let home = problem.home;
    let slots = problem.slots.into_iter().zip(problem.keys);
    let slots = slots.zip(problem.contexts).zip(candidates);
    let slots =
        slots
            .zip(answer.voicings)
            .map(|((((slot, key), context), candidates), voicing)| Arranged {
                given: matches!(slot.wish, Wish::Given(_)),
                slot,
                key,
                context,
                voicing,
                candidates,
            });
    let slots: Vec<Arranged> = slots.collect();
    let given_up = given_up::given_up(&slots, problem.settings);
    let mut warnings = warnings;
    warnings.extend(given_up.into_iter().map(Warning::GivenUp));
    Arrangement {
        chart,
        settings: problem.settings.clone(),
        home,
        slots,
        performance: problem.performance,
        totals: answer.totals,
        alternatives: answer.alternatives,
        warnings,
    }
}
