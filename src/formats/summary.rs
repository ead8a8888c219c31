//! What a plan costs, in a few lines for people.

use std::fmt::Write;

use super::Style;
use crate::arrange::{Alternative, Arrangement, Compare};
use crate::optimise::Cost;
use crate::voicing::TotalSurcharges;

/// The totals, the effort alone or with details; what the yardsticks would move where they were asked for;
/// how the next best plans differ. Without line feeds.
pub(super) fn summary(arrangement: &Arrangement, style: &Style) -> Vec<String> {
    let mut lines = vec![totals(arrangement, style.details)];
    lines.extend(as_written(arrangement));
    if style.compare {
        let Compare {
            block_root,
            block_nearest,
        } = Compare::of(arrangement);
        lines.push(format!(
            "the same chords move {block_root} semitones as block-root, {block_nearest} as block-nearest"
        ));
    }
    let ranked = (2..).zip(arrangement.alternatives.iter().skip(1));
    lines.extend(ranked.map(|(rank, plan)| alternative(arrangement, rank, plan)));
    lines
}

fn totals(arrangement: &Arrangement, details: bool) -> String {
    let totals = arrangement.totals;
    let proof = if totals.optimal {
        "proved least".to_owned()
    } else {
        format!("not proved least: at least {}", totals.lower_bound.effort)
    };
    let effort = totals.cost.effort;
    let mut line = format!(
        "effort {effort} ({proof}): {}",
        parts(totals.motion(), totals.surcharges)
    );
    if details {
        let Cost {
            largest,
            off_centre,
            ..
        } = totals.cost;
        let _ = write!(
            line,
            "; largest steps {largest}, off centre {off_centre} half semitones"
        );
    }
    line
}

/// `motion 74, register 4, melody 2`: what is 0 besides motion is not told.
fn parts(motion: u64, surcharges: TotalSurcharges) -> String {
    match surcharges.sum() {
        0 => format!("motion {motion}"),
        _ => format!("motion {motion}, {surcharges}"),
    }
}

fn as_written(arrangement: &Arrangement) -> Option<String> {
    if !arrangement.settings.as_played {
        return None;
    }
    let Some(page) = arrangement.totals.as_written else {
        return Some("one voicing a slot can't meet the wishes".to_owned());
    };
    let page = page.effort;
    let more = page.saturating_sub(arrangement.totals.cost.effort);
    Some(format!(
        "one voicing a slot, as on the page, would be an effort of {page}: {more} more"
    ))
}

fn alternative(arrangement: &Arrangement, rank: usize, plan: &Alternative) -> String {
    let more = plan
        .cost
        .effort
        .saturating_sub(arrangement.totals.cost.effort);
    let proof = if plan.optimal {
        ""
    } else {
        ", place not proved"
    };
    let changes = arrangement.slots.iter().zip(&plan.voicings);
    let changes: Vec<String> = changes
        .filter(|(arranged, other)| arranged.voicing != **other)
        .filter_map(|(arranged, other)| {
            let (slot, other) = (&arranged.slot, other.as_ref()?);
            let notes = other.written(slot.middle_c, " ");
            Some(format!("bar {} {} {notes}", slot.bar, slot.symbol.text()))
        })
        .collect();
    format!(
        "number {rank}, effort +{more}{proof}: {}",
        changes.join("; ")
    )
}
