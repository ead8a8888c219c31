//! What can be said about a graph too entangled to be solved exactly: a bound
//! that no plan can beat, and a good plan, with nothing claimed beyond.
//!
//! **The bound.** Costs are never negative. Leaving steps out until
//! elimination succeeds, and counting each of them with the least cost that any
//! pair of its candidates has, gives a least total that no plan can go below.
//!
//! **The plan.** Some slots are held so that the rest can be solved
//! exactly, then others are held instead, until nothing improves.

use super::cost::{IMPOSSIBLE, Key, unpack};
use super::elimination::Elimination;
use super::network::{Folded, Network, join};
use super::order;
use super::{Budget, GraphPlan, Unsolvable};

/// Each round of improvement solves tables up to this size, whatever the
/// budget: many small rounds do more than a few large ones.
const ROUND_CELLS: u64 = 1 << 16;

/// Stop after so many rounds in a row without improvement.
const IDLE_ROUNDS: usize = 4;

/// Never more rounds than this.
const ROUNDS: usize = 64;

pub(super) fn solve(
    network: &Network,
    budget: Budget,
    width: usize,
) -> Result<GraphPlan, Unsolvable> {
    let (bound, relaxed_choice) = lower_bound(network, budget.cells)?;
    let start = [relaxed_choice, first_fit(network)];
    let start = start
        .into_iter()
        .min_by_key(|choice| network.cost(choice))
        .unwrap_or_default();
    let choice = improve(network, start, budget.cells.min(ROUND_CELLS));
    let cost = network.cost(&choice);
    if cost >= IMPOSSIBLE {
        return Err(Unsolvable::NoneFound);
    }
    Ok(GraphPlan {
        choice,
        cost: unpack(cost),
        lower_bound: unpack(bound),
        // The bound can meet the plan: then it is proved after all.
        optimal: bound == cost,
        width,
    })
}

/// The least total without some of the steps, and the choice that has it.
fn lower_bound(network: &Network, cells: u64) -> Result<(Key, Vec<usize>), Unsolvable> {
    let ranked = tree_first(network);
    let slots = network.packed.len();
    let kept = most_kept(network, &ranked, cells);
    let mut keep = vec![false; network.links.len()];
    ranked.0[..kept].iter().for_each(|&link| keep[link] = true);
    let mut bound = 0;
    for link in ranked.0[kept..].iter().map(|&index| &network.links[index]) {
        bound = join(bound, network.least(link));
    }
    let folded = Folded::new(network, vec![None; slots], |link| keep[link]);
    // A forest has tables of two slots; those are always affordable.
    let cells = if kept == ranked.1 { u64::MAX } else { cells };
    let order = order::order(&folded, cells);
    let order = order.map_err(|stuck| Unsolvable::TooEntangled { width: stuck.width })?;
    let elimination = Elimination::run(folded, order);
    bound = join(bound, elimination.total);
    if bound >= IMPOSSIBLE {
        return Err(Unsolvable::NoAssignment);
    }
    let mut choice = elimination.undecided();
    elimination.decide(&elimination.places(), &mut choice, 0);
    Ok((bound, choice))
}

/// The links, those of a spanning forest first, the ones most often taken
/// before the others; and how many belong to the forest.
fn tree_first(network: &Network) -> (Vec<usize>, usize) {
    let mut links: Vec<usize> = (0..network.links.len()).collect();
    links.sort_by_key(|&link| std::cmp::Reverse(network.links[link].times));
    let mut group: Vec<usize> = (0..network.packed.len()).collect();
    let (forest, others): (Vec<usize>, Vec<usize>) = links.into_iter().partition(|&link| {
        let (a, b) = network.links[link].ends;
        let (a, b) = (root(&mut group, a), root(&mut group, b));
        group[a] = b;
        a != b
    });
    let count = forest.len();
    (forest.into_iter().chain(others).collect(), count)
}

fn root(group: &mut [usize], mut slot: usize) -> usize {
    while group[slot] != slot {
        group[slot] = group[group[slot]];
        slot = group[slot];
    }
    slot
}

/// How many of the links can be kept within the budget, found by halving.
/// More might be possible; what is returned is.
fn most_kept(network: &Network, ranked: &(Vec<usize>, usize), cells: u64) -> usize {
    let (links, forest) = ranked;
    let mut rank = vec![0; links.len()];
    links
        .iter()
        .enumerate()
        .for_each(|(place, &link)| rank[link] = place);
    let (mut kept, mut too_many) = (*forest, links.len());
    while kept + 1 < too_many {
        let middle = kept + (too_many - kept) / 2;
        let held = vec![None; network.packed.len()];
        let folded = Folded::new(network, held, |link| rank[link] < middle);
        match order::order(&folded, cells) {
            Ok(_) => kept = middle,
            Err(_) => too_many = middle,
        }
    }
    kept
}

/// Each slot in turn takes what is cheapest beside the slots before it.
fn first_fit(network: &Network) -> Vec<usize> {
    let slots = network.packed.len();
    let mut before: Vec<Vec<usize>> = vec![Vec::new(); slots];
    for (index, link) in network.links.iter().enumerate() {
        before[link.ends.1].push(index); // its ends rise
    }
    let mut choice = vec![0; slots];
    for slot in 0..slots {
        let candidates = network.packed.span(slot);
        let cost = |candidate: usize| {
            let keys = before[slot].iter().map(|&index| {
                let link = &network.links[index];
                let other = network.packed.span(link.ends.0).start + choice[link.ends.0];
                link.key(network.packed.row(other), network.packed.row(candidate))
            });
            keys.fold(0, join)
        };
        let best = candidates.clone().min_by_key(|&candidate| cost(candidate));
        choice[slot] = best.map_or(0, |best| best - candidates.start);
    }
    choice
}

/// Re-decides all slots but a few, again and again, always other ones. The
/// present choice stays possible each time, so the cost can only fall.
fn improve(network: &Network, mut choice: Vec<usize>, cells: u64) -> Vec<usize> {
    let slots = network.packed.len();
    let whole = Folded::new(network, vec![None; slots], |_| true);
    let mut times_held = vec![0usize; slots];
    let mut idle = 0;
    for _ in 0..ROUNDS {
        let mut preferred: Vec<usize> = (0..slots).collect();
        preferred
            .sort_by_key(|&slot| (times_held[slot], std::cmp::Reverse(whole.links[slot].len())));
        let held = order::take_out(&whole, cells, &preferred);
        held.iter().for_each(|&slot| times_held[slot] += 1);
        let next = decide_others(network, &choice, &held, cells);
        let better = network.cost(&next) < network.cost(&choice);
        idle = if better { 0 } else { idle + 1 };
        if better {
            choice = next;
        }
        if idle == IDLE_ROUNDS {
            break;
        }
    }
    choice
}

fn decide_others(network: &Network, choice: &[usize], held: &[usize], cells: u64) -> Vec<usize> {
    let mut fixed = vec![None; choice.len()];
    held.iter()
        .for_each(|&slot| fixed[slot] = Some(choice[slot]));
    let folded = Folded::new(network, fixed, |_| true);
    let Ok(order) = order::order(&folded, cells) else {
        return choice.to_vec();
    };
    let elimination = Elimination::run(folded, order);
    let mut next = elimination.undecided();
    elimination.decide(&elimination.places(), &mut next, 0);
    next
}
