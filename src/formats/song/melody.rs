//! The melody of a bar as the chart language writes it: notes and rests that fill the bar.

use num_rational::Ratio;

use super::super::report::{LossReport, ROUGHER_TIMES};
use super::SongNote;
use crate::chart::{Beats, Event, Meter, Span};
use crate::pitch::Note;
use crate::score::Quarters;

/// What a place is rounded to where it is too fine to be written: a 48th of a beat has every 16th and
/// every triplet of 16ths.
const ROUGH: i64 = 48;

/// The events of a bar of `length`; where notes overlap, the earlier one is cut short.
pub(super) fn events(
    melody: &[SongNote],
    (length, meter): (Quarters, Meter),
    report: &mut LossReport,
    place: &str,
) -> Vec<Event> {
    let full = length.in_beats(meter);
    let mut beat = |at: Quarters| {
        let exact = at.in_beats(meter);
        if !written(exact) {
            report.add(ROUGHER_TIMES, place);
        }
        writable(exact)
    };
    let starts: Vec<Ratio<i64>> = melody.iter().map(|note| beat(note.at)).collect();
    let ends = melody.iter().map(|note| beat(note.at + note.length));
    let ends: Vec<Ratio<i64>> = ends.collect();
    let mut events = Vec::new();
    let mut at = Ratio::from(0);
    for (number, note) in melody.iter().enumerate() {
        let (Some(start), Some(end)) = (starts.get(number), ends.get(number)) else {
            break;
        };
        let next = starts.get(number + 1).copied().unwrap_or(full);
        let (start, end) = ((*start).max(at), (*end).min(next).min(full));
        if start > at {
            push(&mut events, (None, false), start - at);
            at = start;
        }
        if end > at {
            push(&mut events, (Some(note.note), note.tied), end - at);
            at = end;
        }
    }
    if at < full {
        push(&mut events, (None, false), full - at);
    }
    events
}

/// Whether the chart language can write so fine a place: see [`Beats`].
fn written(beats: Ratio<i64>) -> bool {
    20_160 % *beats.denom() == 0
}

/// The place itself, or the nearest to it that can be written.
fn writable(exact: Ratio<i64>) -> Ratio<i64> {
    match written(exact) {
        true => exact,
        false => (exact * ROUGH).round() / ROUGH,
    }
}

fn push(events: &mut Vec<Event>, (note, tied): (Option<Note>, bool), beats: Ratio<i64>) {
    if let Some(beats) = Beats::new(*beats.numer(), *beats.denom()) {
        events.push(Event {
            note,
            beats,
            tied,
            span: Span::default(),
        });
    }
}
