//! Writes new voicings into a chart and its text, and touches nothing else.
//!
//! Where the text was in its standard layout it is so again; otherwise only the entries' own bytes are
//! replaced. What the program remarked about the voicings before is left out.

use std::collections::BTreeMap;
use std::ops::Range;

use super::context::Context;
use crate::chart::{Chart, MARK, Wish, remark_lines, without_remarks};
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
        Some(source) if without_remarks(source) != context.chart.tidy() => {
            let edits = edits.into_iter().map(|edit| in_its_place(source, edit));
            let text = edited(source, edits.collect());
            realigned(source, &text).unwrap_or(text)
        }
        _ => chart.tidy(),
    }
}

/// An edit that takes the space of the old entry: a shorter one is filled up, a longer one takes from
/// the spaces behind it, all but one.
fn in_its_place(source: &str, (range, new): Edit) -> Edit {
    if new.is_empty() {
        return (range, new);
    }
    let old = range.len();
    let fill = " ".repeat(old.saturating_sub(new.len()));
    let behind = source.get(range.end..).unwrap_or_default().bytes();
    let spaces = behind.take_while(|byte| *byte == b' ').count();
    let takes = new.len().saturating_sub(old).min(spaces.saturating_sub(1));
    (range.start..range.end + takes, new + &fill)
}

/// The new text with the bars of each system under one another, where those of the source were; `None`
/// where lines came or went, so that it isn't known which was which.
fn realigned(source: &str, text: &str) -> Option<String> {
    let kept = source.split_inclusive('\n');
    let kept: Vec<&str> = kept.filter(|line| !line.starts_with(MARK)).collect();
    let mut new: Vec<String> = text.split_inclusive('\n').map(str::to_owned).collect();
    if kept.len() != new.len() {
        return None;
    }
    let is_row = |line: &&str| line.contains('|') && !line.trim_start().starts_with(';');
    let mut at = 0;
    while at < kept.len() {
        let rows = kept.iter().skip(at).take_while(|line| is_row(line)).count();
        let system = at..at + rows;
        let old = kept.get(system.clone()).unwrap_or_default();
        let were = old.iter().map(|line| bar_lines(line));
        let were: Vec<Vec<usize>> = were.collect();
        if were.windows(2).all(|pair| pair.first() == pair.last()) {
            align(new.get_mut(system).unwrap_or_default());
        }
        at += rows.max(1);
    }
    Some(new.concat())
}

/// The columns, in characters, of a row's bar lines.
fn bar_lines(line: &str) -> Vec<usize> {
    let content = line.split(';').next().unwrap_or_default();
    let columns = content.chars().enumerate();
    columns
        .filter(|(_, c)| *c == '|')
        .map(|(at, _)| at)
        .collect()
}

/// Puts spaces before bar lines until those of all rows stand under one another.
fn align(rows: &mut [String]) {
    let count = rows.iter().map(|row| bar_lines(row).len()).min();
    for number in 0..count.unwrap_or_default() {
        let column = |row: &String| bar_lines(row).get(number).copied().unwrap_or_default();
        let furthest = rows.iter().map(column).max().unwrap_or_default();
        for row in rows.iter_mut() {
            let (at, mut rest) = (column(row), row.chars().collect::<Vec<_>>());
            let before = |rest: &[char]| at > 1 && rest.get(at - 1) == Some(&':');
            let place = if before(&rest) { at - 1 } else { at };
            let spaces = std::iter::repeat_n(' ', furthest - at);
            rest.splice(place..place, spaces);
            *row = rest.into_iter().collect();
        }
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
