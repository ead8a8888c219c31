//! The lanes against a plain loop, at the edges: rows in the corners, excesses around the longest step.

use super::oracle::Dice;
use crate::optimise::factor_graph::columns::{Block, ByteColumns, LANES};
use crate::optimise::factor_graph::motion::step;
use crate::optimise::minimum::kernel::{LONGEST_STEP, Lanes};
use crate::optimise::minimum::key::NEVER;
use crate::optimise::minimum::product::{self, product};

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

/// Two sets of rows laid out side by side, if they fit bytes.
fn columns(
    from: &[Vec<i16>],
    to: &[Vec<i16>],
    length: usize,
) -> Option<(ByteColumns, ByteColumns)> {
    let mut origin = None;
    let mut lay_out = |rows: &[Vec<i16>]| {
        let efforts = rows.iter().map(|_| 0);
        ByteColumns::of(&rows.concat(), efforts, length, &mut origin)
    };
    lay_out(from).zip(lay_out(to))
}

/// The excesses over the least sum, in bytes.
fn excesses(sums: &[u64]) -> Vec<Block> {
    let least = sums.iter().min().unwrap();
    let excess = |sum: &u64| u8::try_from(sum - least).unwrap_or(u8::MAX);
    let mut bytes: Vec<u8> = sums.iter().map(excess).collect();
    bytes.resize(sums.len().next_multiple_of(LANES), u8::MAX);
    bytes.as_chunks().0.to_vec()
}

/// The least sum of every target, by a plain loop.
fn plainly(from: &[Vec<i16>], to: &[Vec<i16>], sums: &[u64], count: u64) -> Vec<u64> {
    let least = |target: &Vec<i16>| {
        let all = from.iter().zip(sums);
        let ways = all.map(|(row, &sum)| (sum + count * motion(row, target)).min(NEVER));
        ways.min().unwrap()
    };
    to.iter().map(least).collect()
}

/// Holds lanes against a plain loop: the least sums, and the sources that tie. Says whether bytes are
/// exact at all.
fn lanes_agree(from: &[Vec<i16>], to: &[Vec<i16>], sums: &[u64]) -> bool {
    let Some((sources, targets)) = columns(from, to, from[0].len()) else {
        return false;
    };
    let Some(lanes) = Lanes::between(&sources, &targets) else {
        return false;
    };
    let expected = plainly(from, to, sums, 1);
    let (least, excesses) = (sums.iter().min().unwrap(), excesses(sums));
    let mut out = vec![[0; LANES]; to.len().div_ceil(LANES)];
    lanes.least(&excesses, &mut out, &mut Vec::new());
    let out = &out.as_flattened()[..to.len()];
    let found: Vec<u64> = out.iter().map(|&sum| least + u64::from(sum)).collect();
    assert_eq!(found, expected);
    for (at, target) in to.iter().enumerate() {
        let mut found = vec![[0; LANES]; from.len().div_ceil(LANES)];
        lanes.tied(at, out[at], &excesses, &mut found);
        let tied = |source: usize| sums[source] + motion(&from[source], target) == expected[at];
        let found = found.as_flattened()[..from.len()].iter();
        let found: Vec<bool> = found.map(|&mark| mark > 0).collect();
        assert_eq!(found, (0..from.len()).map(tied).collect::<Vec<_>>());
    }
    true
}

#[test]
fn lanes_and_products_equal_a_plain_loop_at_the_edges() {
    let mut dice = Dice::new(5);
    let (mut fit, mut long) = (0, 0);
    for _ in 0..800 {
        let length = 1 + dice.roll(6);
        let width = (1 + dice.roll(140 / length)) as i16;
        let (near, far) = (8 + dice.roll(40), 8 + dice.roll(160));
        let (from, to) = (
            rows(&mut dice, near, length, width),
            rows(&mut dice, far, length, width),
        );
        let longest = length as u64 * width as u64;
        let sums = sums(&mut dice, near, longest);
        let fits = lanes_agree(&from, &to, &sums);
        fit += usize::from(fits);
        long += usize::from(fits && 3 * longest > 254);
        let count = 1 + dice.roll(3) as u64;
        let expected = plainly(&from, &to, &sums, count);
        assert_eq!(by_product(&from, &to, &sums, count), Some(expected));
    }
    assert!(fit > 400 && long > 50, "{fit} {long}");
}

/// The 16-bit path; nothing if a step is too long for it.
fn by_product(from: &[Vec<i16>], to: &[Vec<i16>], sums: &[u64], count: u64) -> Option<Vec<u64>> {
    let mut out = vec![0; to.len()];
    let steps = |near: usize, steps: &mut Vec<i16>| {
        let counted = to.iter().map(|row| count * motion(&from[near], row));
        steps.extend(counted.map(|step| i16::try_from(step).unwrap_or(i16::MAX)));
        true
    };
    let (near, far) = (from.len(), to.len());
    let mut room = product::ProductRoom::default();
    product(steps, near, far, sums, &mut out, &mut room).then_some(out)
}

/// The last step for which bytes are exact, and the first for which they are not; the last for which the
/// short form is, and the first after it.
#[test]
fn the_longest_steps_fit_and_longer_ones_are_refused() {
    let mut dice = Dice::new(6);
    for longest in [83, 84, 85, 86, 126, 127, 128, 129] {
        // All of it in one column, and shared by two.
        for widths in [vec![longest], vec![longest / 2, longest - longest / 2]] {
            let corners = |at: usize| -> Vec<i16> {
                let widths = widths.iter().zip(0..);
                let end = |(width, column): (&i16, i16)| column * 200 + width * (at & 1) as i16;
                widths.map(end).collect()
            };
            let rows: Vec<Vec<i16>> = (0..40).map(corners).collect();
            for _ in 0..20 {
                let sums = sums(&mut dice, 40, longest as u64);
                let fits = lanes_agree(&rows, &rows, &sums);
                assert_eq!(fits, longest as u32 <= LONGEST_STEP, "{longest}");
            }
        }
    }
}

/// An excess of D still ties where the step is nothing, one of D + 1 and more never does, and the largest
/// sum that is looked at is 255.
#[test]
fn an_excess_above_the_longest_step_never_wins() {
    let from: Vec<Vec<i16>> = [0, 127]
        .into_iter()
        .cycle()
        .take(8)
        .map(|entry| vec![entry])
        .collect();
    for excess in [126, 127, 128, 129, 254, 255, 256, 1 << 40, NEVER] {
        let mut sums = vec![excess; 8];
        sums[0] = 0;
        assert!(lanes_agree(&from, &from, &sums));
    }
}

/// One row more and one less than fill their lanes, on both sides.
#[test]
fn lanes_that_are_not_full_say_nothing() {
    let mut dice = Dice::new(7);
    for count in [8, 9, 31, 32, 33, 63, 64, 65, 127, 128, 129, 161] {
        for other in [8, 32, 33] {
            let (from, to) = (rows(&mut dice, count, 3, 20), rows(&mut dice, other, 3, 20));
            assert!(lanes_agree(&from, &to, &sums(&mut dice, count, 60)));
            assert!(lanes_agree(&to, &from, &sums(&mut dice, other, 60)));
        }
    }
}

/// Sources that are all equal tie all at once.
#[test]
fn everything_ties() {
    let rows: Vec<Vec<i16>> = vec![vec![3, 50]; 70];
    assert!(lanes_agree(&rows, &rows, &[9; 70]));
    assert!(lanes_agree(&rows, &rows, &[0; 70]));
}

/// Few rows, long rows, and rows far from each other are left to other ways.
#[test]
fn what_does_not_fit_bytes_is_not_laid_out() {
    let lay_out = |entries: &[i16], length: usize, origin: &mut Option<_>| {
        let efforts = vec![0; entries.len() / length].into_iter();
        ByteColumns::of(entries, efforts, length, origin)
    };
    let rows: Vec<i16> = (0..10).collect();
    assert!(lay_out(&rows[..7], 1, &mut None).is_none());
    assert!(lay_out(&rows, 1, &mut None).is_some());
    assert!(lay_out(&[0; 70], 7, &mut None).is_none());
    assert!(lay_out(&[0, 0, 0, 0, 0, 0, 0, 127], 1, &mut None).is_some());
    assert!(lay_out(&[0, 0, 0, 0, 0, 0, 0, 128], 1, &mut None).is_none());
    let mut origin = None;
    let first = lay_out(&rows, 1, &mut origin).unwrap();
    for (by, reached) in [
        (50, true),
        (-50, true),
        (90, false),
        (-90, false),
        (i16::MIN, false),
    ] {
        let moved: Vec<i16> = rows.iter().map(|entry| entry + by).collect();
        let moved = lay_out(&moved, 1, &mut origin.clone()).unwrap();
        assert_eq!(Lanes::between(&first, &moved).is_some(), reached, "{by}");
    }
    for end in [i16::MIN, i16::MAX] {
        assert!(lay_out(&[end; 8], 1, &mut None).is_some());
    }
}

#[test]
fn nothing_possible_stays_so_and_long_steps_are_refused() {
    let rows: Vec<Vec<i16>> = (0..10).map(|entry| vec![entry]).collect();
    assert_eq!(
        by_product(&rows, &rows, &[NEVER; 10], 1),
        Some(vec![NEVER; 10])
    );
    let far = vec![vec![20_000]];
    assert_eq!(by_product(&[vec![0]], &far, &[0], 1), None);
    // One source, one target; the longest step that fits twice and one more.
    for (step, fits) in [(16_383, true), (16_384, false)] {
        let far = vec![vec![step]];
        assert_eq!(by_product(&[vec![0]], &far, &[5], 1).is_some(), fits);
    }
}
