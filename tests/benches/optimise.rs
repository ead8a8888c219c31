//! How fast the engine is, measured against two yardsticks on the same rows in the same run, and how its
//! time grows with the length.
//!
//! Run with `cargo bench --bench optimise`, or with part of a heading's name for those rows alone. Times are
//! the least of many runs: on a busy machine a median says more about the neighbours than about the
//! program. Ratios are what can be compared between machines.
//!
//! # What is compared
//!
//! All sides get the same rows, laid out beforehand as each likes them best, and must find the same least
//! cost, which is asserted.
//!
//! - *Dijkstra*: `pathfinding::prelude::dijkstra` over nodes of 32 bits, with costs of 64 bits, over rows
//!   packed into arrays, their distances from the centre made beforehand.
//! - *plain DP*: the recurrence written down as it is read, over the same packed rows, with a back-pointer
//!   for every row: what anybody would write first. For loops and repeats it holds each row of one slot
//!   in turn (conditioning).
//!
//! The engine takes more from the task than either: that effort is the first field of the cost, and that
//! rows are short lists of small numbers.
//!
//! A processor learns the branches of a short run by heart when the same rows are solved again and again,
//! so each measurement goes round several different charts.

#![allow(clippy::unwrap_used, clippy::print_stdout, missing_docs)]

use compline::optimise::{Budget, Cost, Edge, Model, Row, Value, step};
use pathfinding::prelude::dijkstra;
use std::hint::black_box;
use std::time::{Duration, Instant};

const CENTRE: i32 = 48 + 69;

/// A row of four entries.
type Four = [i16; 4];

/// The rows of every slot.
type Layers = Vec<Vec<Four>>;

struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 20) % sides
    }

    /// Four different entries between 48 and 72.
    fn row(&mut self) -> Four {
        loop {
            let mut row = [0; 4].map(|_: i16| 48 + self.roll(25) as i16);
            row.sort_unstable();
            if row.windows(2).all(|pair| pair[0] < pair[1]) {
                return row;
            }
        }
    }

    fn layers(&mut self, count: usize, size: usize) -> Layers {
        let mut layer = || (0..size).map(|_| self.row()).collect();
        (0..count).map(|_| layer()).collect()
    }
}

/// Every rising way through all layers moves as far as any other: the worst there is for a search that
/// looks at effort first.
fn all_equal(count: usize, size: usize) -> Layers {
    let entry = |layer: usize, row: usize| match layer {
        0 => 0,
        _ if layer + 1 == count => 127,
        _ => (row * 128 / size) as i16,
    };
    let layer = |layer| {
        (0..size)
            .map(move |row| [entry(layer, row), 128, 129, 130])
            .collect()
    };
    (0..count).map(layer).collect()
}

/// The least time of one run; the runs go round the charts.
fn least<C, T>(charts: &[C], runs: usize, mut work: impl FnMut(&C) -> T) -> Duration {
    let mut times = (0..runs).map(|run| {
        let chart = &charts[run % charts.len()];
        let start = Instant::now();
        black_box(work(black_box(chart)));
        start.elapsed()
    });
    times.by_ref().min().unwrap()
}

fn ratio(yardstick: Duration, ours: Duration) -> f64 {
    yardstick.as_secs_f64() / ours.as_secs_f64()
}

/// The engine's model: every slot once, and these steps.
fn model(layers: &Layers, edges: impl IntoIterator<Item = (usize, usize)>) -> Model {
    let mut model = Model::new();
    for layer in layers {
        let value = |row: &Four| Value {
            off_centre: off_centre(row) as u32,
            ..Value::new(Row::new(row.to_vec()).unwrap())
        };
        let domain = model.domain(layer.iter().map(value));
        model.variable(domain, 1);
    }
    edges
        .into_iter()
        .for_each(|(from, to)| model.edge(Edge::new(from, to)));
    model
}

fn straight(count: usize) -> impl DoubleEndedIterator<Item = (usize, usize)> {
    (1..count).map(|to| (to - 1, to))
}

fn solved(model: &Model) -> Cost {
    let plan = model.solve(Budget::default()).unwrap();
    assert!(plan.optimal);
    plan.cost
}

fn off_centre(row: &Four) -> u64 {
    (i32::from(row[0]) + i32::from(row[3]) - CENTRE)
        .unsigned_abs()
        .into()
}

/// A cost in one number.
fn key(effort: u64, largest: u64, off_centre: u64) -> u64 {
    effort << 40 | largest << 20 | off_centre
}

fn key_of(cost: Cost) -> u64 {
    key(cost.effort, cost.largest, cost.off_centre)
}

#[inline(always)]
fn moved(a: &Four, b: &Four) -> u64 {
    let (mut sum, mut most) = (0, 0);
    for (x, y) in a.iter().zip(b) {
        let distance = u32::from(x.abs_diff(*y));
        (sum, most) = (sum + distance, most.max(distance));
    }
    key(sum.into(), most.into(), 0)
}

/// The plain dynamic program: for every row what it costs from there to the end, and the next row. The
/// last layer begins with `last`.
fn plain(layers: &[Vec<Four>], last: Vec<u64>) -> (Vec<u64>, Vec<Vec<u32>>) {
    let (mut costs, mut ways) = (last, Vec::with_capacity(layers.len()));
    for pair in layers.windows(2).rev() {
        let (mut new, mut way) = (
            Vec::with_capacity(pair[0].len()),
            Vec::with_capacity(pair[0].len()),
        );
        for row in &pair[0] {
            let mut best = (u64::MAX, 0);
            for (at, (other, cost)) in pair[1].iter().zip(&costs).enumerate() {
                let whole = cost + moved(row, other);
                if whole < best.0 {
                    best = (whole, at as u32);
                }
            }
            new.push(best.0 + off_centre(row));
            way.push(best.1);
        }
        (costs, _) = (new, ways.push(way));
    }
    (costs, ways)
}

/// The least cost and its rows.
fn by_plain(layers: &Layers) -> (u64, Vec<u32>) {
    let (costs, ways) = plain(
        layers,
        layers.last().unwrap().iter().map(off_centre).collect(),
    );
    let (first, &cost) = costs
        .iter()
        .enumerate()
        .min_by_key(|(_, cost)| **cost)
        .unwrap();
    let mut choice = vec![first as u32];
    for way in ways.iter().rev() {
        choice.push(way[*choice.last().unwrap() as usize]);
    }
    (cost, choice)
}

/// The same with a step from layer `from` back to layer 0: each row of layer 0 is held in turn.
fn by_conditioning(layers: &Layers, from: usize) -> u64 {
    let held = layers[0].iter().map(|row| {
        let tail: Vec<u64> = layers.last().unwrap().iter().map(off_centre).collect();
        let (mut costs, _) = plain(&layers[from..], tail);
        for (cost, other) in costs.iter_mut().zip(&layers[from]) {
            *cost += moved(other, row);
        }
        let (second, _) = plain(&layers[1..=from], costs);
        let first = layers[1]
            .iter()
            .zip(&second)
            .map(|(other, cost)| cost + moved(row, other));
        first.min().unwrap() + off_centre(row)
    });
    held.min().unwrap()
}

/// The general search, in the kindest form: compact nodes, compact costs, nothing collected.
fn by_dijkstra(layers: &Layers, off_centres: &[Vec<u64>]) -> u64 {
    let successors = |&node: &u32| {
        let (layer, index) = ((node >> 16) as usize, (node & 0xFFFF) as usize);
        let from = layer.checked_sub(1).map(|before| layers[before][index]);
        let next = layers.get(layer).map_or(&[][..], Vec::as_slice).iter();
        let next = next.zip(off_centres.get(layer).map_or(&[][..], Vec::as_slice));
        next.enumerate().map(move |(to, (row, off))| {
            let step = from.map_or(0, |from| moved(&from, row));
            (((layer + 1) as u32) << 16 | to as u32, step + off)
        })
    };
    let end = |node: &u32| (node >> 16) as usize == layers.len();
    dijkstra(&0, successors, end).unwrap().1
}

fn exact_plan() {
    let mut dice = Dice(7);
    let random: Vec<Layers> = (0..15).map(|_| dice.layers(64, 128)).collect();
    let equal: Vec<Layers> = (0..3).map(|_| all_equal(64, 128)).collect();
    for (name, charts, runs) in [("random rows", random, 40), ("everything ties", equal, 10)] {
        let models: Vec<Model> = charts
            .iter()
            .map(|layers| model(layers, straight(64)))
            .collect();
        let with_centres = charts.iter().map(|layers| {
            let off = |layer: &Vec<Four>| layer.iter().map(off_centre).collect();
            (layers, layers.iter().map(off).collect::<Vec<Vec<u64>>>())
        });
        let with_centres: Vec<_> = with_centres.collect();
        for (model, (layers, off)) in models.iter().zip(&with_centres) {
            let cost = key_of(solved(model));
            assert_eq!((cost, cost), (by_plain(layers).0, by_dijkstra(layers, off)));
        }
        let general = least(&with_centres, runs, |(layers, off)| {
            by_dijkstra(layers, off)
        });
        let simple = least(&charts, 2 * runs, by_plain);
        let ours = least(&models, 20 * runs, solved);
        let laid = least(&charts, 4 * runs, |layers| model(layers, straight(64)));
        println!(
            "64 slots of 128, {name}: Dijkstra {general:.1?}, plain DP {simple:.1?}, engine {ours:.1?}; {:.1} and {:.1} times as fast (to lay out the model: {laid:.1?})",
            ratio(general, ours),
            ratio(simple, ours)
        );
    }
}

fn small_layers() {
    for size in [2, 3, 5, 8, 12, 20] {
        let mut dice = Dice(11);
        let charts: Vec<Layers> = (0..40).map(|_| dice.layers(128, size)).collect();
        let models: Vec<Model> = charts
            .iter()
            .map(|layers| model(layers, straight(128)))
            .collect();
        let backwards = |layers| model(layers, straight(128).rev());
        let others: Vec<Model> = charts.iter().map(backwards).collect();
        for (layers, model) in charts.iter().zip(&models) {
            assert_eq!(by_plain(layers).0, key_of(solved(model)));
        }
        let simple = least(&charts, 400, by_plain);
        let ours = least(&models, 400, solved);
        let general = least(&others, 400, solved);
        println!(
            "128 slots of {size:2}: plain DP {simple:.1?}, engine {ours:.1?}, {:.2} times as fast; the same as a general model {general:.1?}, {:.2} times the time",
            ratio(simple, ours),
            ratio(general, ours)
        );
    }
}

fn loops_and_repeats() {
    for size in [2, 5, 8, 12, 20] {
        for (name, from) in [("a loop", 127), ("a repeat of the first half", 63)] {
            let mut dice = Dice(13);
            let charts: Vec<Layers> = (0..10).map(|_| dice.layers(128, size)).collect();
            let edges = || straight(128).chain([(from, 0)]);
            let models: Vec<Model> = charts.iter().map(|layers| model(layers, edges())).collect();
            for (layers, model) in charts.iter().zip(&models) {
                assert_eq!(by_conditioning(layers, from), key_of(solved(model)));
            }
            let simple = least(&charts, 60, |layers| by_conditioning(layers, from));
            let ours = least(&models, 200, solved);
            let prices = least(&models, 60, |model| model.min_marginals(Budget::default()));
            println!(
                "{name}, 128 slots of {size:2}: conditioning by the plain DP {simple:.1?}, engine {ours:.1?}, {:.1} times as fast; prices {prices:.1?}",
                ratio(simple, ours)
            );
        }
    }
}

/// Charts of one length that together have 100,000 slots, solved one after the other.
fn growth() {
    const SLOTS: usize = 100_000;
    for count in [100, 1_000, 10_000, SLOTS] {
        let mut dice = Dice(8);
        let charts: Vec<Layers> = (0..SLOTS / count).map(|_| dice.layers(count, 8)).collect();
        let models: Vec<Model> = charts
            .iter()
            .map(|layers| model(layers, straight(count)))
            .collect();
        let each = |work: &mut dyn FnMut(usize)| {
            let all = least(&[()], 5, |()| (0..charts.len()).for_each(&mut *work));
            all.as_nanos() as f64 / SLOTS as f64
        };
        let simple = each(&mut |at| {
            black_box(by_plain(&charts[at]));
        });
        let ours = each(&mut |at| {
            black_box(solved(&models[at]));
        });
        println!(
            "{count:6} slots of 8, for each slot: plain DP {simple:.0} ns, engine {ours:.0} ns"
        );
    }
}

fn main() {
    let wanted: Vec<String> = std::env::args()
        .skip(1)
        .filter(|arg| !arg.starts_with('-'))
        .collect();
    // The engine's own step is the yardsticks' too.
    assert_eq!(step(&[48, 52, 55, 60], &[47, 52, 57, 60]).motion, 3);
    let rows: [(&str, fn()); 4] = [
        ("exact", exact_plan),
        ("small", small_layers),
        ("loops", loops_and_repeats),
        ("growth", growth),
    ];
    for (name, run) in rows {
        if wanted.is_empty() || wanted.iter().any(|part| name.contains(part)) {
            run();
        }
    }
}
