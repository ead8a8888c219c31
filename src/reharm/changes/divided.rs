//! Choices of so many replacements, divided until the best is known.

use rayon::prelude::*;

use super::choice_part::ChoicePart;
use super::relaxed::RelaxedSearch;
use super::standing::{Relaxed, Standing};
use crate::optimise::Unsolvable;

/// Divides the choices, no more than so often.
pub(super) fn divided(
    page: &RelaxedSearch<'_>,
    whole: ChoicePart,
    (count, most): (usize, usize),
    known: &mut Standing,
) -> Result<(), Unsolvable> {
    let mut open: Vec<(Relaxed, ChoicePart)> = Vec::new();
    let mut parts = vec![whole];
    for searched in 0.. {
        let found: Vec<Result<_, _>> = parts.par_iter().map(|part| page.one(part, count)).collect();
        for (found, part) in found.into_iter().zip(parts.drain(..)) {
            if let Some(found) = found? {
                known.take_choice(&found);
                open.push((found, part));
            }
        }
        open.retain(|(found, _)| !found.keeps || found.bound < found.score);
        let lowest = open.iter().map(|(found, _)| found.bound).min();
        known.bound = known.floor(lowest);
        if known.is_settled() || searched >= most {
            break;
        }
        let next = open
            .iter()
            .position(|(found, _)| Some(found.bound) == lowest);
        let Some((found, part)) = next.map(|at| open.swap_remove(at)) else {
            break;
        };
        parts = divide(page, &part, &found, count);
    }
    Ok(())
}

/// The parts of a part in which the choice that was found can't be made; or where it breaks no limit,
/// the same part as it has to be searched again.
fn divide(
    page: &RelaxedSearch<'_>,
    part: &ChoicePart,
    found: &Relaxed,
    count: usize,
) -> Vec<ChoicePart> {
    let mut limits = page.terms.limits.iter();
    let broken = limits.find(|limit| limit.count(&found.taken) > limit.most);
    let Some(limit) = broken else {
        return vec![again(page, part, &found.taken, count)];
    };
    let members = found.taken.iter().filter(|at| limit.members.contains(at));
    let open = members.filter(|at| !part.demanded.contains(at)).copied();
    let demanded = limit.count(&part.demanded);
    // Where more is demanded already than the limit allows, the part holds no choice.
    let left = (limit.most + 1).saturating_sub(demanded);
    let open: Vec<usize> = open.take(left).collect();
    let each = open.iter().enumerate().map(|(place, out)| ChoicePart {
        left_out: [&part.left_out[..], &[*out]].concat(),
        demanded: [&part.demanded[..], &open[..place]].concat(),
        ..part.clone()
    });
    each.collect()
}

/// A part without what kept its bound low: counted limits where they hid that too many were taken, or
/// multipliers of limits that the choice doesn't use up.
fn again(page: &RelaxedSearch<'_>, part: &ChoicePart, taken: &[usize], count: usize) -> ChoicePart {
    if taken.len() != count {
        return ChoicePart {
            counted: Vec::new(),
            ..part.clone()
        };
    }
    let limits = page.terms.limits.iter().zip(&part.multipliers);
    let used_up = limits.map(
        |(limit, multiplier)| match limit.count(taken) < limit.most {
            true => 0,
            false => *multiplier,
        },
    );
    ChoicePart {
        multipliers: used_up.collect(),
        ..part.clone()
    }
}
