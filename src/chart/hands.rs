//! Puts a left hand into a chart: the `lh` line, and the program's remarks under it.

use super::{Bar, Chart, Place, Spans, Wish, remark};

/// What is to be written under one slot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SlotHand {
    /// The `lh` entry.
    pub wish: Wish,
    /// The voicing's degrees, for the `deg` line; `None` where there is nothing to say.
    pub degrees: Option<String>,
    /// How far the hand moves, for the `move` line; `None` where there is nothing to say.
    pub motion: Option<String>,
}

/// Stands in a remark for a slot about which there is nothing to say.
const NOTHING: &str = "-";

impl Chart {
    /// The chart with a left hand: one entry for each of its [`slots`](Self::slots), in order.
    ///
    /// Whatever `lh`, `deg` and `move` lines it had are replaced. A remark line is written when any
    /// slot has something for it. Where `hands` is shorter than the slots, the rest is to be
    /// planned; what it has beyond them is not used.
    ///
    /// ```
    /// use compline::chart::{SlotHand, Wish, read};
    /// let chart = read("| Dm7 G7 | Cmaj7 |").unwrap();
    /// let notes = ["F3", "A3", "C4", "E4"].map(|n| n.parse().unwrap()).to_vec();
    /// let planned = SlotHand {
    ///     wish: Wish::Given(notes),
    ///     degrees: Some("b3.5.b7.9".into()),
    ///     motion: None,
    /// };
    /// assert_eq!(chart.with_hands(&[planned]).tidy(), "     \
    ///      | Dm7         G7 | Cmaj7 |
    /// lh   | F3.A3.C4.E4 ?  | ?     |
    /// deg  | b3.5.b7.9   -  | -     |
    /// ");
    /// ```
    #[must_use]
    pub fn with_hands(&self, hands: &[SlotHand]) -> Self {
        let mut chart = self.clone();
        let degrees = hands.iter().any(|hand| hand.degrees.is_some());
        let motion = hands.iter().any(|hand| hand.motion.is_some());
        chart.bars_mut().for_each(|bar| clear(bar, degrees, motion));
        let mut hands = hands.iter();
        for place in self.slot_places() {
            let hand = hands.next();
            if let Some(bar) = chart.bar_mut(place) {
                add(bar, hand);
            }
        }
        chart
    }

    /// The bar at a place, to be changed.
    pub(crate) fn bar_mut(&mut self, at: Place) -> Option<&mut Bar> {
        let line = self.sections.get_mut(at.section)?.lines.get_mut(at.line)?;
        line.bars.get_mut(at.bar)
    }
}

fn clear(bar: &mut Bar, degrees: bool, motion: bool) {
    bar.hand = Some(Vec::new());
    bar.hand_spans = Spans::default();
    bar.degrees = degrees.then(String::new);
    bar.motion = motion.then(String::new);
}

fn add(bar: &mut Bar, hand: Option<&SlotHand>) {
    let wish = hand.map_or(Wish::PLAN, |hand| hand.wish.clone());
    bar.hand.get_or_insert_default().push(wish);
    remark(
        &mut bar.degrees,
        hand.and_then(|hand| hand.degrees.as_deref()),
    );
    remark(
        &mut bar.motion,
        hand.and_then(|hand| hand.motion.as_deref()),
    );
}

fn remark(row: &mut Option<String>, text: Option<&str>) {
    if let Some(row) = row {
        if !row.is_empty() {
            row.push(' ');
        }
        let text = remark::plain(text.unwrap_or(NOTHING));
        row.push_str(if text.is_empty() { NOTHING } else { &text });
    }
}
