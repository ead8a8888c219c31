//! Multipliers of limits: what each member of a limit pays, so that choices which keep the limits are cheapest.

use std::ops::Range;

use super::choice_part::ChoicePart;
use super::relaxed::RelaxedSearch;
use super::standing::Standing;
use crate::optimise::Unsolvable;

/// How often multipliers are tried, and how often before a limit is counted.
pub(super) const ROUNDS: usize = 10;
pub(super) const FIRST_ROUNDS: usize = 3;

/// Tries multipliers, from these on, until nothing can be better by more than `enough`; whether there is any
/// choice.
pub(super) fn priced(
    page: &RelaxedSearch<'_>,
    (count, enough): (usize, i64),
    rounds: Range<usize>,
    multipliers: &mut Vec<i64>,
    known: &mut Standing,
) -> Result<bool, Unsolvable> {
    for round in rounds {
        if known.is_within(enough) {
            break;
        }
        let found = page.on_the_page(&ChoicePart::whole(multipliers))?;
        let Some(found) = found.get(&count) else {
            return Ok(false);
        };
        known.take(multipliers, found);
        let step = if round < ROUNDS / 2 { 4 } else { 1 };
        *multipliers = moved(page, multipliers, &found.taken, step);
    }
    Ok(true)
}

/// Multipliers of limits that are broken rise, those of limits not used up fall.
fn moved(page: &RelaxedSearch<'_>, multipliers: &[i64], taken: &[usize], step: i64) -> Vec<i64> {
    let limits = page.terms.limits.iter().zip(multipliers);
    let moved = limits.map(|(limit, multiplier)| {
        let (count, most) = (limit.count(taken), limit.most);
        match count > most {
            true => multiplier + step * i64::try_from(count - most).unwrap_or(1),
            false if count < most => (multiplier - step).max(0),
            false => *multiplier,
        }
    });
    moved.collect()
}

/// By how much the bound falls from one replacement less to so many, the limits being priced by these
/// multipliers.
pub(super) fn fall(
    page: &RelaxedSearch<'_>,
    multipliers: &[i64],
    count: usize,
) -> Result<i64, Unsolvable> {
    let known = page.on_the_page(&ChoicePart::whole(multipliers))?;
    let bound = |count: usize| Some(known.get(&count)?.bound);
    let both = count.checked_sub(1).and_then(bound).zip(bound(count));
    Ok(both.map_or(0, |(fewer, bound)| fewer - bound))
}
