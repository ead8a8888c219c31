//! The lanes against a plain loop, at the edges: rows in the corners, excesses around the longest step.

use super::columns::Columns;
use super::cost::NEVER;
use super::kernel::{Lanes, Room};
use super::oracle::Dice;
use super::product::{self, product};
use super::step;

/// Rows whose columns lie apart; half of the entries lie at an end of their column.
fn rows(dice: &mut Dice, count: usize, length: usize, width: i16) -> Vec<Vec<i16>> {
    let entry = |dice: &mut Dice, kind: usize| match (kind, dice.roll(4)) {
        (0, _) | (2, 0) => 0,
        (1, _) | (2, 1) => width,
        _ => dice.roll(width as usize + 1) as i16,
    };
    let apart = 256 / length as i16;
    let rows = (0..count).map(|_| {
        let kind = dice.roll(3);
        let entries = (0..length as i16).map(|at| at * apart + entry(dice, kind));
        entries.collect()
    });
    rows.collect()
}

/// Sums around all that is special: the least, the longest step above it, far above, and impossible.
fn sums(dice: &mut Dice, count: usize, longest: u64) -> Vec<u64> {
    let base = dice.roll(1000) as u64;
    let mut sums: Vec<u64> = (0..count)
        .map(|_| {
            let some = dice.roll(3) as u64;
            base + match dice.roll(6) {
                0 => longest + some,
                1 => longest.saturating_sub(some),
                2 => NEVER / 4,
                3 => dice.roll(2 * longest as usize + 2) as u64,
                4 => NEVER - base,
                _ => longest / 2 + some,
            }
        })
        .collect();
    sums[dice.roll(count)] = base;
    sums
}

fn motion(a: &[i16], b: &[i16]) -> u64 {
    step(a, b).motion.into()
}

#[test]
fn lanes_and_products_equal_a_plain_loop_at_the_edges() {
    let mut dice = Dice::new(5);
    let (mut fit, mut wide) = (0, 0);
    for _ in 0..4000 {
        let length = 1 + dice.roll(6);
        let width = (1 + dice.roll(140 / length)) as i16;
        let (near, far) = (8 + dice.roll(40), 8 + dice.roll(160));
        let (from, to) = (
            rows(&mut dice, near, length, width),
            rows(&mut dice, far, length, width),
        );
        let longest = length as u64 * width as u64;
        let sums = sums(&mut dice, near, longest);
        let least = |target: &[i16], count: u64| {
            let all = from.iter().zip(&sums);
            let ways = all.map(|(row, &sum)| (sum + count * motion(row, target)).min(NEVER));
            ways.min().unwrap()
        };
        let expected: Vec<u64> = to.iter().map(|target| least(target, 1)).collect();
        let columns = |rows: &[Vec<i16>]| Columns::of(&rows.concat(), length).unwrap();
        let (sources, targets) = (columns(&from), columns(&to));
        let mut out = vec![0; far];
        if let Some(lanes) = Lanes::between(&sources, &targets) {
            fit += 1;
            wide += usize::from(3 * longest > 254);
            let mut room = Room::default();
            lanes.least(&sums, &mut out, &mut room);
            assert_eq!(out, expected);
            lanes.ready(&sums, &mut room);
            for (target, &sum) in to.iter().zip(&expected) {
                let mut found = vec![false; near];
                lanes.tied(target, sum, &room, &mut found);
                let tied = |at: usize| sums[at] + motion(&from[at], target) == sum;
                assert_eq!(found, (0..near).map(tied).collect::<Vec<_>>());
            }
        }
        let count = 1 + dice.roll(3) as u64;
        let expected: Vec<u64> = to.iter().map(|target| least(target, count)).collect();
        let steps = from
            .iter()
            .flat_map(|row| to.iter().map(move |target| count * motion(row, target)));
        assert!(product(
            steps,
            near,
            far,
            &sums,
            &mut out,
            &mut product::Room::default()
        ));
        assert_eq!(out, expected);
    }
    assert!(fit > 2000 && wide > 300, "{fit} {wide}");
}

#[test]
fn nothing_possible_stays_so_and_long_steps_are_refused() {
    let rows: Vec<i16> = (0..10).collect();
    let columns = Columns::of(&rows, 1).unwrap();
    let lanes = Lanes::between(&columns, &columns).unwrap();
    let mut out = vec![0; 10];
    lanes.least(&[NEVER; 10], &mut out, &mut Room::default());
    assert_eq!(out, [NEVER; 10]);
    let wide: Vec<i16> = (0..10).map(|at| at * 15).collect();
    let wide = Columns::of(&wide, 1).unwrap();
    assert!(Lanes::between(&columns, &wide).is_none());
    let steps = [20_000].into_iter();
    assert!(!product(
        steps,
        1,
        1,
        &[0],
        &mut [0],
        &mut product::Room::default()
    ));
}
