//! How fast the planner is, measured against a general shortest-path search on
//! the same layers in the same run, and how its time grows with the length.
//!
//! Run with `cargo bench --bench plan`. Times are medians; ratios are what
//! can be compared between machines.
//!
//! # What is compared
//!
//! Both sides get the same layers and must find the same least cost, which is
//! asserted. Both times are for everything from the layers to the answer,
//! so the planner's includes that it lays the layers out for itself.
//!
//! - *dijkstra*: `pathfinding::prelude::dijkstra` over the nodes (layer, index),
//!   plain pairs, with the edges computed when a node is expanded, by the
//!   library's own `step` on the same rows, and handed over without being
//!   collected first. A cost is one 128-bit integer, as it is in the planner.
//! - *chain*: [`Chain::solve`]. It takes more from the task than a general search
//!   can: that all ways lead through the layers in their order, and that
//!   motion is the first field of the cost.
//! - *nearest*: the plan without foresight, which is not the least; it shows
//!   what it costs to read all rows once.
//!
//! On a busy machine a run of several milliseconds is interrupted, and one of
//! less than one rarely is: the ratio of the medians then flatters the faster side. The
//! ratio of the least times doesn't.
//!
//! A processor learns the branches of a short run by heart when the same
//! layers are solved again and again. So each measurement goes round
//! several different charts, and in the sweep every length has the
//! same number of slots in all: only then can the times of a slot be compared.

#![allow(clippy::unwrap_used, clippy::print_stdout, missing_docs)]

use compline::plan::{Budget, Chain, Cost, Graph, Layer, Row, nearest, step};
use pathfinding::prelude::dijkstra;
use std::hint::black_box;
use std::time::{Duration, Instant};

const CENTRE: i32 = 48 + 69;

struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 20) % sides
    }

    /// Four different entries between 48 and 72.
    fn row(&mut self) -> Row {
        loop {
            let mut entries: Vec<i16> = (0..4).map(|_| 48 + self.roll(25) as i16).collect();
            entries.sort_unstable();
            if let Some(row) = Row::new(entries) {
                return row;
            }
        }
    }

    fn layers(&mut self, count: usize, size: usize) -> Vec<Layer> {
        (0..count)
            .map(|_| (0..size).map(|_| self.row()).collect())
            .collect()
    }
}

/// The least and the median time of one run; the runs go round the charts.
fn least_and_median<C, T>(
    charts: &[C],
    runs: usize,
    mut work: impl FnMut(&C) -> T,
) -> (Duration, Duration) {
    let mut times: Vec<Duration> = (0..runs)
        .map(|run| {
            let chart = &charts[run % charts.len()];
            let start = Instant::now();
            black_box(work(chart));
            start.elapsed()
        })
        .collect();
    times.sort_unstable();
    (times[0], times[runs / 2])
}

/// The median time of one run; the runs go round the charts.
fn median<C, T>(charts: &[C], runs: usize, work: impl FnMut(&C) -> T) -> Duration {
    least_and_median(charts, runs, work).1
}

/// The planner's cost as one number, the way its own keys are packed.
fn packed(cost: Cost) -> u128 {
    u128::from(cost.motion) << 80 | u128::from(cost.largest) << 40 | u128::from(cost.off_centre)
}

/// Dijkstra over the nodes (layer, candidate), between a start before the
/// first layer and an end behind the last.
fn by_dijkstra(layers: &[Layer]) -> u128 {
    let successors = |&(layer, index): &(usize, usize)| {
        let from = layer.checked_sub(1).map(|slot| &layers[slot].rows()[index]);
        let next = layers.get(layer).map_or(&[][..], Layer::rows);
        next.iter().enumerate().map(move |(to, row)| {
            let moved = from.map_or(Default::default(), |from| {
                step(from.entries(), row.entries())
            });
            let cost = Cost {
                motion: moved.motion.into(),
                largest: moved.largest.into(),
                off_centre: row.off_centre(CENTRE),
            };
            ((layer + 1, to), packed(cost))
        })
    };
    let found = dijkstra(&(0, 0), successors, |node| node.0 == layers.len());
    found.unwrap().1
}

fn against_dijkstra(size: usize) {
    let mut dice = Dice(7);
    let charts: Vec<Vec<Layer>> = (0..15).map(|_| dice.layers(64, size)).collect();
    for layers in &charts {
        let plan = Chain::new(layers, CENTRE).solve().unwrap();
        assert_eq!(packed(plan.cost), by_dijkstra(layers), "the same cost");
    }
    let general = least_and_median(&charts, 60, |layers| by_dijkstra(layers));
    let ours = least_and_median(&charts, 600, |layers| Chain::new(layers, CENTRE).solve());
    let prices = median(&charts, 60, |layers| Chain::new(layers, CENTRE).prices());
    let greedy = median(&charts, 300, |layers| nearest(layers, CENTRE));
    let ratio = |general: Duration, ours: Duration| general.as_secs_f64() / ours.as_secs_f64();
    println!(
        "64 slots of {size:3}: dijkstra {:.2?}, chain {:.2?}, ratio {:.1}; least times {:.2?} and {:.2?}, ratio {:.1}; prices {prices:.2?}, nearest {greedy:.2?}",
        general.1,
        ours.1,
        ratio(general.1, ours.1),
        general.0,
        ours.0,
        ratio(general.0, ours.0),
    );
}

/// Charts of one length that together have 100,000 slots, solved one after the
/// other.
fn sweep() {
    const SLOTS: usize = 100_000;
    for count in [100, 1_000, 10_000, SLOTS] {
        let mut dice = Dice(8);
        let charts: Vec<Vec<Layer>> = (0..SLOTS / count).map(|_| dice.layers(count, 8)).collect();
        let played: Vec<usize> = (0..count).collect();
        let each = |work: &mut dyn FnMut(&[Layer])| {
            let all = median(&[()], 5, |()| charts.iter().for_each(|layers| work(layers)));
            all.as_nanos() / SLOTS as u128
        };
        let chain = each(&mut |layers| {
            black_box(Chain::new(layers, CENTRE).solve().unwrap());
        });
        let graph = each(&mut |layers| {
            let graph = Graph::from_walk(layers, CENTRE, &played, false);
            black_box(graph.solve(Budget::default()).unwrap());
        });
        let greedy = each(&mut |layers| {
            black_box(nearest(layers, CENTRE).unwrap());
        });
        println!(
            "{count:6} slots of 8, for each slot: chain {chain:5} ns, graph {graph:5} ns, nearest {greedy:4} ns"
        );
    }
}

/// A chart of 32 slots in four sections, played A A B A with endings.
fn chart() {
    for size in [4, 8] {
        let mut dice = Dice(9);
        let charts: Vec<Vec<Layer>> = (0..20).map(|_| dice.layers(128, size)).collect();
        let chain = median(&charts, 600, |layers| Chain::new(layers, CENTRE).solve());
        let looped = median(&charts, 100, |layers| {
            Chain::new(layers, CENTRE).looped(true).solve()
        });
        let section = |from: usize, to: usize| from..to;
        let played: Vec<usize> = [
            section(0, 32),
            section(0, 28),
            section(32, 64),
            section(64, 96),
            section(0, 32),
            section(96, 128),
        ]
        .into_iter()
        .flatten()
        .collect();
        let graphs: Vec<Graph<'_>> = charts
            .iter()
            .map(|layers| Graph::from_walk(layers, CENTRE, &played, true))
            .collect();
        let solved = graphs[0].solve(Budget::default()).unwrap();
        assert!(solved.optimal);
        let as_written = median(&graphs, 100, |graph| graph.solve(Budget::default()));
        let prices = median(&graphs, 60, |graph| graph.prices(Budget::default()));
        let best = median(&graphs, 60, |graph| graph.best(10, Budget::default()));
        println!(
            "128 slots of {size}: chain {chain:.1?}, looped {looped:.1?}, as written (width {}) {as_written:.1?}, its prices {prices:.1?}, its ten best {best:.1?}",
            solved.width
        );
    }
}

fn main() {
    against_dijkstra(128);
    against_dijkstra(8);
    chart();
    sweep();
}
