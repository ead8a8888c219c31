//! Text: the chart itself, with the left hand under the symbols.
//!
//! Under each line of chords stand the notes (`lh`), their degrees (`deg`) and the motion into each
//! voicing in semitones (`move`; `4/9` where a repeat or a jump comes in by another way), four bars a line. The result is a chart: change a voicing by hand,
//! write `?` for those to be planned again, and voice it once more.

use super::summary::summary;
use crate::arrange::{Arranged, Arrangement, degrees_text, motions_text};
use crate::chart::{PLAN_REMARK, SlotHand, Wish};

/// The voiced chart as a chart; with `compare`, its closing comments hold the yardsticks too.
pub fn text(arrangement: &Arrangement, compare: bool) -> String {
    let hands: Vec<SlotHand> = arrangement.slots.iter().map(hand).collect();
    let mut chart = arrangement.chart.with_hands(&hands);
    chart
        .below
        .retain(|comment| !comment.starts_with(PLAN_REMARK));
    let lines = summary(arrangement, compare).into_iter();
    chart
        .below
        .extend(lines.map(|line| format!("{PLAN_REMARK}{line}")));
    chart.to_string()
}

fn hand(arranged: &Arranged) -> SlotHand {
    let Some(voicing) = &arranged.voicing else {
        return SlotHand {
            wish: Wish::Silent,
            degrees: None,
            motion: None,
        };
    };
    SlotHand {
        wish: Wish::Given(voicing.notes.iter().map(|voiced| voiced.note).collect()),
        degrees: Some(degrees_text(voicing)),
        motion: motions_text(&arranged.motions),
    }
}
