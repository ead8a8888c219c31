//! The page of a voiced chart's JSON: sections, lines and bars from its row of slots.

use std::borrow::Cow;
use std::sync::Arc;

use super::fragment::Fragment;
use super::not_voiced::{NotVoiced, refuse, wrong};
use super::types::{SlotJson, Told};
use crate::chart::sizes::MOST_NOTES_OF_A_HAND;
use crate::chart::{
    Bar, Beats, Cell, Chords, Event, Line, LineChanges, Remarks, Section, Span, Wish,
};
use crate::chord::Symbol;
use crate::pitch::Note;

/// A section for each run of slots with one section name, a bar for each run with one bar number.
pub(super) fn sections(slots: &[SlotJson<'_>]) -> Result<Vec<Section>, NotVoiced> {
    let mut sections = Vec::new();
    let mut number = 0;
    for run in slots.chunk_by(|a, b| a.section == b.section) {
        let mut lines: Vec<Line> = Vec::new();
        for slots in run.chunk_by(|a, b| a.bar == b.bar) {
            number += 1;
            let changes = changes(slots)?;
            if lines.is_empty() || !changes.is_empty() {
                lines.push(line(changes));
            }
            let bar = bar(slots, number).map_err(|why| why.in_bar(number))?;
            if let Some(line) = lines.last_mut() {
                line.bars.push(bar);
            }
        }
        sections.push(section(run, lines));
    }
    Ok(sections)
}

/// What changes with the first chord of a bar.
fn changes(slots: &[SlotJson<'_>]) -> Result<LineChanges, NotVoiced> {
    let Some(first) = slots.first() else {
        return Ok(LineChanges::NONE);
    };
    let key = first
        .key
        .as_ref()
        .map(|key| key.parse().map_err(|_| wrong(key, "a key")));
    Ok(LineChanges {
        key: key.transpose()?,
        tempo: first.tempo,
        meter: None,
    })
}

fn line(changes: LineChanges) -> Line {
    Line {
        changes,
        bars: Vec::new(),
        remarks: std::collections::BTreeMap::new(),
    }
}

fn section(run: &[SlotJson<'_>], mut lines: Vec<Line>) -> Section {
    let name = run.first().map(|slot| slot.section.clone());
    lines.iter_mut().for_each(with_rests);
    Section {
        name: name.filter(|name| !name.is_empty()).map(Cow::into_owned),
        remarks: Remarks::default(),
        lines,
        span: Span::default(),
    }
}

/// Either every bar of a line has a melody or none has.
fn with_rests(line: &mut Line) {
    if line.bars.iter().all(|bar| bar.melody.is_none()) {
        return;
    }
    for bar in &mut line.bars {
        let rest = rest(Beats::whole(i64::from(bar.beats)));
        bar.melody.get_or_insert_with(|| vec![rest]);
    }
}

fn bar(slots: &[SlotJson<'_>], number: usize) -> Result<Bar, NotVoiced> {
    let mut end = Beats::whole(1);
    let (mut cells, mut hand) = (Vec::new(), Vec::new());
    for slot in slots {
        if slot.bar != number {
            return refuse(format!(
                "bars are numbered from 1, and this is {}",
                slot.bar
            ));
        }
        if beats(&slot.beat)? != end {
            return refuse(format!(
                "{} on beat {} does not follow at once on the chord before it",
                slot.symbol, slot.beat
            ));
        }
        let lasts = beats(&slot.beats)?;
        end = end + lasts;
        cells.push(cell(slot, lasts)?);
        hand.push(wish(slot)?);
    }
    let length = whole_beats(end)?;
    Ok(Bar {
        melody: melody(slots, end)?,
        hand: Some(hand),
        ..Bar::of(length, Chords::Written(cells))
    })
}

fn whole_beats(end: Beats) -> Result<u8, NotVoiced> {
    let length = u8::try_from(end.numerator() - 1).ok();
    let whole = length.filter(|length| *length > 0 && end.denominator() == 1);
    whole.ok_or_else(|| NotVoiced::new("its chords do not fill whole beats".to_owned()))
}

fn beats(told: &Told<Beats>) -> Result<Beats, NotVoiced> {
    let read = told.value().filter(|beats| *beats > Beats::ZERO);
    read.ok_or_else(|| wrong(told, "a number of beats"))
}

fn cell(slot: &SlotJson<'_>, beats: Beats) -> Result<Cell, NotVoiced> {
    let symbol = Symbol::read(&slot.symbol);
    let symbol = symbol.map_err(|_| wrong(&slot.symbol, "a chord symbol"))?;
    Ok(Cell {
        symbol: Arc::new(symbol),
        slashes: 0,
        beats,
        held: slot.held,
        span: Span::default(),
    })
}

fn wish(slot: &SlotJson<'_>) -> Result<Wish, NotVoiced> {
    let Some(voicing) = slot.voicing.as_ref().and_then(Fragment::value) else {
        return Ok(Wish::Silent);
    };
    let notes = voicing.notes.iter().map(|note| key(&note.name, note.midi));
    let notes: Arc<[Note]> = notes.collect::<Result<_, _>>()?;
    let rising = notes.is_sorted_by(|low, high| low.pitch() < high.pitch());
    if notes.is_empty() || notes.len() > MOST_NOTES_OF_A_HAND || !rising {
        return refuse(format!(
            "{}: a voicing has from 1 to {MOST_NOTES_OF_A_HAND} notes, each higher than the one before",
            slot.symbol
        ));
    }
    Ok(Wish::Given(notes))
}

/// A note whose name and number say the same.
fn key(name: &Told<Note>, midi: u8) -> Result<Note, NotVoiced> {
    let note = name.value().ok_or_else(|| wrong(name, "a note"))?;
    let pitch = note.pitch().map(|pitch| pitch.midi());
    if pitch == Some(midi) {
        return Ok(note);
    }
    refuse(format!("{name} is not the key with the number {midi}"))
}

/// The melody of a bar: what its slots hear, each note once, the gaps filled with rests.
fn melody(slots: &[SlotJson<'_>], end: Beats) -> Result<Option<Vec<Event>>, NotVoiced> {
    let mut heard = Vec::new();
    for note in slots.iter().flat_map(|slot| &slot.melody) {
        let from = beats(&note.beat)?;
        let note_of_bar = event(Some(key(&note.name, note.midi)?), beats(&note.beats)?);
        let tied = note.tied;
        heard.push((
            from,
            Event {
                tied,
                ..note_of_bar
            },
        ));
    }
    if heard.is_empty() {
        return Ok(None);
    }
    heard.sort_by_key(|(from, ..)| *from);
    heard.dedup();
    let mut events = Vec::new();
    let mut now = Beats::whole(1);
    for (from, note) in heard {
        if from < now || from + note.beats > end {
            return refuse(format!(
                "the melody's note on beat {from} overlaps its neighbours"
            ));
        }
        events.extend((from > now).then(|| rest(from - now)));
        now = from + note.beats;
        events.push(note);
    }
    events.extend((end > now).then(|| rest(end - now)));
    Ok(Some(events))
}

fn rest(beats: Beats) -> Event {
    event(None, beats)
}

fn event(note: Option<Note>, beats: Beats) -> Event {
    Event {
        note,
        beats,
        tied: false,
        span: Span::default(),
    }
}
