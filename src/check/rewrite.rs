//! Writes new voicings into a chart and its text, and touches nothing else.
//!
//! Where the text was in its standard layout it is so again; otherwise only the entries' own bytes are
//! replaced. What the program remarked about the voicings before is left out.

use std::collections::BTreeMap;
use std::ops::Range;

use super::context::Context;
use crate::chart::{Chart, Wish, remark_lines, without_remarks};
use crate::voicing::Voicing;

/// The chart with these voicings, by slot, and its text.
pub(super) fn rewritten(
    context: &Context<'_>,
    changes: &BTreeMap<usize, Voicing>,
) -> (Chart, String) {
    let mut chart = context.chart.clone();
    let changes = changes.iter();
    let edits = changes.filter_map(|(&slot, voicing)| put(context, &mut chart, slot, voicing));
    let mut edits: Vec<Edit> = edits.collect();
    let remarks = remark_lines(context.source.unwrap_or_default());
    edits.extend(remarks.map(|line| (line, String::new())));
    let text = text_of(context, &chart, edits);
    (chart, text)
}

type Edit = (Range<usize>, String);

/// Puts a voicing into the chart; what to write where in its text.
fn put(context: &Context<'_>, chart: &mut Chart, slot: usize, voicing: &Voicing) -> Option<Edit> {
    let slot = context.voiced.problem.slots.get(slot)?;
    let wish = Wish::Given(voicing.notes.iter().map(|voiced| voiced.note).collect());
    let text = chart.hand_entry(&wish);
    let bar = chart.bar_mut(slot.place)?;
    *bar.hand.as_mut()?.get_mut(slot.place.chord)? = wish;
    Some((slot.hand_span?.range(), text))
}

/// The text of a changed chart: in its standard layout if it was in it, else as it was but for the
/// edits.
fn text_of(context: &Context<'_>, chart: &Chart, edits: Vec<Edit>) -> String {
    match context.source {
        Some(source) if without_remarks(source) != context.chart.tidy() => edited(source, edits),
        _ => chart.tidy(),
    }
}

/// The source with these stretches replaced; no two of them overlap.
fn edited(source: &str, mut edits: Vec<Edit>) -> String {
    edits.sort_by_key(|(range, _)| range.start);
    let mut text = String::with_capacity(source.len());
    let mut at = 0;
    for (range, new) in edits {
        text.push_str(source.get(at..range.start).unwrap_or_default());
        text.push_str(&new);
        at = range.end;
    }
    text.push_str(source.get(at..).unwrap_or_default());
    text
}
