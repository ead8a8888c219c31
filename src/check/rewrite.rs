//! Writes new voicings into a chart and its text, and touches nothing else.
//!
//! Where the text was in its standard layout it is so again; otherwise only the entries' own bytes are
//! replaced. The program's remarks under the voicings, `deg` and `move`, are brought up to date in the
//! bars where the hand changes or arrives from a changed voicing.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::context::Context;
use super::remarks::{Remarks, bars, plan_lines, stale, stale_plan};
use crate::chart::{Chart, PLAN_REMARK, Place, Row, Wish};
use crate::voicing::Voicing;

/// The chart with these voicings, by slot, and its text.
pub(super) fn rewritten(
    context: &Context<'_>,
    changes: &BTreeMap<usize, Voicing>,
) -> (Chart, String) {
    let mut edits = Vec::new();
    let mut chart = context.chart.clone();
    for (&slot, voicing) in changes {
        edits.extend(put(context, &mut chart, slot, voicing));
    }
    let voicings = with(context, changes);
    edits.extend(remarked(context, &mut chart, changes, &voicings));
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

/// What sounds with the changes made.
fn with(context: &Context<'_>, changes: &BTreeMap<usize, Voicing>) -> Vec<Option<Voicing>> {
    let now = context.hand.voicings().iter().enumerate();
    let new = now.map(|(slot, now)| changes.get(&slot).or(now.as_ref()).cloned());
    new.collect()
}

/// Brings the remarks up to date where the hand changes; what to write where in the text.
fn remarked(
    context: &Context<'_>,
    chart: &mut Chart,
    changes: &BTreeMap<usize, Voicing>,
    voicings: &[Option<Voicing>],
) -> Vec<Edit> {
    let remarks = Remarks::of(context, voicings, context.settings.arrange.looped);
    let arrivals = context.hand.steps();
    let arrivals = arrivals.filter(|(from, _)| changes.contains_key(from));
    let changed = || changes.keys().copied();
    let moved: BTreeSet<usize> = changed().chain(arrivals.map(|(_, to)| to)).collect();
    let degrees = bars(context, changed()).into_iter();
    let motion = bars(context, moved.into_iter()).into_iter();
    let rows = degrees.map(|(at, slots)| (Row::Degrees, at, slots));
    let rows = rows.chain(motion.map(|(at, slots)| (Row::Motion, at, slots)));
    rows.filter_map(|(row, at, slots)| remark(chart, at, row, remarks.words(row, &slots).join(" ")))
        .collect()
}

/// Writes a remark of a bar, if the bar has that row; what to write where in the text.
fn remark(chart: &mut Chart, at: Place, row: Row, text: String) -> Option<Edit> {
    let bar = chart.bar_mut(at)?;
    let [degrees, motion] = bar.remark_spans;
    let (old, span) = match row {
        Row::Degrees => (&mut bar.degrees, degrees),
        _ => (&mut bar.motion, motion),
    };
    *old.as_mut()? = text.clone();
    Some((span.range(), text))
}

/// The chart with every remark that says something else than the notes put right, and its text.
pub(super) fn with_remarks(context: &Context<'_>) -> (Chart, String) {
    let mut chart = context.chart.clone();
    let stale = stale(context).into_iter();
    let edits = stale.filter_map(|stale| remark(&mut chart, stale.bar, stale.row, stale.new));
    let mut edits: Vec<Edit> = edits.collect();
    if stale_plan(context).is_some() {
        let comments = &mut chart.below;
        comments.retain(|comment| !comment.starts_with(PLAN_REMARK));
        let source = context.source.unwrap_or_default();
        edits.extend(plan_lines(source).map(|line| (line, String::new())));
    }
    let text = text_of(context, &chart, edits);
    (chart, text)
}

/// The text of a changed chart: in its standard layout if it was in it, else as it was but for the
/// edits.
fn text_of(context: &Context<'_>, chart: &Chart, edits: Vec<Edit>) -> String {
    match context.source {
        Some(source) if source != context.chart.tidy() => edited(source, edits),
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
