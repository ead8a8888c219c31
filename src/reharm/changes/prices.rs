//! What each replacement costs alone, with the best voicings around it: all of them at once, exactly.
//!
//! On the model of the joint search every replacement pays a toll greater than any effort. The least effort
//! with a value that begins a replacement then belongs to the plan that takes this one and no other, and
//! what it costs beyond the toll is the effort of the page with it.

use super::parts::SpannedPage;
use super::points::laid_out;
use super::{of_the_page, sources};
use crate::arrange::{Cache, Settings, Trouble};
use crate::chart::{Chart, Replacement};
use crate::optimise::{Budget, Unsolvable};

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
    let layout = laid_out(&page, settings, cache).model(&[], |_| true, &[]);
    let visits = |moment: usize| {
        let slot = page.moments.get(moment).map(|moment| moment.slot);
        slot.map_or(0, |slot| page.performance.times(slot))
    };
    let all: u64 = (0..page.moments.len()).map(visits).sum();
    let toll = (all + 1).saturating_mul(MOST_EFFORT).next_power_of_two();
    let toll_paid = u32::try_from(toll).map_err(|_| Trouble::NoPlan(Unsolvable::TooLarge))?;
    let efforts = layout
        .model
        .with_toll(toll_paid)
        .least_efforts(Budget::default());
    let efforts = efforts.map_err(Trouble::NoPlan)?;
    let least = efforts.iter().flatten().flatten().min().copied();
    let written = least
        .filter(|least| *least < toll)
        .ok_or(Trouble::NoPlan(Unsolvable::Impossible))?;
    let mut least: Vec<Option<u64>> = vec![None; replacements.len()];
    for (efforts, begins) in efforts.iter().zip(&layout.begins) {
        for (effort, begins) in efforts.iter().zip(begins) {
            let alone = effort.and_then(|effort| effort.checked_sub(toll));
            let alone = alone.filter(|alone| *alone < toll);
            let known = begins.and_then(|of| least.get_mut(of));
            if let (Some(alone), Some(known)) = (alone, known) {
                *known = Some(known.map_or(alone, |known| known.min(alone)));
            }
        }
    }
    let grown = |effort: u64| Some(i64::try_from(effort).ok()? - i64::try_from(written).ok()?);
    Ok(least
        .into_iter()
        .map(|effort| effort.and_then(grown))
        .collect())
}
