//! Line breaking: which bars share a line, so that all lines are about as dense.
//!
//! Of all ways to part the bars into lines the one with the least sum of faults is taken: bars that are squeezed cost much,
//! stretched ones little, a section that begins inside a line and a line of other than four bars a little too. The chart's
//! own lines are kept where they fit: whoever wrote a blues in three lines of four reads it so.

use std::ops::Range;

use super::drawing::Length;

/// What the choice knows of a bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct BarWidth {
    /// The width it would like.
    pub ideal: Length,
    /// The least width.
    pub least: Length,
    /// Room behind it for what changes with the next bar, where the line ends with it.
    pub behind: Length,
    /// Whether a section begins with it.
    pub heads: bool,
    /// Whether a line of the chart begins with it.
    pub begins_line: bool,
    /// Whether a section in another key begins with it.
    pub turns: bool,
}

/// The most bars on a line.
const MOST: usize = 8;
/// A line with a section that begins inside it.
const INNER_SECTION: i64 = 6_000;
/// A line with a section in another key that begins inside it: as good as never.
const INNER_KEY: i64 = 1_000_000;
/// A line of the chart that begins inside a line.
const INNER_LINE: i64 = 10_000;
/// A line that ends inside a line of the chart.
const WITHIN_LINE: i64 = 5_000;
/// A line that ends inside a section.
const WITHIN_SECTION: i64 = 1_500;
/// A line of other than four bars.
const UNEVEN: i64 = 5_000;
/// A bar alone that is wider than the line.
const OVERFULL: i64 = 10_000_000;

/// The lines with the least sum of faults; `room` gives what a line that begins with this bar has for its bars.
pub(super) fn lines(blocks: &[BarWidth], room: impl Fn(usize) -> Length) -> Vec<Range<usize>> {
    let count = blocks.len();
    let mut best: Vec<(i64, usize)> = vec![(0, count); count + 1];
    for start in (0..count).rev() {
        let options = (start + 1..=count.min(start + MOST)).filter_map(|end| {
            let rest = best.get(end)?.0;
            let line = fault(blocks.get(start..end)?, room(start), end == count)?;
            Some((line + blocks.get(end).map_or(0, cut) + rest, end))
        });
        let least = options.min();
        if let (Some(slot), Some(least)) = (best.get_mut(start), least) {
            *slot = least;
        }
    }
    follow(&best, count)
}

/// What is wrong with a line that ends before this bar.
fn cut(next: &BarWidth) -> i64 {
    match next {
        BarWidth { heads: true, .. } => 0,
        BarWidth {
            begins_line: true, ..
        } => WITHIN_SECTION,
        _ => WITHIN_SECTION + WITHIN_LINE,
    }
}

fn follow(best: &[(i64, usize)], count: usize) -> Vec<Range<usize>> {
    let mut lines = Vec::new();
    let mut start = 0;
    while start < count {
        let end = best
            .get(start)
            .map_or(count, |(_, end)| *end)
            .max(start + 1);
        lines.push(start..end);
        start = end;
    }
    lines
}

/// What is wrong with a line; `None` if its bars don't fit.
fn fault(line: &[BarWidth], room: Length, last: bool) -> Option<i64> {
    Some(density_fault(line, room, last)? + grouping_fault(line))
}

/// What is wrong with how dense a line is; `None` if its bars don't fit.
fn density_fault(line: &[BarWidth], room: Length, last: bool) -> Option<i64> {
    let behind = line.last().map_or(0, |block| block.behind);
    let sum = |width: fn(&BarWidth) -> Length| line.iter().map(width).sum::<Length>() + behind;
    if sum(|block| block.least) > room {
        return (line.len() == 1).then_some(OVERFULL);
    }
    // Room over wish, in thousandths.
    let ratio = i64::from(room) * 1000 / i64::from(sum(|block| block.ideal).max(1));
    let off = ratio - 1000;
    let mut fault = if off >= 0 {
        off * off / 200
    } else {
        off * off * 15 / 100
    };
    if last && off > 0 {
        fault = fault.min(1_000_000) * 3 / 10;
    }
    Some(fault)
}

/// What is wrong with which bars stand on a line together.
fn grouping_fault(line: &[BarWidth]) -> i64 {
    let inner =
        |is: fn(&BarWidth) -> bool| line.iter().skip(1).filter(|block| is(block)).count() as i64;
    let lines = inner(|block| block.begins_line);
    let uneven = if line.len() == 4 { 0 } else { UNEVEN };
    inner(|block| block.heads) * INNER_SECTION
        + inner(|block| block.turns) * INNER_KEY
        + lines * INNER_LINE
        + uneven
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Every way to part the bars into lines, by brute force.
    fn least(blocks: &[BarWidth], room: Length) -> i64 {
        let count = blocks.len();
        (0..1_u32 << (count - 1))
            .filter_map(|cuts| {
                let mut start = 0;
                let mut sum = 0;
                for end in 1..=count {
                    if end == count || cuts & (1 << (end - 1)) != 0 {
                        sum += fault(&blocks[start..end], room, end == count)?;
                        sum += blocks.get(end).map_or(0, cut);
                        start = end;
                    }
                }
                Some(sum)
            })
            .min()
            .unwrap()
    }

    proptest! {
        #[test]
        fn no_other_way_has_fewer_faults(
            bars in prop::collection::vec((4_000..30_000, 2_000..20_000, 0..5_000, any::<[bool; 3]>()), 1..9),
        ) {
            let blocks: Vec<BarWidth> = bars.iter().map(|&(ideal, least, behind, [heads, turns, begins_line]): &(Length, Length, Length, [bool; 3])| BarWidth { ideal: ideal.max(least), least, behind, heads, begins_line: heads || begins_line, turns: heads && turns }).collect();
            let found = lines(&blocks, |_| 60_000);
            let sum: i64 = found.iter().map(|line| {
                fault(&blocks[line.clone()], 60_000, line.end == blocks.len()).unwrap() + blocks.get(line.end).map_or(0, cut)
            }).sum();
            prop_assert_eq!(sum, least(&blocks, 60_000));
        }
    }

    fn bar(ideal: Length, begins_line: bool) -> BarWidth {
        BarWidth {
            ideal,
            least: ideal - 5_000,
            behind: 0,
            turns: false,
            begins_line,
            heads: false,
        }
    }

    #[test]
    fn a_bar_too_wide_for_the_line_stands_alone() {
        let (wide, narrow) = (bar(90_000, false), bar(10_000, false));
        assert_eq!(
            lines(&[narrow, wide, narrow], |_| 60_000),
            [0..1, 1..2, 2..3]
        );
    }

    #[test]
    fn a_blues_written_in_fours_stands_in_fours() {
        let blues: Vec<BarWidth> = (0..12).map(|at| bar(7_000, at % 4 == 0)).collect();
        assert_eq!(lines(&blues, |_| 60_000), [0..4, 4..8, 8..12]);
        let one_line: Vec<BarWidth> = (0..12).map(|at| bar(7_000, at == 0)).collect();
        assert_eq!(lines(&one_line, |_| 60_000), [0..8, 8..12]);
    }
}
