//! Which of many replacements to make, so that the hand moves least: chords and voicings decided
//! together, exactly.
//!
//! [`changes`] takes a chart and replacements somebody thought of (see [`crate::harmony`]) and gives,
//! for every number of them up to a limit, those that move least *with the voicings that then fit*.
//! It lays the page out as a model of written and replaced spans ([`parts`], [`points`]), each with
//! what may lie ahead of it ([`ahead`]), and leaves the choice to [`crate::optimise`]. What may stand for what is not decided here.

mod ahead;
mod parts;
mod points;
mod prices;
mod stretches;
#[cfg(test)]
mod tests;
mod ways;

use std::ops::Range;

use crate::arrange::rest::mark_rests;
use crate::arrange::{Cache, Problem, Settings, Trouble, arrange};
use crate::chart::{Chart, NotReplaced, Replacement};
use crate::optimise::{Budget, Cost, Unsolvable};

use parts::SpannedPage;
use points::laid_out;

pub use prices::prices;
pub use stretches::stretches;

/// The best that so many replacements can do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rung {
    /// Which replacements, by their place in the list, rising.
    pub replacements: Vec<usize>,
    /// The page with them.
    pub chart: Chart,
    /// What the performance of that page costs at least.
    pub cost: Cost,
    /// Whether it is proved that no other choice of as many replacements costs less.
    pub optimal: bool,
    /// No choice of as many replacements costs less than this; `None` where nothing is known.
    pub lower_bound: Option<Cost>,
}

/// For every number of replacements from 0 to `most`, the choice with the least total cost together
/// with the voicings; `None` where so many don't fit beside each other, or leave a chord without a
/// voicing.
///
/// The cost is the one [`arrange`] plans by, over the whole performance, each slot of the page with
/// one voicing: what is replaced is replaced on the page, once. Replacements that overlap are never
/// taken together. Those that cross a seam (see [`stretches`]) are never taken.
///
/// Each rung's cost is that of the page planned anew; it is `optimal` where the engine proved its
/// choice and both costs agree.
///
/// # Errors
///
/// Those of [`arrange`] for the page as it is, and [`Trouble::NoPlan`] for a page too large.
pub fn changes(
    chart: &Chart,
    replacements: &[Replacement],
    settings: &Settings,
    most: usize,
    cache: &mut Cache,
) -> Result<Vec<Option<Rung>>, Trouble> {
    let settings = &Settings {
        as_played: false,
        alternatives: 0,
        ..settings.on(chart)
    };
    let mut sources = Problem::of(chart, settings)?;
    mark_rests(&mut sources, cache);
    let page = SpannedPage::of(&sources, replacements, settings);
    let search = JointSearch {
        chart,
        replacements,
        settings,
        page,
        most: most.min(replacements.len()),
    };
    let mut rungs = match search.found(cache) {
        Ok(rungs) => rungs,
        Err(Unsolvable::NoValues { .. }) => {
            // Some chord has no voicing, and nothing stands for it: said as for any page.
            arrange(chart.clone(), settings, cache)?;
            return Err(Trouble::NoPlan(Unsolvable::Impossible));
        }
        Err(why) => return Err(Trouble::NoPlan(why)),
    };
    rungs.resize(search.most + 1, None);
    Ok(rungs)
}

/// What is asked of [`changes`].
struct JointSearch<'s> {
    chart: &'s Chart,
    replacements: &'s [Replacement],
    settings: &'s Settings,
    page: SpannedPage<'s>,
    most: usize,
}

impl JointSearch<'_> {
    fn found(&self, cache: &mut Cache) -> Result<Vec<Option<Rung>>, Unsolvable> {
        let layout = laid_out(&self.page, self.settings, cache);
        let plans = layout.model.best_by_weight(self.most, Budget::default())?;
        let rungs = plans.plans().iter().map(|plan| {
            let solution = plan.as_ref()?;
            let found = self.rung(layout.taken(&solution.choice), cache)?;
            // Nothing replaced is no choice: the page's own plan is all there is to prove.
            if found.replacements.is_empty() {
                return Some(found);
            }
            let proved = solution.optimal && found.cost == solution.cost;
            Some(Rung {
                optimal: found.optimal && proved,
                lower_bound: Some(solution.lower_bound),
                ..found
            })
        });
        Ok(rungs.collect())
    }

    /// The page with these replacements, planned anew.
    fn rung(&self, taken: Vec<usize>, cache: &mut Cache) -> Option<Rung> {
        let chart = replaced(self.chart, self.replacements, &taken).ok()?;
        let arrangement = arrange(chart, self.settings, cache).ok()?;
        Some(Rung {
            replacements: taken,
            chart: arrangement.chart,
            cost: arrangement.totals.cost,
            optimal: arrangement.totals.optimal,
            lower_bound: Some(arrangement.totals.lower_bound),
        })
    }
}

/// The page with some of the replacements.
///
/// # Errors
///
/// Replacements that overlap or don't fit.
pub fn replaced(
    chart: &Chart,
    replacements: &[Replacement],
    taken: &[usize],
) -> Result<Chart, NotReplaced> {
    let taken = taken.iter().filter_map(|&at| replacements.get(at).cloned());
    chart.replaced(&taken.collect::<Vec<_>>())
}

/// Whether the slots lie in one of the stretches.
fn within(stretches: &[Range<usize>], slots: &Range<usize>) -> bool {
    let inside = |s: &Range<usize>| s.start <= slots.start && slots.end <= s.end;
    !slots.is_empty() && stretches.iter().any(inside)
}
