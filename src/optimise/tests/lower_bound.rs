//! How good plans and bounds are where the budget is too small for a proof.
//!
//! The models are small enough that a large budget solves them exactly, so what is missing can be told. The
//! figures are on record: a change that makes the search find less, or claim less, shows.

use super::oracle::{Case, Dice, RandomCase};
use crate::optimise::elimination_order::budget::Budget;
use crate::optimise::factor_graph::edge::Edge;

/// Pages of this many variables with a few jumps from anywhere to anywhere.
const VARIABLES: usize = 48;

fn page(dice: &mut Dice, jumps: usize, kind: RandomCase) -> Case {
    let values = |dice: &mut Dice| {
        let count = 2 + dice.roll(3);
        kind.values(dice, count)
    };
    let mut case = Case {
        values: (0..VARIABLES).map(|_| values(dice)).collect(),
        visits: (0..VARIABLES).map(|_| 1 + dice.roll(3) as u64).collect(),
        edges: (1..VARIABLES).map(|to| Edge::new(to - 1, to)).collect(),
    };
    for _ in 0..jumps {
        let (from, to) = (dice.roll(VARIABLES), dice.roll(VARIABLES));
        case.edges.push(Edge {
            count: 1 + dice.roll(4) as u64,
            ..Edge::new(from, to)
        });
    }
    case
}

/// What eight pages lack in all: how far their plans lie above the least effort, how far their bounds below it,
/// and how many plans are proved.
fn lacks(work: u64) -> (u64, u64, usize) {
    let mut dice = Dice::new(71);
    let (mut above, mut below, mut proved) = (0, 0, 0);
    for round in 0..8 {
        let case = page(&mut dice, 8 + round % 5, RandomCase::PLAIN);
        let model = case.model();
        let least = model.solve(Budget::default()).unwrap();
        assert!(least.optimal);
        let small = Budget {
            work,
            ..Budget::default()
        };
        let plan = model.solve(small).unwrap();
        assert!(plan.lower_bound <= least.cost && least.cost <= plan.cost);
        assert_eq!(case.cost(&plan.choice), Some(plan.cost));
        above += plan.cost.effort - least.cost.effort;
        below += least.cost.effort - plan.lower_bound.effort;
        proved += usize::from(plan.optimal);
    }
    (above, below, proved)
}

#[test]
fn plans_without_proof_lack_what_is_on_record() {
    let found = [0, 1000].map(lacks);
    assert_eq!(found, [(5, 211, 0), (0, 61, 0)]);
}

/// The same for the best plans of each weight up to 4: the efforts above and below, and how many are found.
fn lacks_by_weight(work: u64) -> (u64, u64, usize) {
    let mut dice = Dice::new(72);
    let (mut above, mut below, mut known) = (0, 0, 0);
    for round in 0..4 {
        let kind = RandomCase {
            weight: 1,
            bounded: round % 2 == 0,
            ..RandomCase::PLAIN
        };
        let model = page(&mut dice, 4, kind).model();
        let exact = model.best_by_weight(4, Budget::default()).unwrap();
        assert!(exact.proved());
        let small = Budget {
            work,
            ..Budget::default()
        };
        let Ok(found) = model.best_by_weight(4, small) else {
            continue;
        };
        for (plan, least) in found.plans().iter().zip(exact.plans()) {
            if let (Some(plan), Some(least)) = (plan, least) {
                assert!(plan.lower_bound <= least.cost && least.cost <= plan.cost);
                above += plan.cost.effort - least.cost.effort;
                below += least.cost.effort - plan.lower_bound.effort;
                known += 1;
            }
        }
    }
    (above, below, known)
}

#[test]
fn plans_by_weight_without_proof_lack_what_is_on_record() {
    let found = [3000, 6000].map(lacks_by_weight);
    assert_eq!(found, [(0, 129, 14), (0, 63, 14)]);
}
