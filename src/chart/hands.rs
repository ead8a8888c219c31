//! Puts a left hand into a chart: the `lh` line.

use super::{Bar, Chart, Place, Spans, Wish};

impl Chart {
    /// The chart with a left hand: one entry for each of its [`slots`](Self::slots), in order.
    ///
    /// Whatever `lh` lines it had are replaced. Where `hands` is shorter than the slots, the rest is to
    /// be planned; what it has beyond them is not used.
    ///
    /// ```
    /// use compline::chart::{Wish, read};
    /// let chart = read("| Dm7 G7 | Cmaj7 |").unwrap();
    /// let notes = ["F3", "A3", "C4", "E4"].map(|n| n.parse().unwrap()).into();
    /// assert_eq!(chart.with_hands([Wish::Given(notes)]).tidy(), "     \
    ///      | Dm7         G7 | Cmaj7 |
    /// lh   | F3.A3.C4.E4 ?  | ?     |
    /// ");
    /// ```
    #[must_use]
    pub fn with_hands(&self, hands: impl IntoIterator<Item = Wish>) -> Self {
        let mut chart = self.clone();
        for bar in chart.bars_mut() {
            bar.hand = Some(Vec::new());
            bar.hand_spans = Spans::default();
        }
        let mut hands = hands.into_iter();
        for place in self.slot_places() {
            let wish = hands.next().unwrap_or(Wish::PLAN);
            if let Some(bar) = chart.bar_mut(place) {
                bar.hand.get_or_insert_default().push(wish);
            }
        }
        chart
    }

    /// The chart without its `lh` lines: every chord is to be planned.
    ///
    /// ```
    /// let voiced = compline::chart::read("| Dm7 | G7 |\nlh | F3.A3.C4.E4 | ? |").unwrap();
    /// assert_eq!(voiced.without_hands().tidy(), "     | Dm7 | G7 |\n");
    /// ```
    #[must_use]
    pub fn without_hands(&self) -> Self {
        let mut chart = self.clone();
        for bar in chart.bars_mut() {
            bar.hand = None;
            bar.hand_spans = Spans::default();
        }
        chart
    }

    /// The bar at a place, to be changed.
    pub(crate) fn bar_mut(&mut self, at: Place) -> Option<&mut Bar> {
        let line = self.sections.get_mut(at.section)?.lines.get_mut(at.line)?;
        line.bars.get_mut(at.bar)
    }
}
