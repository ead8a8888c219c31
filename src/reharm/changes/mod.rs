//! Which of many replacements to make: chords and voicings decided together, exactly.
//!
//! [`changes`] takes a chart, replacements somebody thought of (see [`crate::harmony`]) and the
//! [`Terms`] on which each may be taken, and gives, for every number of them up to a limit, those that
//! cost least *with the voicings that then fit*. It lays the page out as written and replaced spans
//! ([`parts`], [`points`]), each with what may lie ahead of it ([`ahead`]), and leaves the choice to
//! [`crate::optimise`]; that no more than so many of a kind are taken is seen to in [`limited`]. What may
//! stand for what is not decided here.

mod ahead;
mod beside;
mod bounds;
mod choice_part;
mod counted;
mod divided;
mod limited;
mod parts;
mod points;
mod priced;
mod prices;
mod pruned;
mod relaxed;
mod space;
mod standing;
mod stretches;
mod terms;
#[cfg(test)]
mod tests;
mod together;
mod ways;

use std::ops::Range;

use crate::arrange::rest::mark_rests;
use crate::arrange::{Cache, Problem, Settings, Trouble, arrange};
use crate::chart::{Chart, NotReplaced, Replacement};
use crate::optimise::{Cost, Unsolvable};

use beside::breaks;
use limited::share;
use parts::SpannedPage;
use points::laid_out;
use pruned::{best_choices, few, unstruck};
use space::StateSpace;
use standing::Best;
use together::most_together;

pub use prices::prices;
pub use stretches::stretches;
pub use terms::{AtMost, Terms};

/// The best that so many replacements can do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rung {
    /// Which replacements, by their place in the list, rising.
    pub replacements: Vec<usize>,
    /// The page with them.
    pub chart: Chart,
    /// What the performance of that page costs at least.
    pub cost: Cost,
    /// What the replacements are charged together.
    pub charge: i64,
    /// Whether it is proved that no other choice of as many replacements has a lower [`Rung::score`].
    pub optimal: bool,
    /// No choice of as many replacements has a lower score than this; `None` where nothing is known.
    pub lower_bound: Option<i64>,
}

impl Rung {
    /// What is made as small as possible: the effort and what the replacements are charged.
    pub fn score(&self) -> i64 {
        i64::try_from(self.cost.effort)
            .unwrap_or(i64::MAX)
            .saturating_add(self.charge)
    }
}

/// For every number of replacements from 0 to `most`, the choice with the least [score](Rung::score)
/// together with the voicings; `None` where so many don't fit beside each other on these terms, or leave
/// a chord without a voicing.
///
/// The effort is the one [`arrange`] plans by, over the whole performance, each slot of the page with
/// one voicing: what is replaced is replaced on the page, once, and charged once. Replacements that
/// overlap are never taken together, nor one just before another that takes the chord it leads to. Those that
/// cross a seam (see [`stretches`]) are never taken.
///
/// Each rung's cost is that of the page planned anew; it is `optimal` where the search proved its
/// choice and both costs agree. Among choices of equal score the other fields of [`Cost`] decide, which
/// is proved as well unless a limit stood in the way.
///
/// # Errors
///
/// Those of [`arrange`] for the page as it is, and [`Trouble::NoPlan`] for a page too large.
pub fn changes(
    chart: &Chart,
    replacements: &[Replacement],
    terms: &Terms,
    settings: &Settings,
    most: usize,
    cache: &mut Cache,
) -> Result<Vec<Option<Rung>>, Trouble> {
    let most = most.min(replacements.len());
    on_the_page(chart, replacements, settings, cache, |search, cache| {
        search.rungs(terms, &(0..=most).collect::<Vec<_>>(), share(most), cache)
    })
}

/// The rung of [`changes`] with so many replacements, or with as many as fit; each number on terms of its
/// own, whose limits allow no more than those of a greater one. `None` where not even one fits. It is one of so
/// many `searches` that share the work.
///
/// # Errors
///
/// Those of [`changes`].
pub fn as_many_as_fit(
    chart: &Chart,
    replacements: &[Replacement],
    terms: impl Fn(usize) -> Terms,
    settings: &Settings,
    (most, searches): (usize, usize),
    cache: &mut Cache,
) -> Result<Option<Rung>, Trouble> {
    let slots = chart.slots();
    let performance = chart
        .performance(&slots, false)
        .map_err(Trouble::PlayOrder)?;
    let breaks = |one: &Replacement, next: &Replacement| breaks(one, next, &slots, &performance);
    let most = most.min(most_together(replacements, &terms(most), breaks));
    on_the_page(chart, replacements, settings, cache, |search, cache| {
        for count in (1..=most).rev() {
            let rungs = search.rungs(&terms(count), &[count], share(searches), cache)?;
            if let Some(rung) = rungs.into_iter().next().flatten() {
                return Ok(Some(rung));
            }
        }
        Ok(None)
    })
}

/// Lays a page out with all replacements, and searches it.
fn on_the_page<T>(
    chart: &Chart,
    replacements: &[Replacement],
    settings: &Settings,
    cache: &mut Cache,
    search: impl FnOnce(&JointSearch<'_>, &mut Cache) -> Result<T, Unsolvable>,
) -> Result<T, Trouble> {
    let settings = &of_the_page(chart, settings);
    let sources = sources(chart, settings, cache)?;
    let page = SpannedPage::of(&sources, replacements, settings);
    let joint = JointSearch {
        chart,
        replacements,
        settings,
        space: laid_out(&page, settings, cache),
    };
    match search(&joint, cache) {
        Ok(found) => Ok(found),
        Err(Unsolvable::NoValues { .. }) => {
            // Some chord has no voicing, and nothing stands for it: said as for any page.
            arrange(chart.clone(), settings, cache)?;
            Err(Trouble::NoPlan(Unsolvable::Impossible))
        }
        Err(why) => Err(Trouble::NoPlan(why)),
    }
}

/// The settings on which a page is laid out: each slot has one voicing, however often it is played.
fn of_the_page(chart: &Chart, settings: &Settings) -> Settings {
    Settings {
        as_played: false,
        alternatives: 0,
        ..settings.on(chart)
    }
}

/// The page as it is written, with the slots marked in which the hand rests.
fn sources<'s>(
    chart: &Chart,
    settings: &'s Settings,
    cache: &mut Cache,
) -> Result<Problem<'s>, Trouble> {
    let mut sources = Problem::of(chart, settings)?;
    mark_rests(&mut sources, cache);
    Ok(sources)
}

/// A page on which replacements are chosen.
struct JointSearch<'s> {
    chart: &'s Chart,
    replacements: &'s [Replacement],
    settings: &'s Settings,
    space: StateSpace,
}

impl JointSearch<'_> {
    /// The best choice of each of some numbers of replacements, rising; each may cost so much work.
    fn rungs(
        &self,
        terms: &Terms,
        counts: &[usize],
        work: usize,
        cache: &mut Cache,
    ) -> Result<Vec<Option<Rung>>, Unsolvable> {
        // Nothing replaced is no choice: the page's own plan is all there is to prove.
        let chosen: Vec<usize> = counts.iter().copied().filter(|count| *count > 0).collect();
        let few = few(chosen.last().copied().unwrap_or(0));
        let best = match chosen.is_empty() {
            // Only whether the page can be voiced at all is to be known.
            true => unstruck(&self.space, terms, counts, work)?,
            false => best_choices(&self.space, terms, &chosen, (few, work))?,
        };
        let mut best = best.into_iter();
        let rungs = counts.iter().map(|count| match count {
            0 => self.planned(Vec::new(), terms, cache),
            _ => self.rung(best.next()??, terms, cache),
        });
        Ok(rungs.collect())
    }

    /// The page with the best replacements, planned anew.
    ///
    /// What was proved is said only where the page costs what the search took it to cost. A line on one root that
    /// runs on from a replacement into a chord beside it is seen on the new page alone.
    fn rung(&self, best: Best, terms: &Terms, cache: &mut Cache) -> Option<Rung> {
        let found = self.planned(best.taken, terms, cache)?;
        let same = found.score() == best.score;
        Some(Rung {
            optimal: found.optimal && best.proved && same,
            lower_bound: same.then_some(best.bound),
            ..found
        })
    }

    /// The page with these replacements.
    fn planned(&self, taken: Vec<usize>, terms: &Terms, cache: &mut Cache) -> Option<Rung> {
        let chart = replaced(self.chart, self.replacements, &taken).ok()?;
        let arrangement = arrange(chart, self.settings, cache).ok()?;
        let bound = arrangement.totals.lower_bound.effort;
        let charge = terms.charge(&taken);
        Some(Rung {
            replacements: taken,
            chart: arrangement.chart,
            cost: arrangement.totals.cost,
            charge,
            optimal: arrangement.totals.optimal,
            lower_bound: i64::try_from(bound).ok().map(|bound| bound + charge),
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
