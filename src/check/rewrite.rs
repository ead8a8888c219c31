//! Writes new voicings into a chart and its text, and touches nothing else.
//!
//! Where the text was in its standard layout it is so again; otherwise only the entries' own bytes are
//! replaced. The program's remarks under the voicings, `deg` and `move`, are brought up to date in the
//! bars where the hand changes or arrives from a changed voicing.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::subject::Subject;
use crate::arrange::{degrees_text, into_each, motions_text};
use crate::chart::{Chart, Place, Wish};
use crate::voicing::Voicing;

/// Stands in a remark for a slot about which there is nothing to say.
const NOTHING: &str = "-";

/// The chart with these voicings, by slot, and its text.
pub(super) fn rewritten(
    subject: &Subject<'_>,
    changes: &BTreeMap<usize, Voicing>,
) -> (Chart, String) {
    let mut edits = Vec::new();
    let mut chart = subject.chart.clone();
    for (&slot, voicing) in changes {
        edits.extend(put(subject, &mut chart, slot, voicing));
    }
    let voicings = with(subject, changes);
    edits.extend(remarked(subject, &mut chart, changes, &voicings));
    let source = subject.source.unwrap_or_default();
    let text = if subject
        .source
        .is_none_or(|source| source == subject.chart.tidy())
    {
        chart.tidy()
    } else {
        edited(source, edits)
    };
    (chart, text)
}

type Edit = (Range<usize>, String);

/// Puts a voicing into the chart; what to write where in its text.
fn put(subject: &Subject<'_>, chart: &mut Chart, slot: usize, voicing: &Voicing) -> Option<Edit> {
    let slot = subject.laid.slots.get(slot)?;
    let wish = Wish::Given(voicing.notes.iter().map(|voiced| voiced.note).collect());
    let text = chart.hand_entry(&wish);
    let bar = chart.bar_mut(slot.place)?;
    *bar.hand.as_mut()?.get_mut(slot.place.chord)? = wish;
    Some((slot.hand_span?.range(), text))
}

/// What sounds with the changes made.
fn with(subject: &Subject<'_>, changes: &BTreeMap<usize, Voicing>) -> Vec<Option<Voicing>> {
    let now = subject.performance.voicings().iter().enumerate();
    let new = now.map(|(slot, now)| changes.get(&slot).or(now.as_ref()).cloned());
    new.collect()
}

/// Brings the remarks up to date; what to write where in the text.
fn remarked(
    subject: &Subject<'_>,
    chart: &mut Chart,
    changes: &BTreeMap<usize, Voicing>,
    voicings: &[Option<Voicing>],
) -> Vec<Edit> {
    let looped = subject.settings.arrange.looped;
    let motions = into_each(voicings, &subject.laid.played, looped);
    let degrees = |slot: usize| voicings.get(slot)?.as_ref().map(degrees_text);
    let motion = |slot: usize| motions_text(motions.get(slot)?);
    let arrivals = subject.performance.steps().iter();
    let arrivals = arrivals.filter(|(from, _)| changes.contains_key(from));
    let moved: BTreeSet<usize> = changes
        .keys()
        .copied()
        .chain(arrivals.map(|(_, to)| *to))
        .collect();
    let mut edits = Vec::new();
    for (at, slots) in bars(subject, changes.keys().copied()) {
        let text = remark(subject, &slots, degrees);
        if let Some(bar) = chart.bar_mut(at).filter(|bar| bar.degrees.is_some()) {
            edits.push((bar.remark_spans[0].range(), text.clone()));
            bar.degrees = Some(text);
        }
    }
    for (at, slots) in bars(subject, moved.into_iter()) {
        let text = remark(subject, &slots, motion);
        if let Some(bar) = chart.bar_mut(at).filter(|bar| bar.motion.is_some()) {
            edits.push((bar.remark_spans[1].range(), text.clone()));
            bar.motion = Some(text);
        }
    }
    edits
}

/// The bars these slots are in, with all their slots.
fn bars(subject: &Subject<'_>, slots: impl Iterator<Item = usize>) -> BTreeMap<Place, Vec<usize>> {
    let all = &subject.laid.slots;
    let mut bars = BTreeMap::new();
    for slot in slots.filter_map(|slot| all.get(slot)) {
        let first = slot.index - slot.place.chord.min(slot.index);
        let own = all
            .iter()
            .skip(first)
            .take_while(|other| other.bar == slot.bar);
        let place = Place {
            chord: 0,
            ..slot.place
        };
        bars.entry(place)
            .or_insert_with(|| own.map(|slot| slot.index).collect());
    }
    bars
}

fn remark(
    subject: &Subject<'_>,
    slots: &[usize],
    text: impl Fn(usize) -> Option<String>,
) -> String {
    let each = slots.iter().map(|slot| {
        let text = text(*slot).filter(|_| subject.is_given(*slot));
        text.unwrap_or_else(|| NOTHING.to_owned())
    });
    each.collect::<Vec<_>>().join(" ")
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
