//! What can only be said, and done, once the whole chart has been read.

use std::collections::BTreeMap;

use super::problems::Problems;
use super::text::Text;
use super::{header, repeats, ties};
use crate::chart::{Chart, Diagnostic, Field, Line, Remarks};

/// Looks up the sections of the `play` line.
pub(super) fn play(value: Text<'_>, chart: &mut Chart, problems: &mut Problems) {
    let names = header::play(value, &chart.sections, problems);
    for entry in &mut chart.header.entries {
        if let Field::Play(played) = &mut entry.field {
            *played = names;
            return;
        }
    }
}

/// Notes what is missing or never closed.
pub(super) fn check(chart: &Chart, source: Text<'_>, problems: &mut Problems) {
    repeats::check(chart, problems);
    if problems.is_empty() {
        ties::check(chart, problems);
    }
    for section in &chart.sections {
        if section.lines.is_empty() {
            problems.add(no_bars(
                section.name.as_deref().unwrap_or(""),
                section.span.range(),
            ));
        }
    }
    if chart.sections.is_empty() && problems.is_empty() {
        let (_, end) = source.split_at(source.text.trim_end().len());
        let problem =
            Diagnostic::error(end.at..end.at, "there is no music here", "a line of chords");
        problems.add(problem.help("write bars of chords, such as | Dm7 G7 | Cmaj7 |"));
    }
}

fn no_bars(name: &str, heading: std::ops::Range<usize>) -> Diagnostic {
    let message = format!("section `{name}` has no bars");
    Diagnostic::error(heading, message, "a line of chords below")
}

/// Breaks every line of more than `most` bars into lines of `most` and a rest.
///
/// The comments above a row stay above its first piece, the one beside it stays at its end.
pub(in crate::chart) fn fold(chart: Chart, most: usize) -> Chart {
    let mut chart = chart;
    for section in &mut chart.sections {
        if section.lines.iter().any(|line| line.bars.len() > most) {
            let lines = std::mem::take(&mut section.lines);
            section.lines = lines
                .into_iter()
                .flat_map(|line| fold_line(line, most))
                .collect();
        }
    }
    chart
}

fn fold_line(line: Line, most: usize) -> Vec<Line> {
    let pieces = line.bars.len().div_ceil(most.max(1)).max(1);
    let mut bars = line.bars.into_iter();
    let (mut above, mut beside) = (parted(&line.remarks, true), parted(&line.remarks, false));
    let mut changes = line.changes;
    let piece = |number: usize| Line {
        changes: std::mem::take(&mut changes),
        bars: bars.by_ref().take(most.max(1)).collect(),
        remarks: match (number == 0, number + 1 == pieces) {
            (true, true) => line.remarks.clone(),
            (true, false) => std::mem::take(&mut above),
            (false, true) => std::mem::take(&mut beside),
            (false, false) => BTreeMap::new(),
        },
    };
    (0..pieces).map(piece).collect()
}

fn parted<K: Copy + Ord>(remarks: &BTreeMap<K, Remarks>, above: bool) -> BTreeMap<K, Remarks> {
    let half = |r: &Remarks| match above {
        true => Remarks {
            above: r.above.clone(),
            beside: None,
        },
        false => Remarks {
            above: Vec::new(),
            beside: r.beside.clone(),
        },
    };
    let halves = remarks.iter().map(|(row, r)| (*row, half(r)));
    halves.filter(|(_, r)| !r.is_empty()).collect()
}
