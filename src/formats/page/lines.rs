//! Line breaking: which bars share a line, so that all lines are about as dense.
//!
//! Of all ways to part the bars into lines the one with the least sum of faults is taken: bars that are squeezed cost much,
//! stretched ones little, a section that begins inside a line and a line of other than four bars a little too.

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
    /// Whether a section in another key begins with it.
    pub turns: bool,
}

/// The most bars on a line.
const MOST: usize = 8;
/// A line with a section that begins inside it.
const INNER_SECTION: i64 = 6_000;
/// A line with a section in another key that begins inside it: as good as never.
const INNER_KEY: i64 = 1_000_000;
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
            let next = blocks.get(end);
            let cut = next.map_or(0, |next| if next.heads { 0 } else { WITHIN_SECTION });
            Some((line + cut + rest, end))
        });
        let least = options.min();
        if let (Some(slot), Some(least)) = (best.get_mut(start), least) {
            *slot = least;
        }
    }
    follow(&best, count)
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
    let inner = line.iter().skip(1).filter(|block| block.heads).count() as i64;
    let keys = line.iter().skip(1).filter(|block| block.turns).count() as i64;
    Some(
        fault + inner * INNER_SECTION + keys * INNER_KEY + if line.len() == 4 { 0 } else { UNEVEN },
    )
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
                        sum += if end < count && !blocks[end].heads {
                            WITHIN_SECTION
                        } else {
                            0
                        };
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
            bars in prop::collection::vec((4_000..30_000, 2_000..20_000, 0..5_000, any::<bool>(), any::<bool>()), 1..9),
        ) {
            let blocks: Vec<BarWidth> = bars.iter().map(|&(ideal, least, behind, heads, turns): &(Length, Length, Length, bool, bool)| BarWidth { ideal: ideal.max(least), least, behind, heads, turns: heads && turns }).collect();
            let found = lines(&blocks, |_| 60_000);
            let sum: i64 = found.iter().map(|line| {
                let cut = blocks.get(line.end).map_or(0, |next| if next.heads { 0 } else { WITHIN_SECTION });
                fault(&blocks[line.clone()], 60_000, line.end == blocks.len()).unwrap() + cut
            }).sum();
            prop_assert_eq!(sum, least(&blocks, 60_000));
        }
    }

    #[test]
    fn a_bar_too_wide_for_the_line_stands_alone() {
        let wide = BarWidth {
            ideal: 90_000,
            least: 80_000,
            behind: 0,
            turns: false,
            heads: false,
        };
        let narrow = BarWidth {
            ideal: 10_000,
            least: 5_000,
            behind: 0,
            turns: false,
            heads: false,
        };
        assert_eq!(
            lines(&[narrow, wide, narrow], |_| 60_000),
            [0..1, 1..2, 2..3]
        );
    }
}
