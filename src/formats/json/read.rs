//! Reads the JSON of a voiced chart back: the other end of [`crate::formats::json()`].
//!
//! The page comes back as bars of chords with the left hand and the melody under them. What the JSON
//! does not say, comments, repeats and jumps, does not come back: instead of them [`ChartFromJson::played`]
//! says in which order the slots are played.

use std::fmt;
use std::sync::Arc;

use super::types::{FORMAT, SlotJson, Told, VERSION, VoicedChart};
use crate::chart::{
    Bar, Beats, Cell, Chart, Chords, Entry, Event, Field, Header, Line, LineChanges, Remarks,
    Section, Span, Wish,
};
use crate::chord::Symbol;
use crate::pitch::Note;

/// A chart from JSON.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChartFromJson {
    /// The page, every voicing given and every silence written.
    pub chart: Chart,
    /// The slots in played order, by their place among [`Chart::slots`].
    pub played: Vec<usize>,
    /// What the chart waives, as [`crate::check::waivers`] says it.
    pub waivers: Vec<String>,
}

/// Why a text is no voiced chart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotVoiced(String);

impl fmt::Display for NotVoiced {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for NotVoiced {}

/// The most notes a hand has, as in chart text.
const MOST_NOTES: usize = 10;

/// The voiced chart in one object of JSON.
///
/// ```
/// use compline::arrange::{Settings, arrange};
/// use compline::{chart, formats};
///
/// let chart = chart::read("title: Back Again\n|: Dm7 | G7 :|\nmel | F4:4 | r:4 |").unwrap();
/// let arrangement = arrange(chart, &Settings::default(), &mut Default::default()).unwrap();
/// let json = formats::json(&arrangement, &formats::Style::default());
/// let voiced = formats::read_voiced(&json).unwrap();
/// assert_eq!(voiced.played, [0, 1, 0, 1]);
/// assert_eq!(voiced.chart.slots()[0].melody[0].midi(), 65);
/// ```
///
/// # Errors
///
/// The first thing in which the text is no voiced chart of version 2.
pub fn read_voiced(text: &str) -> Result<ChartFromJson, NotVoiced> {
    let json: VoicedChart = serde_json::from_str(text).map_err(|why| not_json(&why))?;
    if json.format != FORMAT || json.version != VERSION {
        let (format, version) = (&json.format, json.version);
        return refuse(format!(
            "this is `{format}`, version {version}, and not `{FORMAT}`, version {VERSION}"
        ));
    }
    if json.slots.is_empty() {
        return refuse("a chart has at least one slot".to_owned());
    }
    if let Some(at) = json.played.iter().find(|at| **at >= json.slots.len()) {
        return refuse(format!("slot {at} is played, and there is none"));
    }
    let mut chart = Chart {
        header: header(&json)?,
        sections: sections(&json.slots)?,
        below: Vec::new(),
    };
    chart.untie_loose();
    Ok(ChartFromJson {
        chart,
        played: json.played,
        waivers: json.waivers,
    })
}

fn refuse<T>(why: String) -> Result<T, NotVoiced> {
    Err(NotVoiced(why))
}

fn not_json(why: &serde_json::Error) -> NotVoiced {
    let said = why.to_string();
    let said = said.split(" at line ").next().unwrap_or_default();
    NotVoiced(format!("column {}: {said}", why.column()))
}

fn header(json: &VoicedChart) -> Result<Header, NotVoiced> {
    let mut fields = Vec::new();
    fields.extend(json.title.clone().map(Field::Title));
    if let Some(key) = &json.key {
        let read = key.parse().map_err(|_| wrong(key, "a key"))?;
        fields.push(Field::Key(read));
    }
    if let Some(spelling) = &json.spelling {
        let read = spelling.parse();
        let read = read.map_err(|_| wrong(spelling, "practical or strict"))?;
        fields.push(Field::Spelling(read));
    }
    if let Some(meter) = &json.meter {
        let read = meter.parse().map_err(|_| wrong(meter, "a meter"))?;
        fields.push(Field::Meter(read));
    }
    fields.extend(json.tempo.map(Field::Tempo));
    let entries = fields.into_iter().map(|field| Entry {
        field,
        remarks: Remarks::default(),
        span: Span::default(),
    });
    Ok(Header {
        entries: entries.collect(),
    })
}

fn wrong(text: impl fmt::Display, what: &str) -> NotVoiced {
    NotVoiced(format!("`{text}` is not {what}"))
}

/// A section for each run of slots with one section name, a bar for each run with one bar number.
fn sections(slots: &[SlotJson]) -> Result<Vec<Section>, NotVoiced> {
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
            let bar = bar(slots, number).map_err(|NotVoiced(why)| in_bar(number, &why))?;
            if let Some(line) = lines.last_mut() {
                line.bars.push(bar);
            }
        }
        sections.push(section(run, lines));
    }
    Ok(sections)
}

fn in_bar(bar: usize, why: &str) -> NotVoiced {
    NotVoiced(format!("bar {bar}: {why}"))
}

/// What changes with the first chord of a bar.
fn changes(slots: &[SlotJson]) -> Result<LineChanges, NotVoiced> {
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

fn section(run: &[SlotJson], mut lines: Vec<Line>) -> Section {
    let name = run.first().map(|slot| slot.section.clone());
    lines.iter_mut().for_each(with_rests);
    Section {
        name: name.filter(|name| !name.is_empty()),
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

fn bar(slots: &[SlotJson], number: usize) -> Result<Bar, NotVoiced> {
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
    whole.ok_or_else(|| NotVoiced("its chords do not fill whole beats".to_owned()))
}

fn beats(told: &Told<Beats>) -> Result<Beats, NotVoiced> {
    let read = told.value().filter(|beats| *beats > Beats::ZERO);
    read.ok_or_else(|| wrong(told, "a number of beats"))
}

fn cell(slot: &SlotJson, beats: Beats) -> Result<Cell, NotVoiced> {
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

fn wish(slot: &SlotJson) -> Result<Wish, NotVoiced> {
    let Some(voicing) = &slot.voicing else {
        return Ok(Wish::Silent);
    };
    let notes = voicing.notes.iter().map(|note| key(&note.name, note.midi));
    let notes: Vec<Note> = notes.collect::<Result<_, _>>()?;
    let rising = notes.is_sorted_by(|low, high| low.pitch() < high.pitch());
    if notes.is_empty() || notes.len() > MOST_NOTES || !rising {
        return refuse(format!(
            "{}: a voicing has from 1 to {MOST_NOTES} notes, each higher than the one before",
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
fn melody(slots: &[SlotJson], end: Beats) -> Result<Option<Vec<Event>>, NotVoiced> {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arrange::{Cache, Settings, arrange};
    use crate::formats::{Style, json};

    const CHART: &str = "title: Low Water\nkey: Eb\nspelling: strict\nmeter: 3/4\n| Dm7 G7 / | 4/4 Cm7 F7 |\n\
                         mel | r:3/2 G4:3/2- | G4:3 r:1 |\n[B]\n| N.C. | Ebmaj7 |\nlh | - | G3.Bb3.D4 |\n";

    fn written() -> String {
        let chart = crate::chart::read(CHART).unwrap();
        let planned = arrange(chart, &Settings::default(), &mut Cache::default()).unwrap();
        json(&planned, &Style::default())
    }

    #[test]
    fn the_home_key_is_told_as_given_or_found() {
        for (key, home) in [
            ("key: Eb\n", r#""home":{"key":"Eb","how":"given"}"#),
            ("", r#""home":{"key":"F","how":"found"}"#),
        ] {
            let chart = crate::chart::read(&format!("{key}| Gm7 | C7 | Fmaj7 |\n")).unwrap();
            let planned = arrange(chart, &Settings::default(), &mut Cache::default()).unwrap();
            let written = json(&planned, &Style::default());
            assert!(written.contains(home), "{written}");
        }
    }

    #[test]
    fn what_is_written_is_read_back_slot_for_slot() {
        let chart = crate::chart::read(CHART).unwrap();
        let voiced = read_voiced(&written()).unwrap();
        assert_eq!(voiced.played, [0, 1, 2, 3, 4, 5]);
        assert_eq!(voiced.chart.title(), Some("Low Water"));
        assert_eq!(voiced.chart.key(), chart.key());
        assert_eq!(voiced.chart.meter(), chart.meter());
        assert_eq!(
            voiced.chart.header.spelling(),
            Some(crate::pitch::Spelling::Strict)
        );
        for (read, written) in voiced.chart.slots().iter().zip(chart.slots()) {
            assert_eq!(read.section, written.section);
            assert_eq!(
                (read.bar, read.beat, read.beats),
                (written.bar, written.beat, written.beats)
            );
            assert_eq!(read.symbol, written.symbol);
            assert_eq!(read.melody_notes, written.melody_notes);
            assert!(matches!(read.wish, Wish::Given(_) | Wish::Silent));
        }
    }

    #[test]
    fn what_is_no_voiced_chart_is_told() {
        let good = written();
        for (from, to, said) in [
            ("compline-voiced", "compline-other", "`compline-other`"),
            ("\"version\":2", "\"version\":3", "version 3"),
            ("\"key\":\"Eb\"", "\"key\":\"H\"", "`H` is not a key"),
            (
                "\"symbol\":\"Cm7\"",
                "\"symbol\":\"Zm7\"",
                "bar 2: `Zm7` is not a chord symbol",
            ),
            ("\"bar\":2", "\"bar\":7", "this is 7"),
            (
                "\"beat\":\"3\"",
                "\"beat\":\"9\"",
                "does not follow at once",
            ),
            ("\"played\":[0", "\"played\":[77", "slot 77 is played"),
            (
                "\"midi\":55",
                "\"midi\":56",
                "is not the key with the number 56",
            ),
            ("\"slots\":[", "\"slots\":[{", "column"),
            ("\"slots\":", "\"slits\":", "missing field `slots`"),
        ] {
            assert!(good.contains(from), "{from}");
            let why = read_voiced(&good.replacen(from, to, 1))
                .unwrap_err()
                .to_string();
            assert!(why.contains(said), "{from}: {why}");
        }
        for text in ["", "{", "[]", "null", "{}", "\u{0}"] {
            assert!(read_voiced(text).is_err(), "{text}");
        }
    }
}
