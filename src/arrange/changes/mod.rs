//! Which of many replacements to make, so that the hand moves least: chords and voicings decided
//! together, exactly.
//!
//! [`changes`] takes a chart and replacements somebody thought of (see [`crate::harmony`]) and gives,
//! for every number of them up to a limit, those that move least *with the voicings that then fit*.
//! It lays the page out as a lattice of written and replaced spans ([`parts`], [`points`]) and leaves
//! the choice to [`crate::plan::Lattice`]. What may stand for what is not decided here.

mod parts;
mod points;
mod sights;
mod stands;
mod stretches;
#[cfg(test)]
mod tests;
mod walk;
mod ways;

use std::ops::Range;

use super::question::Question;
use super::regions::Keyed;
use super::{Cache, Settings, Trouble, arrange};
use crate::chart::{Chart, NotReplaced, Replacement};
use crate::plan::{Budget, Cost, Lattice, Unsolvable};

use parts::Page;
use points::laid_out;

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
}

/// For every number of replacements from 0 to `most`, the choice with the least total cost together
/// with the voicings; `None` where so many don't fit beside each other, or leave a chord without a
/// voicing.
///
/// The cost is the one [`arrange`] plans by, over the whole performance, each slot of the page with
/// one voicing: what is replaced is replaced on the page, once. Replacements that overlap are never
/// taken together. Those that cross a seam (see [`stretches`]) are never taken.
///
/// Each rung's cost is that of the page planned anew; it is `optimal` where the lattice proved its
/// choice and both costs agree. Where a chord may look past its neighbour across a repeat sign or a
/// jump (G7 before G7, to where that resolves), what it sees there is not known beforehand: then
/// nothing is claimed.
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
        ..settings.clone()
    };
    let sources = Keyed::of(chart)?;
    let page = Page::of(&sources, replacements, settings);
    let layout = laid_out(&page, settings, cache);
    let range = settings.voicing.hand.range;
    let centre = i32::from(range.low().midi()) + i32::from(range.high().midi());
    let lattice = Lattice::new(&layout.points, centre, layout.passages.clone());
    let ladder = match lattice.solve(most, Budget::default()) {
        Ok(ladder) => ladder,
        Err(Unsolvable::EmptyLayer { .. }) => {
            // Some chord has no voicing, and nothing stands for it: said as for any page.
            Question::of(chart, settings, cache)?;
            return Err(Trouble::NoPlan(Unsolvable::NoAssignment));
        }
        Err(why) => return Err(Trouble::NoPlan(why)),
    };
    let rungs = ladder.rungs().iter().map(|rung| {
        let solution = rung.as_ref()?;
        let taken = layout.taken(&solution.choice);
            let f = rung_of(chart, replacements, taken.clone(), settings, cache);
            eprintln!(
                "DBG exact {} taken {taken:?} sol {:?} opt {} found {:?}",
                layout.exact,
                solution.cost,
                solution.optimal,
                f.map(|f| (f.cost, f.optimal))
            );
        }
        rung_of(chart, replacements, taken, settings, cache).map(|found| Rung {
            optimal: layout.exact
                && found.optimal
                && solution.optimal
                && found.cost == solution.cost,
            ..found
        })
    });
    let mut rungs: Vec<Option<Rung>> = rungs.collect();
    rungs.resize(most.saturating_add(1).min(replacements.len() + 1), None);
    Ok(rungs)
}

fn rung_of(
    chart: &Chart,
    replacements: &[Replacement],
    taken: Vec<usize>,
    settings: &Settings,
    cache: &mut Cache,
) -> Option<Rung> {
    let chart = replaced(chart, replacements, &taken).ok()?;
    let arrangement = arrange(chart, settings, cache).ok()?;
    Some(Rung {
        replacements: taken,
        chart: arrangement.chart,
        cost: arrangement.totals.cost,
        optimal: arrangement.totals.optimal,
    })
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
