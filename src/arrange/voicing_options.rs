//! Every legal voicing of every slot, and what it would cost the whole tune.

use super::arrangement::{Arranged, Arrangement};
use super::cache::Cache;
use super::planned::{arrangement, prepared};
use super::problem::Problem;
use super::settings::Settings;
use super::trouble::Trouble;
use crate::chart::{Chart, Slot};
use crate::optimise::Cost;
use crate::voicing::Voicing;

/// The voicings one slot could have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OptionsOfSlot {
    /// The slot.
    pub slot: Slot,
    /// Its voicings, cheapest for the tune first; empty for silence.
    pub voicings: Vec<Priced>,
}

/// A voicing and its price.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Priced {
    /// The voicing.
    pub voicing: Voicing,
    /// What the whole performance costs at best with this voicing here.
    pub total: Cost,
    /// By how many semitones of effort that is above the best plan: exact, 0 for the planned one.
    pub price: u64,
    /// Whether the plan takes it.
    pub planned: bool,
}

/// Every legal voicing of every slot with its exact price.
///
/// A price is the difference between two optima: the best plan of all, and the best of those that
/// take this voicing. It counts the whole performance, so that a voicing in a repeat pays for every
/// pass. See [`crate::optimise::Model::min_marginals`].
///
/// # Errors
///
/// As [`arrange`](super::arrange), and a page too entangled for exact prices.
pub fn options(
    chart: Chart,
    settings: &Settings,
    cache: &mut Cache,
) -> Result<Vec<OptionsOfSlot>, Trouble> {
    Ok(priced(chart, settings, cache)?.1)
}

/// The arrangement, and the options of each of its slots.
pub(crate) fn priced(
    chart: Chart,
    settings: &Settings,
    cache: &mut Cache,
) -> Result<(Arrangement, Vec<OptionsOfSlot>), Trouble> {
    let settings = &settings.on(&chart);
    let problem = Problem::of(&chart, settings)?;
    let (solver, warnings) = prepared(&problem, cache)?;
    let prices = solver.prices()?;
    let answer = solver.solve(0)?;
    let best = answer.totals.cost;
    let candidates = solver.candidates();
    let arrangement = arrangement(chart, problem, candidates, answer, warnings);
    let priced = arrangement.slots.iter().zip(prices);
    let options = priced
        .map(|(arranged, totals)| of_slot(arranged, &totals, best))
        .collect();
    Ok((arrangement, options))
}

fn of_slot(arranged: &Arranged, totals: &[Option<Cost>], best: Cost) -> OptionsOfSlot {
    let candidates = arranged.candidates.iter().zip(totals);
    let mut voicings: Vec<Priced> = candidates
        .filter_map(|(voicing, total)| {
            let total = (*total)?;
            Some(Priced {
                planned: arranged.voicing.as_ref() == Some(voicing),
                voicing: voicing.clone(),
                price: total.effort - best.effort,
                total,
            })
        })
        .collect();
    // Stable: equal totals stay in the order that decides between equal plans.
    voicings.sort_by_key(|priced| priced.total);
    OptionsOfSlot {
        slot: arranged.slot.clone(),
        voicings,
    }
}
