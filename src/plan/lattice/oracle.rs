//! The oracle of the tests: small random lattices, and every choice tried one
//! by one. It shares no code with the solver beyond [`step`] and the order of
//! [`Cost`].

use super::{CHANNELS, Joint, Labels, Passage, Point, State};
use crate::plan::exhaustive::Dice;
use crate::plan::{Cost, StepRule, step};

pub(super) const CENTRE: i32 = 9;

/// Some points and passages, made by chance.
#[derive(Debug)]
pub(super) struct Case {
    pub(super) points: Vec<Point>,
    pub(super) passages: Vec<Passage>,
}

impl Case {
    pub(super) fn random(dice: &mut Dice, count: usize) -> Case {
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

    /// What a choice costs; `None` if it breaks a rule or its labels don't fit.
    pub(super) fn cost_of(&self, choice: &[usize]) -> Option<Cost> {
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

    pub(super) fn weight_of(&self, choice: &[usize]) -> usize {
        let states = self.points.iter().zip(choice);
        states
            .map(|(point, &state)| point.states[state].weight as usize)
            .sum()
    }

    /// The first of the cheapest choices of every weight.
    pub(super) fn exhaustive(&self, most: usize) -> Vec<Option<(Cost, Vec<usize>)>> {
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

fn random_joint(dice: &mut Dice, labels: usize) -> Joint {
    Joint {
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
