//! Every legal voicing of every slot, and what it would cost the whole tune.

use crate::chart::{Chart, Slot};
use crate::plan::Cost;
use crate::voicing::Voicing;

use super::{Cache, Question, Settings, Stuck, arrange};

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
    /// What the whole tune costs at best with this voicing here.
    pub total: Cost,
    /// How many semitones of motion that is above the best plan: exact, 0 for the planned one.
    pub price: u64,
    /// Whether the plan takes it.
    pub planned: bool,
}

/// Every legal voicing of every slot with its exact price.
///
/// A price is the difference between two optima: the best plan of all, and the best of those that
/// take this voicing. See [`crate::plan::Chain::prices`].
///
/// # Errors
///
/// As [`arrange`].
pub fn options(
    chart: Chart,
    settings: &Settings,
    cache: &mut Cache,
) -> Result<Vec<OptionsOfSlot>, Vec<Stuck>> {
    let question = Question::of(&chart, settings, cache)?;
    let layers = question.layers();
    let totals = question.chain(&layers).prices().map_err(|_| Vec::new())?;
    let sounding = question.sounding;
    let arrangement = arrange(chart, settings, cache)?;
    let best = arrangement.totals.cost;
    let mut found: Vec<OptionsOfSlot> = arrangement
        .slots
        .iter()
        .map(|arranged| OptionsOfSlot {
            slot: arranged.slot.clone(),
            voicings: Vec::new(),
        })
        .collect();
    for (at, totals) in sounding.into_iter().zip(totals) {
        if let (Some(arranged), Some(options)) = (arrangement.slots.get(at), found.get_mut(at)) {
            let candidates = arranged.candidates.iter().zip(totals);
            options.voicings = candidates
                .filter_map(|(voicing, total)| {
                    let total = total?;
                    Some(Priced {
                        planned: arranged.voicing.as_ref() == Some(voicing),
                        voicing: voicing.clone(),
                        price: total.motion - best.motion,
                        total,
                    })
                })
                .collect();
            // Stable: equal totals stay in the order that decides between equal plans.
            options.voicings.sort_by_key(|priced| priced.total);
        }
    }
    Ok(found)
}
