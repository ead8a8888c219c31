//! Text: the chart itself, with the left hand under the symbols.
//!
//! Under each line of chords stand the notes (`lh`) and, as remarks of the program, their degrees
//! (`;:deg`) and the motion into each voicing in semitones (`;:move`; `4/9` where a repeat or a jump comes
//! in by another way), four bars a line. The result is a chart: change a voicing by hand, write `?` for
//! those to be planned again, and voice it once more.

use std::collections::BTreeSet;

use super::Style;
use super::summary::summary;
use crate::arrange::{Arranged, Arrangement};
use crate::chart::{Annotation, Annotations, Wish};
use crate::voicing::Voicing;

/// The voiced chart as a chart; `style` says how much its closing remarks hold.
pub fn text(arrangement: &Arrangement, style: &Style) -> String {
    let chart = arrangement
        .chart
        .with_hands(arrangement.slots.iter().map(hand));
    chart.annotated(&Annotations {
        rows: rows(arrangement),
        below: sums(arrangement, style),
    })
}

/// What the sums at the end are called.
const PLAN: &str = "plan";

/// The chart of an arrangement as it stands, nothing planned put into it, with those remarks written afresh
/// that are called so. In its standard layout.
pub fn remarked(arrangement: &Arrangement, style: &Style, labels: &BTreeSet<&str>) -> String {
    let mut rows = rows(arrangement);
    rows.retain(|row| labels.contains(row.label));
    for row in &mut rows {
        for (said, arranged) in row.of_slots.iter_mut().zip(&arrangement.slots) {
            *said = said.take().filter(|_| arranged.given);
        }
    }
    let below = match labels.contains(PLAN) {
        true => sums(arrangement, style),
        false => Vec::new(),
    };
    arrangement.chart.annotated(&Annotations { rows, below })
}

fn sums(arrangement: &Arrangement, style: &Style) -> Vec<String> {
    let lines = summary(arrangement, style).into_iter();
    lines.map(|line| format!("{PLAN} {line}")).collect()
}

fn hand(arranged: &Arranged) -> Wish {
    let notes = |voicing: &Voicing| voicing.notes.iter().map(|voiced| voiced.note).collect();
    arranged
        .voicing
        .as_ref()
        .map_or(Wish::Silent, |voicing| Wish::Given(notes(voicing)))
}

/// The rows under the voicings, those that say something.
fn rows(arrangement: &Arrangement) -> Vec<Annotation> {
    let degrees = |slot: &Arranged| slot.voicing.as_ref().map(degrees_text);
    let motions = arrangement.motions();
    let rows = [
        Annotation {
            label: "deg",
            of_slots: arrangement.slots.iter().map(degrees).collect(),
        },
        Annotation {
            label: "move",
            of_slots: motions.iter().map(|ways| motions_text(ways)).collect(),
        },
    ];
    let says = |row: &Annotation| row.of_slots.iter().any(Option::is_some);
    rows.into_iter().filter(says).collect()
}

/// A voicing's degrees as its `deg` remark has them.
fn degrees_text(voicing: &Voicing) -> String {
    let degrees: Vec<String> = voicing.notes.iter().map(|n| n.degree.to_string()).collect();
    degrees.join(".")
}

/// The motions into a voicing as its `move` remark has them; `None` where there are none.
fn motions_text(motions: &[u32]) -> Option<String> {
    let texts: Vec<String> = motions.iter().map(u32::to_string).collect();
    Some(texts.join("/")).filter(|text| !text.is_empty())
}
