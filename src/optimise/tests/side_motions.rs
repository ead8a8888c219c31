//! Motions that are measured side by side against the definition of a step.

use super::oracle::Dice;
use crate::optimise::factor_graph::sides::{LONGEST, SIDE, lay_out};
use crate::optimise::minimum::side_motions::motions;
use crate::optimise::step;

/// A row of up to [`LONGEST`] entries, strictly rising.
fn row(dice: &mut Dice, length: usize) -> Vec<i16> {
    let mut last = 40 + dice.roll(20) as i16;
    let entries = (0..length).map(|_| {
        last += 1 + dice.roll(9) as i16;
        last
    });
    entries.collect()
}

#[test]
fn motions_are_those_of_steps_whatever_the_lengths() {
    let mut dice = Dice::new(11);
    for (mine, length) in (1..=LONGEST).flat_map(|a| (1..=LONGEST).map(move |b| (a, b))) {
        for count in [1, SIDE, SIDE + 3] {
            let from = row(&mut dice, mine);
            let to: Vec<Vec<i16>> = (0..count).map(|_| row(&mut dice, length)).collect();
            let (mut sides, mut found) = (Vec::new(), Vec::new());
            lay_out(to.iter().map(Vec::as_slice), length, &mut sides);
            motions(length, &from, &sides, &mut found);
            let expected = to.iter().map(|to| step(&from, to).motion as i16);
            assert_eq!(found[..count], expected.collect::<Vec<_>>(), "{from:?}");
        }
    }
}
