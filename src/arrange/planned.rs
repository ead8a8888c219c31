//! A chart planned: its problem, the candidates of its slots, the best choice of them, the arrangement.

use std::sync::Arc;

use super::arrangement::{Arranged, Arrangement};
use super::cache::Cache;
use super::candidates::candidates;
use super::given_up::given_up;
use super::misfits::uncarried_slots;
use super::problem::Problem;
use super::settings::Settings;
use super::solve::{Answer, Solver};
use super::trouble::Trouble;
use super::uncarried::gathered;
use super::warning::Warning;
use super::warnings::warnings;
use crate::chart::{Chart, Wish};
use crate::voicing::Voicing;

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
pub(super) fn prepared<'p>(
    problem: &'p Problem<'p>,
    cache: &mut Cache,
) -> Result<(Solver<'p>, Vec<Warning>), Trouble> {
    let uncarried = match problem.settings.ignore_melody {
        true => Vec::new(),
        false => uncarried_slots(problem),
    };
    let candidates = candidates(problem, &uncarried, cache).map_err(Trouble::Stuck)?;
    let mut warnings = warnings(problem, &candidates);
    warnings.extend(gathered(uncarried).into_iter().map(Warning::Uncarried));
    let solver = Solver::of(problem, candidates);
    warnings.extend(solver.given_steps());
    Ok((solver, warnings))
}

/// The arrangement of an answer.
pub(super) fn arrangement(
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
    let given_up = given_up(&slots, problem.settings);
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
