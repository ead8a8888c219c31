//! How much is worked out for some models. A fault that makes the engine fill more tables than it has to, or leave its
//! quick ways, costs nothing but time: no answer tells. The numbers are those of today, none of them has to stay;
//! what changes them is looked at.

use std::fmt::Write;

use super::oracle::{Case, Dice, RandomCase, straight, value};
use crate::optimise::elimination::work::Work;
use crate::optimise::elimination_order::budget::Budget;
use crate::optimise::factor_graph::edge::Edge;
use crate::optimise::factor_graph::model::Model;
use crate::optimise::factor_graph::row::Row;
use crate::optimise::factor_graph::value::Value;

/// Models of each kind.
const EACH: u64 = 4;

/// Models with small layers of every form.
fn small() -> impl Iterator<Item = (String, Model)> {
    let weighed = RandomCase {
        weight: 3,
        ..RandomCase::PLAIN
    };
    let ruled = RandomCase {
        ruled: true,
        bounded: true,
        ..weighed
    };
    let kinds = [
        ("plain", RandomCase::PLAIN),
        ("weighed", weighed),
        ("ruled", ruled),
    ];
    kinds.into_iter().flat_map(|(name, kind)| {
        (1..=EACH).map(move |seed| {
            let mut dice = Dice::new(seed);
            let case = Case::random(&mut dice, kind, 3 + 2 * seed as usize);
            (format!("{name} {seed}"), case.model())
        })
    })
}

/// Straight pages and loops with large layers: all rows of one length, of two lengths, spread too far for bytes.
fn large() -> impl Iterator<Item = (String, Model)> {
    let kinds = [
        (4, 4, 30),
        (3, 4, 30),
        (2, 2, 400),
        (1, 1, 20),
        (6, 6, 24),
        (5, 5, 20),
    ];
    let looped = [false, true].into_iter();
    looped.flat_map(move |looped| {
        kinds.into_iter().map(move |(shortest, longest, range)| {
            let mut dice = Dice::new(7);
            let mut drawn = |at: usize| {
                let length = if at.is_multiple_of(3) {
                    shortest
                } else {
                    longest
                };
                let entries = (0..length)
                    .map(|place| (place * range / length + dice.roll(range / length)) as i16);
                let row = Row::new(entries.collect::<Vec<_>>()).unwrap();
                Value {
                    effort: dice.roll(5) as u32,
                    row,
                    ..value(&[0])
                }
            };
            let layer = |variable: usize| if variable == 4 { 6 } else { 24 };
            let mut model =
                straight((0..7).map(|variable| (0..layer(variable)).map(&mut drawn).collect()));
            if looped {
                model.edge(Edge::new(6, 0));
            }
            (
                format!("{shortest} to {longest} within {range}, looped {looped}"),
                model,
            )
        })
    })
}

/// What each question costs.
fn asked(model: &Model, out: &mut String) {
    let budget = Budget::default();
    let narrow = Budget {
        work: 600,
        cells: 200,
    };
    let questions: [(&str, &dyn Fn()); 7] = [
        ("best", &|| drop(model.solve(budget))),
        ("best few", &|| drop(model.k_best(5, budget))),
        ("prices", &|| drop(model.min_marginals(budget))),
        ("efforts", &|| drop(model.least_efforts(budget))),
        ("by weight", &|| drop(model.best_by_weight(4, budget))),
        ("lightest", &|| drop(model.lightest_within(30, budget))),
        ("bound", &|| drop(model.solve(narrow))),
    ];
    for (name, question) in questions {
        let (work, ()) = Work::of(question);
        writeln!(out, "  {name}: {work}").unwrap();
    }
}

#[test]
fn no_more_is_worked_out_than_was() {
    let mut table = String::new();
    for (name, model) in small().chain(large()) {
        writeln!(table, "{name}").unwrap();
        asked(&model, &mut table);
    }
    insta::assert_snapshot!("work", table);
}
