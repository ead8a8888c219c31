//! Lattices against exhaustive search, which shares no code with the solver
//! beyond [`step`] and the order of [`Cost`].

use super::{CHANNELS, Labels, Ladder, Lattice, Passage, Point, State};
use crate::plan::exhaustive::Dice;
use crate::plan::{Budget, Cost, Graph, GraphStep, Layer, Row, StepRule, Unsolvable, step};

const CENTRE: i32 = 9;

/// Some points and passages, made by chance.
#[derive(Debug)]
struct Case {
    points: Vec<Point>,
    passages: Vec<Passage>,
}

impl Case {
    fn random(dice: &mut Dice, count: usize) -> Case {
        let longest = 1 + dice.roll(3);
        // Few different rows make many equal plans.
        let range = [3, 8][dice.roll(2)];
        let labels = 1 + dice.roll(3);
        let heaviest = 1 + dice.roll(3);
        let points = (0..count).map(|_| {
            let most = if dice.roll(5) == 0 { 1 } else { 3 };
            let mut state = || State {
                row: dice.row(longest, range),
                fresh: dice.roll(3) > 0,
                weight: dice.roll(heaviest) as u32,
                joints: [random_joint(dice, labels), random_joint(dice, labels)],
            };
            let states = (0..most).map(|_| state()).collect();
            Point {
                states,
                visits: dice.roll(3) as u64,
            }
        });
        let points = points.collect();
        Case {
            points,
            passages: random_passages(dice, count),
        }
    }

    fn solve(&self, most: usize) -> Ladder {
        let lattice = Lattice::new(&self.points, CENTRE, self.passages.clone());
        lattice.solve(most, Budget::default()).unwrap()
    }

    /// What a choice costs; `None` if it breaks a rule or its labels don't fit.
    fn cost_of(&self, choice: &[usize]) -> Option<Cost> {
        let state = |point: usize| &self.points[point].states[choice[point]];
        let mut cost = Cost::default();
        for (index, point) in self.points.iter().enumerate() {
            let entries = state(index).row.entries();
            let ends = i32::from(entries[0]) + i32::from(entries[entries.len() - 1]);
            if state(index).fresh {
                cost.off_centre += u64::from((ends - CENTRE).unsigned_abs()) * point.visits;
            }
        }
        for passage in &self.passages {
            let (a, b) = (state(passage.from), state(passage.to));
            let meet = |channel: usize| {
                let (out, into) = (&a.joints[channel].out, &b.joints[channel].into);
                !passage.checks[channel] || (0..9).any(|l| holds(out, l) && holds(into, l))
            };
            let (x, y) = (a.row.entries(), b.row.entries());
            let taken = step(x, y);
            let top = x[x.len() - 1].abs_diff(y[y.len() - 1]);
            let PassageLimits(entry, highest) = limits(passage);
            if !(0..CHANNELS).all(meet) || taken.largest > entry || u32::from(top) > highest {
                return None;
            }
            cost.motion += u64::from(taken.motion) * passage.times;
            cost.largest += u64::from(taken.largest) * passage.times;
        }
        Some(cost)
    }

    fn weight_of(&self, choice: &[usize]) -> usize {
        let states = self.points.iter().zip(choice);
        states
            .map(|(point, &state)| point.states[state].weight as usize)
            .sum()
    }

    /// The first of the cheapest choices of every weight.
    fn exhaustive(&self, most: usize) -> Vec<Option<(Cost, Vec<usize>)>> {
        let mut best = vec![None; most + 1];
        let mut choice = vec![0; self.points.len()];
        loop {
            if let (Some(cost), Some(best)) =
                (self.cost_of(&choice), best.get_mut(self.weight_of(&choice)))
            {
                let found = (cost, choice.clone());
                if best.as_ref().is_none_or(|known| found < *known) {
                    *best = Some(found);
                }
            }
            let more = |&point: &usize| choice[point] + 1 < self.points[point].states.len();
            let Some(point) = (0..choice.len()).rev().find(more) else {
                return best;
            };
            choice[point] += 1;
            choice[point + 1..].fill(0);
        }
    }
}

struct PassageLimits(u32, u32);

fn limits(passage: &Passage) -> PassageLimits {
    let limit = |max: Option<u16>| max.map_or(u32::MAX, u32::from);
    PassageLimits(
        limit(passage.rule.max_entry_step),
        limit(passage.rule.max_top_step),
    )
}

fn holds(labels: &Labels, label: u32) -> bool {
    labels.listed().is_none_or(|listed| listed.contains(&label))
}

fn random_labels(dice: &mut Dice, labels: usize) -> Labels {
    match dice.roll(4) {
        0 => Labels::ANY,
        1 if dice.roll(4) == 0 => Labels::of([]),
        1 | 2 => Labels::of([dice.roll(labels) as u32]),
        _ => Labels::of([dice.roll(labels) as u32, dice.roll(labels) as u32]),
    }
}

fn random_joint(dice: &mut Dice, labels: usize) -> super::Joint {
    super::Joint {
        into: random_labels(dice, labels),
        out: random_labels(dice, labels),
    }
}

/// A straight page, a loop, a page with jumps, or anything at all.
fn random_passages(dice: &mut Dice, count: usize) -> Vec<Passage> {
    let (kind, ruled, checked) = (dice.roll(4), dice.roll(4) == 0, dice.roll(2) == 0);
    let mut ends: Vec<(usize, usize)> = (1..count).map(|to| (to - 1, to)).collect();
    match kind {
        0 => {}
        1 => ends.push((count - 1, 0)),
        2 => ends.extend((0..2).map(|_| (dice.roll(count), dice.roll(count)))),
        _ => {
            ends = (0..dice.roll(2 * count))
                .map(|_| (dice.roll(count), dice.roll(count)))
                .collect();
        }
    }
    let passage = |(from, to)| Passage {
        from,
        to,
        times: dice.roll(4) as u64,
        rule: if ruled { dice.rule(8) } else { StepRule::FREE },
        checks: [checked && dice.roll(2) == 0, checked && dice.roll(3) == 0],
    };
    ends.into_iter().map(passage).collect()
}

fn row(entries: &[i16]) -> Row {
    Row::new(entries.to_vec()).unwrap()
}

#[test]
fn every_rung_is_the_first_of_the_cheapest_choices() {
    let mut dice = Dice::new(41);
    let (mut found, mut none) = (0, 0);
    for round in 0..6000 {
        let count = 1 + dice.roll(6);
        let case = Case::random(&mut dice, count);
        let most = dice.roll(8);
        let ladder = case.solve(most);
        let expected = case.exhaustive(most);
        for (weight, expected) in expected.iter().enumerate() {
            let rung = ladder.exactly(weight);
            let got = rung.map(|rung| (rung.cost, rung.choice.clone()));
            assert_eq!(got, *expected, "round {round}, weight {weight}: {case:#?}");
            assert!(rung.is_none_or(|rung| rung.optimal && rung.lower_bound == rung.cost));
            assert!(rung.is_none_or(|rung| rung.weight == weight as u64));
            *(if got.is_some() { &mut found } else { &mut none }) += 1;
        }
    }
    // Both kinds of answer were really tried.
    assert!(found > 8000 && none > 3000, "{found} {none}");
}

#[test]
fn more_to_spend_is_never_dearer() {
    let mut dice = Dice::new(42);
    let mut cheaper = 0;
    for _ in 0..2000 {
        let count = 2 + dice.roll(5);
        let case = Case::random(&mut dice, count);
        let (ladder, expected) = (case.solve(7), case.exhaustive(7));
        let mut before: Option<Cost> = None;
        for weight in 0..=7 {
            let rungs = expected[..=weight].iter().enumerate();
            let rungs = rungs.filter_map(|(weight, rung)| Some((rung.as_ref()?.0, weight)));
            let best = ladder.at_most(weight);
            let got = best.map(|rung| (rung.cost, rung.weight as usize));
            assert_eq!(got, rungs.min());
            let cost = best.map(|rung| rung.cost);
            assert!(before.is_none_or(|before| cost.is_some_and(|cost| cost <= before)));
            cheaper += usize::from(before.is_some() && cost < before);
            before = cost;
        }
    }
    assert!(cheaper > 500, "{cheaper}");
}
