//! How fast the planner is, measured against a general shortest-path search on
//! the same layers in the same run, and how its time grows with the length.
//!
//! Run with `cargo bench --bench plan`. Times are medians; ratios are what
//! can be compared between machines.

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

/// The median of several runs.
fn median<T>(runs: usize, mut work: impl FnMut() -> T) -> Duration {
    let mut times: Vec<Duration> = (0..runs)
        .map(|_| {
            let start = Instant::now();
            black_box(work());
            start.elapsed()
        })
        .collect();
    times.sort_unstable();
    times[runs / 2]
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
        let onward = next.iter().enumerate().map(move |(to, row)| {
            let moved = from.map_or(Default::default(), |from| {
                step(from.entries(), row.entries())
            });
            let cost = Cost {
                motion: moved.motion.into(),
                largest: moved.largest.into(),
                off_centre: row.off_centre(CENTRE),
            };
            ((layer + 1, to), packed(cost))
        });
        onward.collect::<Vec<_>>()
    };
    let found = dijkstra(&(0, 0), successors, |node| node.0 == layers.len());
    found.unwrap().1
}

fn against_dijkstra(size: usize) {
    let layers = Dice(7).layers(64, size);
    let chain = Chain::new(&layers, CENTRE);
    assert_eq!(
        packed(chain.solve().unwrap().cost),
        by_dijkstra(&layers),
        "the same cost"
    );
    let general = median(7, || by_dijkstra(&layers));
    let ours = median(101, || chain.solve());
    let prices = median(51, || chain.prices());
    let greedy = median(101, || nearest(&layers, CENTRE));
    println!(
        "64 slots of {size:3}: dijkstra {general:9.2?}, chain {ours:9.2?}, ratio {:6.1}; prices {prices:9.2?}, nearest {greedy:9.2?}",
        general.as_secs_f64() / ours.as_secs_f64()
    );
}

fn sweep() {
    for count in [1_000, 10_000, 100_000] {
        let layers = Dice(8).layers(count, 8);
        let played: Vec<usize> = (0..count).collect();
        let runs = 300_000 / count;
        let chain = median(runs, || Chain::new(&layers, CENTRE).solve());
        let graph = median(runs, || {
            Graph::from_walk(&layers, CENTRE, &played, false).solve(Budget::default())
        });
        let greedy = median(runs, || nearest(&layers, CENTRE));
        let each = |time: Duration| time.as_nanos() / count as u128;
        println!(
            "{count:6} slots of 8: chain {chain:9.2?} ({} ns a slot), graph {graph:9.2?} ({} ns a slot), nearest {greedy:9.2?}",
            each(chain),
            each(graph)
        );
    }
}

/// A chart of 32 slots in four sections, played A A B A with endings.
fn chart() {
    for size in [4, 8] {
        let layers = Dice(9).layers(128, size);
        let chain = median(501, || Chain::new(&layers, CENTRE).solve());
        let looped = median(101, || Chain::new(&layers, CENTRE).looped(true).solve());
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
        let graph = Graph::from_walk(&layers, CENTRE, &played, true);
        let solved = graph.solve(Budget::default()).unwrap();
        assert!(solved.optimal);
        let as_written = median(101, || graph.solve(Budget::default()));
        let prices = median(51, || graph.prices(Budget::default()));
        let best = median(51, || graph.best(10, Budget::default()));
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
