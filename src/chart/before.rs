//! The page of a reharmonisation as it was before: its `was` rows taken back.

use super::{Beats, Cell, Chart, LineRow, Spans, Was, Wish};

impl Chart {
    /// The chart as it was before its chords were replaced, as far as its `was` rows say.
    ///
    /// A chart that [`Chart::replaced`] has changed comes back as it was, but for what the left hand had
    /// under the chords that went.
    ///
    /// ```
    /// let chart = compline::chart::read("| Am7 D7 | D7 | % |\nwas | D7 | % | - |").unwrap();
    /// assert_eq!(chart.before().tidy(), "     | D7 | % | % |\n");
    /// ```
    #[must_use]
    pub fn before(&self) -> Self {
        let mut chart = self.clone();
        let (mut old, mut new) = (Vec::new(), Vec::new());
        for bar in chart.bars_mut() {
            new = bar.chords.over(&new).to_vec();
            old = bar.chords_before(&old).to_vec();
            if let Some(Was::Other(was)) = bar.was.take() {
                bar.chords = was;
            }
            if let Some(hand) = bar.hand.as_mut().filter(|_| old != new) {
                *hand = hand_under(&old, &new, hand);
                bar.hand_spans = Spans::default();
            }
        }
        let lines = chart.sections.iter_mut().flat_map(|s| &mut s.lines);
        lines.for_each(|line| drop(line.remarks.remove(&LineRow::Was)));
        chart
    }
}

/// What the hand does under the old chords: what it does under the new ones where they are the same,
/// at the same time and for as long.
fn hand_under(old: &[Cell], new: &[Cell], hand: &[Wish]) -> Vec<Wish> {
    let there = timed(new);
    let kept = |(beat, cell): (Beats, &Cell)| {
        let is_same = |(from, other): &(Beats, &Cell)| {
            *from == beat && other.beats == cell.beats && other.symbol == cell.symbol
        };
        hand.get(there.iter().position(is_same)?).cloned()
    };
    let old = timed(old).into_iter();
    old.map(|one| kept(one).unwrap_or(Wish::PLAN)).collect()
}

/// The chords of a bar, and how far into it each begins.
fn timed(cells: &[Cell]) -> Vec<(Beats, &Cell)> {
    let mut from = Beats::ZERO;
    let begun = cells.iter().map(|cell| {
        let at = from;
        from = from + cell.beats;
        (at, cell)
    });
    begun.collect()
}
