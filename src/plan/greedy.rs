//! Always the nearest next row: the plan that hands make when they don't look
//! ahead. It is here to be compared with, never to be used for a result.

use super::chain::Plan;
use super::cost::{Bound, row_key, step_key, unpack};
use super::{Layer, Unsolvable, step};

/// Takes the row nearest the centre in the first slot, then always the row
/// that is cheapest to reach from the one before, the earlier of equals.
///
/// Cheap, and often not the least: see the example at
/// [`Chain::solve`](super::Chain::solve).
///
/// # Errors
///
/// [`Unsolvable::EmptyLayer`] and [`Unsolvable::TooLarge`].
pub fn nearest(layers: &[Layer], centre: i32) -> Result<Plan, Unsolvable> {
    let mut bound = Bound::new(centre);
    layers
        .iter()
        .flat_map(Layer::rows)
        .for_each(|row| bound.include(row));
    bound.check(layers.len() as u64, layers.len() as u64)?;
    let mut choice: Vec<usize> = Vec::with_capacity(layers.len());
    let mut total = 0;
    let mut before = None;
    for (slot, layer) in layers.iter().enumerate() {
        let costs = layer.rows().iter().map(|row| {
            let from: Option<&super::Row> = before;
            let moved = from.map_or(0, |from| step_key(step(from.entries(), row.entries())));
            moved + row_key(row, centre)
        });
        let best = costs.enumerate().min_by_key(|&(_, cost)| cost);
        let (index, cost) = best.ok_or(Unsolvable::EmptyLayer { layer: slot })?;
        total += cost;
        choice.push(index);
        before = layer.rows().get(index);
    }
    let cost = unpack(total);
    Ok(Plan { choice, cost })
}
