//! What can be said about a lattice too entangled to be solved exactly, weight
//! by weight; the reasoning is that of [`relaxed`](super::super::relaxed) for graphs.
//!
//! **The bounds.** Without some of its passages the lattice can be eliminated;
//! each passage left out costs at least as much as its cheapest pair of
//! states. What is impossible without them is impossible.
//!
//! **The choices.** Some points are held at what a known choice takes, the
//! rest is solved exactly, and whatever is better for its weight is
//! kept. Nothing is claimed of it beyond the bounds.

use super::exact::{self, Found, Problem};
use super::net::Net;
use super::state::{Passage, Point};
use crate::plan::Unsolvable;
use crate::plan::cost::{IMPOSSIBLE, Key};
use crate::plan::network::join;
use crate::plan::order;
use std::cmp::Reverse;

/// How often some points are held and the others decided anew.
const ROUNDS: usize = 32;

/// Each round solves tables up to this size, whatever the budget: many small
/// rounds do more than a few large ones.
const ROUND_CELLS: u64 = 1 << 16;

/// For every weight the least that any choice costs, [`IMPOSSIBLE`] if there
/// is none, and the best choice found.
pub(super) struct Relaxed {
    pub(super) bounds: Vec<Key>,
    pub(super) found: Vec<Option<Found>>,
}

pub(super) fn solve(problem: &Problem<'_>, net: &Net<'_>) -> Result<Relaxed, Unsolvable> {
    let (kept, cells) = keep(problem, net);
    let left_out: Vec<usize> = (0..kept.len()).filter(|&index| !kept[index]).collect();
    let passages = pick(net.passages, &kept);
    let easier = Problem {
        passages: &passages,
        cells,
        ..*problem
    };
    let round = Problem {
        cells: problem.cells.min(ROUND_CELLS),
        ..*problem
    };
    let guesses = exact::solve(&easier, &easier.net()?)?.found;
    let more = left_out
        .iter()
        .fold(0, |sum, &index| join(sum, least(net, index)));
    let bound = |guess: &Option<Found>| {
        let key = guess.as_ref().map_or(IMPOSSIBLE, |guess| guess.key);
        join(key, more)
    };
    Ok(Relaxed {
        bounds: guesses.iter().map(bound).collect(),
        found: improve(&round, net, guesses)?,
    })
}

/// The least that a passage costs between any two states.
fn least(net: &Net<'_>, passage: usize) -> Key {
    let own = net.passages[passage].from;
    let meetings = net.meetings(passage, own);
    let other = net.other(passage, own);
    let states = 0..net.points[other].states.len();
    let pairs = states.flat_map(|state| meetings.line(state));
    pairs.map(|(_, key)| *key).min().unwrap_or(IMPOSSIBLE)
}

fn pick(passages: &[Passage], kept: &[bool]) -> Vec<Passage> {
    let both = passages.iter().zip(kept);
    both.filter(|(_, kept)| **kept)
        .map(|(passage, _)| *passage)
        .collect()
}

/// Which passages are kept, and the size of table they need: as many as
/// the budget allows, those of a spanning forest in any case.
fn keep(problem: &Problem<'_>, net: &Net<'_>) -> (Vec<bool>, u64) {
    let (ranked, forest) = forest_first(net);
    let kept = |count: usize| {
        let mut kept = vec![true; net.passages.len()];
        ranked[count..]
            .iter()
            .for_each(|&index| kept[index] = false);
        kept
    };
    let fits = |count: usize| {
        let order = order::order_web(net.web(&kept(count)), problem.cells);
        order.is_ok()
    };
    let (mut enough, mut too_many) = (forest, ranked.len());
    while enough + 1 < too_many {
        let middle = enough + (too_many - enough) / 2;
        *(if fits(middle) {
            &mut enough
        } else {
            &mut too_many
        }) = middle;
    }
    let cells = if fits(enough) {
        problem.cells
    } else {
        u64::MAX
    };
    (kept(enough), cells)
}

/// The passages between open points, those of a spanning forest first, the
/// ones that check labels and are often taken before the others; and how many
/// belong to the forest.
fn forest_first(net: &Net<'_>) -> (Vec<usize>, usize) {
    let between = |index: &usize| {
        let Passage { from, to, .. } = net.passages[*index];
        from != to && net.open[from] && net.open[to]
    };
    let mut passages: Vec<usize> = (0..net.passages.len()).filter(between).collect();
    passages.sort_by_key(|&index| {
        let passage = &net.passages[index];
        Reverse((passage.checks.contains(&true), passage.times))
    });
    let mut group: Vec<usize> = (0..net.points.len()).collect();
    let (forest, others): (Vec<usize>, Vec<usize>) = passages.into_iter().partition(|&index| {
        let Passage { from, to, .. } = net.passages[index];
        let (a, b) = (root(&mut group, from), root(&mut group, to));
        group[a] = b;
        a != b
    });
    let count = forest.len();
    (forest.into_iter().chain(others).collect(), count)
}

fn root(group: &mut [usize], mut point: usize) -> usize {
    while group[point] != point {
        group[point] = group[group[point]];
        point = group[point];
    }
    point
}

/// Holds points at the states of one choice after the other, always
/// other points, and keeps what gets better.
fn improve(
    problem: &Problem<'_>,
    net: &Net<'_>,
    guesses: Vec<Option<Found>>,
) -> Result<Vec<Option<Found>>, Unsolvable> {
    let mut best: Vec<Option<Found>> = vec![None; guesses.len()];
    let mut seeds: Vec<Vec<usize>> = Vec::new();
    for guess in guesses.into_iter().flatten() {
        seeds.push(guess.choice.clone());
        take(&mut best, net, guess.choice);
    }
    let mut times_held = vec![0usize; net.points.len()];
    for round in 0..ROUNDS.min(ROUNDS * seeds.len()) {
        let mut preferred: Vec<usize> = (0..net.points.len()).collect();
        preferred.sort_by_key(|&point| (times_held[point], Reverse(net.at[point].len())));
        let all = vec![true; net.passages.len()];
        let held = order::take_out_web(net.web(&all), problem.cells, &preferred);
        held.iter().for_each(|&point| times_held[point] += 1);
        let known: Vec<&Found> = best.iter().flatten().collect();
        let seed = match known.len() {
            0 => &seeds[round % seeds.len()],
            count => &known[round % count].choice,
        };
        for choice in decide_others(problem, seed, &held)? {
            take(&mut best, net, choice);
        }
    }
    Ok(best)
}

/// Keeps a choice if it is possible, and the best of its weight so far.
fn take(best: &mut [Option<Found>], net: &Net<'_>, choice: Vec<usize>) {
    let key = net.cost(&choice);
    let rung = best.get_mut(net.weigh(&choice));
    if let Some(rung) = rung.filter(|_| key < IMPOSSIBLE)
        && rung.as_ref().is_none_or(|known| key < known.key)
    {
        *rung = Some(Found { key, choice });
    }
}

fn decide_others(
    problem: &Problem<'_>,
    seed: &[usize],
    held: &[usize],
) -> Result<Vec<Vec<usize>>, Unsolvable> {
    let mut points = problem.points.to_vec();
    for &index in held {
        let Point { states, .. } = &mut points[index];
        *states = vec![states.swap_remove(seed[index])];
    }
    let smaller = Problem {
        points: &points,
        ..*problem
    };
    let found = exact::solve(&smaller, &smaller.net()?)?.found;
    let choices = found.into_iter().flatten().map(|found| {
        let mut choice = found.choice;
        held.iter().for_each(|&point| choice[point] = seed[point]);
        choice
    });
    Ok(choices.collect())
}
