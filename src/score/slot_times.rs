//! When the chords of a page sound that is played from its first bar to its last.

use super::Quarters;
use super::bar::page;
use crate::chart::{Beats, Chart, Slot};

/// When a slot sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SlotTime {
    /// When it starts, from the beginning of the page.
    pub start: Quarters,
    /// When it ends.
    pub end: Quarters,
    /// How long a beat is there.
    pub beat: Quarters,
}

/// The times of a chart's slots, in their order, where its bars are played as they are written. For a
/// chart with repeats, those of [`Chart::unfolded`] are the ones to ask for.
///
/// ```
/// use compline::chart::read;
/// use compline::score::slot_times;
///
/// let chart = read("meter: 3/4\n| C | 6/8 F G |\n").unwrap();
/// let starts: Vec<String> = slot_times(&chart, &chart.slots()).iter().map(|t| t.start.to_string()).collect();
/// assert_eq!(starts, ["0", "3", "9/2"]);
/// ```
pub fn slot_times(chart: &Chart, slots: &[Slot]) -> Vec<SlotTime> {
    let page = page(chart);
    let mut starts = Vec::with_capacity(page.len());
    let mut at = Quarters::ZERO;
    for bar in &page {
        starts.push((at, bar.meter));
        at += Quarters::of_bar(bar.meter);
    }
    let time = |slot: &Slot| {
        let (bar, meter) = starts.get(slot.bar.checked_sub(1)?).copied()?;
        let start = bar + Quarters::of_beats(slot.beat - Beats::whole(1), meter);
        Some(SlotTime {
            start,
            end: start + Quarters::of_beats(slot.beats, meter),
            beat: Quarters::of_beats(Beats::whole(1), meter),
        })
    };
    slots.iter().filter_map(time).collect()
}
