//! What each replacement costs alone, with the best voicings around it: all of them at once, exactly.
//!
//! On the model of the joint search every replacement pays a toll greater than any effort. The least effort
//! with a value that begins a replacement then belongs to the plan that takes this one and no other, and
//! what it costs beyond the toll is the effort of the page with it.

use super::parts::SpannedPage;
use super::points::each_moment;
use super::space::WeightedPage;
use super::{of_the_page, sources};
use crate::arrange::{Cache, Settings, Trouble};
use crate::chart::{Chart, Replacement};
use crate::optimise::Unsolvable;

/// More than a voicing can cost at one visit, with the motion into it.
const MOST_EFFORT: u64 = 256;

/// For each replacement, by how much the least effort of the whole performance grows with it; `None`
/// where it leaves a chord without a voicing.
///
/// # Errors
///
/// A play order that can't be played, and [`Trouble::NoPlan`] where the page as it is can't be voiced, is too
/// large or too entangled.
pub fn prices(
    chart: &Chart,
    replacements: &[Replacement],
    settings: &Settings,
    cache: &mut Cache,
) -> Result<Vec<Option<i64>>, Trouble> {
    let settings = &of_the_page(chart, settings);
    let sources = sources(chart, settings, cache)?;
    let page = SpannedPage::of(&sources, replacements, settings);
    let visits = |moment: usize| {
        let slot = page.moments.get(moment).map(|moment| moment.slot);
        slot.map_or(0, |slot| page.performance.times(slot))
    };
    let all: u64 = (0..page.moments.len()).map(visits).sum();
    let toll = (all + 1).saturating_mul(MOST_EFFORT).next_power_of_two();
    let toll = u32::try_from(toll).map_err(|_| Trouble::NoPlan(Unsolvable::TooLarge))?;
    let toll = i64::from(toll);
    let tolls = vec![toll; replacements.len()];
    let mut tolled = WeightedPage::default();
    let edges = each_moment(&page, settings, cache, |states| {
        tolled.add(states.iter(), &tolls, |_| 0);
    });
    edges.into_iter().for_each(|edge| tolled.model.edge(edge));
    let least = tolled.least_efforts().map_err(Trouble::NoPlan)?;
    let written = Some(least.all).filter(|all| *all < toll);
    let written = written.ok_or(Trouble::NoPlan(Unsolvable::Impossible))?;
    // A choice that takes two of them pays two tolls.
    let alone = |effort: i64| Some(effort - toll).filter(|alone| *alone < toll);
    let grown = |effort: Option<i64>| Some(alone(effort?)? - written);
    let with = tolled.by_replacement(&least.each, replacements.len());
    Ok(with.into_iter().map(grown).collect())
}
