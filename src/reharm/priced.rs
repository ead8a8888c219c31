//! Proposals with their prices.

use super::{Listed, Proposed, prices};
use crate::arrange::{Cache, Settings, Trouble};
use crate::chart::{Chart, Replacement};

/// The same proposals with their prices, those left out that leave a chord without a voicing. Where the
/// page can't be priced, since it can't be voiced as it is or is too entangled, they come back as they are.
///
/// # Errors
///
/// A play order that can't be played.
pub fn priced(
    chart: &Chart,
    mut proposed: Proposed,
    settings: &Settings,
    cache: &mut Cache,
) -> Result<Proposed, Trouble> {
    let all: Vec<Replacement> = proposed.listed.iter().map(Listed::replacement).collect();
    let prices = match prices(chart, &all, settings, cache) {
        Ok(prices) => prices,
        Err(Trouble::NoPlan(_)) => return Ok(proposed),
        Err(trouble) => return Err(trouble),
    };
    let listed = std::mem::take(&mut proposed.listed).into_iter().zip(prices);
    let priced = listed.filter_map(|(one, price)| price.map(|_| Listed { price, ..one }));
    proposed.listed = priced.collect();
    Ok(proposed)
}
