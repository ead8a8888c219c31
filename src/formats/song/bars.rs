//! Makes a chart of a song.

use std::sync::Arc;

use num_rational::Ratio;

use super::cells::{PlacedSymbol, cells};
use super::mend::mend;
use super::meters::{filled_up, meter_of};
use super::playable::{take_all, take_out};
use super::{Song, SongBar, clean, hand, header_value, melody};
use crate::chart::{
    Bar, Chart, Chords, Closing, Diagnostic, Entry, Field, Header, Line, LineChanges, Marked,
    Meter, Opening, Played, Remarks, RespelledKeys, Section, Span, read,
};
use crate::chord::Symbol;
use crate::formats::report::{LossReport, ODD_BARS, ODD_TEMPI, TIES, UNREAD_CHORDS};
use crate::pitch::Key;
use crate::score::Quarters;

/// The chart of a song, its text in the standard layout, and what could not be carried over.
///
/// # Errors
///
/// What the chart language can't hold: too many bars, for instance.
pub fn into_chart(mut song: Song) -> Result<(Chart, String, LossReport), Vec<Diagnostic>> {
    mend(&mut song);
    // Each round takes out at least one sign, and the last one all that are left.
    for round in (0..=ROUNDS).rev() {
        let (chart, text, report) = made(&song)?;
        let problem = chart
            .play_order()
            .err()
            .and_then(|problems| problems.into_iter().next());
        match problem.filter(|_| has_signs(&song)) {
            Some(_) if round == 0 => take_all(&mut song),
            Some(problem) => take_out(&mut song, &chart, &problem),
            None => return Ok((chart, text, report)),
        }
    }
    made(&song)
}

/// So many signs that can't be followed are taken out one by one; where there are more, the page means
/// nothing anyway.
const ROUNDS: usize = 50;

fn made(song: &Song) -> Result<(Chart, String, LossReport), Vec<Diagnostic>> {
    let mut report = song.report.clone();
    let chart = Maker::new(song, &mut report).chart();
    let text = chart.tidy();
    Ok((read(&text)?, text, report))
}

/// Whether anything in a song leads a player elsewhere than on.
fn has_signs(song: &Song) -> bool {
    let leads = |bar: &SongBar| {
        let repeats = bar.opens_repeat || bar.closes_repeat.is_some();
        repeats || !bar.endings.is_empty() || !bar.jumps.is_empty()
    };
    !song.play.is_empty() || song.bars.iter().any(leads)
}

struct Maker<'a> {
    song: &'a Song,
    report: &'a mut LossReport,
    has_melody: bool,
    has_hand: bool,
    /// The meter of the header.
    first: Meter,
    /// The meter in force in the chart.
    meter: Meter,
    /// The key in force.
    key: Option<Key>,
    /// The tempo in force, in quarter notes a minute.
    tempo: Option<Quarters>,
    /// The chord that sounds on.
    sounding: Arc<Symbol>,
    /// What sounded before the first of some endings.
    before_endings: Option<Arc<Symbol>>,
    /// What a `%` would repeat: one chord alone, and its beats.
    alone: Option<(Arc<Symbol>, u8)>,
}

impl<'a> Maker<'a> {
    fn new(song: &'a Song, report: &'a mut LossReport) -> Self {
        let has = |what: fn(&SongBar) -> bool| song.bars.iter().any(what);
        let full = song
            .bars
            .iter()
            .find(|bar| bar.length == Quarters::of_bar(bar.meter));
        let first = full
            .or(song.bars.first())
            .map_or(Meter::COMMON, |bar| bar.meter);
        Self {
            has_melody: has(|bar| !bar.melody.is_empty()),
            has_hand: has(|bar| !bar.hand.is_empty()),
            key: song.key,
            tempo: song.tempo,
            song,
            report,
            first,
            meter: first,
            sounding: Arc::new(Symbol::NoChord),
            before_endings: None,
            alone: None,
        }
    }

    fn chart(mut self) -> Chart {
        let header = self.header();
        let mut sections: Vec<Section> = Vec::new();
        let song = self.song;
        for bar in &song.bars {
            if bar.section.is_some() || sections.is_empty() {
                sections.push(section(bar.section.as_deref()));
            }
            let changes = self.changes(bar);
            if !changes.is_empty() {
                // What changes is written out once more.
                self.alone = None;
            }
            let made = self.bar(bar);
            if let Some(section) = sections.last_mut() {
                if !changes.is_empty() || section.lines.is_empty() {
                    section.lines.push(line(changes));
                }
                section
                    .lines
                    .last_mut()
                    .into_iter()
                    .for_each(|line| line.bars.push(made.clone()));
            }
        }
        let mut chart = Chart {
            header,
            sections,
            below: Vec::new(),
            respelled_keys: RespelledKeys::default(),
        };
        self.untie(&mut chart);
        chart
    }

    /// Takes away the ties that lead nowhere, and counts them.
    fn untie(&mut self, chart: &mut Chart) {
        let ties = |bar: &Bar| {
            bar.melody
                .iter()
                .flatten()
                .filter(|event| event.tied)
                .count()
        };
        let before: Vec<usize> = chart.bars().map(ties).collect();
        chart.untie_loose();
        for ((before, bar), song) in before.iter().zip(chart.bars()).zip(&self.song.bars) {
            self.report.add_many(TIES, before - ties(bar), &song.place);
        }
    }

    fn header(&mut self) -> Header {
        let song = self.song;
        let mut fields: Vec<Field> = Vec::new();
        let title = song
            .title
            .as_deref()
            .map(header_value)
            .filter(|t| !t.is_empty());
        fields.extend(title.map(Field::Title));
        fields.extend(song.key.map(Field::Key));
        fields.push(Field::Meter(self.first));
        let tempo = song.tempo.and_then(|tempo| self.in_beats(tempo, "header"));
        fields.extend(tempo.map(Field::Tempo));
        if !song.play.is_empty() {
            let names = song.play.iter().map(|name| Played {
                name: clean(name),
                span: Span::default(),
            });
            fields.push(Field::Play(names.collect()));
        }
        for (name, value) in &song.remarks {
            let (name, value) = (remark_name(name), header_value(value));
            let known = Field::KNOWN.contains(&name.as_str());
            if !known && !name.is_empty() && !value.is_empty() {
                fields.push(Field::Other { name, value });
            }
        }
        let entries = fields.into_iter().map(|field| Entry {
            field,
            remarks: Remarks::default(),
            span: Span::default(),
        });
        Header {
            entries: entries.collect(),
        }
    }

    /// Beats a minute of the meter in force, as near as a whole number comes.
    fn in_beats(&mut self, tempo: Quarters, place: &str) -> Option<u32> {
        let beats = (tempo.ratio() / self.meter.quarters_in_beat().ratio()).round();
        let beats = u32::try_from(beats.to_integer()).ok();
        let beats = beats.filter(|beats| Header::TEMPI.contains(beats));
        if beats.is_none() {
            self.report.add(ODD_TEMPI, place);
        }
        beats
    }

    /// What changes with a bar.
    fn changes(&mut self, bar: &SongBar) -> LineChanges {
        let full = bar.length == Quarters::of_bar(bar.meter);
        let meter = (full && bar.meter != self.meter).then_some(bar.meter);
        self.meter = meter.unwrap_or(self.meter);
        let key = bar.key.filter(|key| self.key != Some(*key));
        self.key = key.or(self.key);
        let tempo = bar.tempo.filter(|tempo| self.tempo != Some(*tempo));
        self.tempo = tempo.or(self.tempo);
        LineChanges {
            key,
            meter,
            tempo: tempo.and_then(|tempo| self.in_beats(tempo, &bar.place)),
        }
    }

    fn bar(&mut self, bar: &SongBar) -> Bar {
        let meter = self.meter_of(bar);
        let beats = meter.beats_in_bar();
        self.start_ending(&bar.endings);
        let fresh = bar.section.is_some() || !bar.endings.is_empty() || bar.opens_repeat;
        let (chords, written) = self.chords(bar, meter, fresh);
        let mut made = Bar::of(beats, chords);
        made.meter = (meter != self.meter).then_some(meter);
        made.opens = Opening {
            repeat: bar.opens_repeat,
            endings: bar.endings.clone(),
            span: Span::default(),
        };
        made.closes = Closing {
            repeat: bar.closes_repeat,
            stroke: bar.stroke,
            span: Span::default(),
        };
        made.jumps = bar
            .jumps
            .iter()
            .map(|jump| Marked {
                jump: *jump,
                span: Span::default(),
            })
            .collect();
        let length = Quarters::of_bar(meter);
        if self.has_melody {
            let events = melody::events(&bar.melody, (length, meter), self.report, &bar.place);
            made.melody = Some(events);
        }
        if self.has_hand {
            let wishes = hand::wishes(&bar.hand, &written, meter, self.report, &bar.place);
            made.hand = Some(wishes);
        }
        made
    }

    fn meter_of(&mut self, bar: &SongBar) -> Meter {
        // A bar of the meter in force needs no sign of its own.
        let usual = if bar.length == Quarters::of_bar(self.meter) {
            self.meter
        } else {
            bar.meter
        };
        meter_of(bar.length, usual).unwrap_or_else(|| {
            self.report.add(ODD_BARS, &bar.place);
            meter_of(filled_up(bar.length), usual).unwrap_or(usual)
        })
    }

    /// In every ending what sounded before the first of them sounds on.
    fn start_ending(&mut self, passes: &[u8]) {
        if passes.contains(&1) {
            self.before_endings = Some(Arc::clone(&self.sounding));
        } else if let (Some(before), false) = (&self.before_endings, passes.is_empty()) {
            self.sounding = Arc::clone(before);
        }
    }

    /// The chords of a bar, and the same with a `%` resolved.
    fn chords(
        &mut self,
        bar: &SongBar,
        meter: Meter,
        fresh: bool,
    ) -> (Chords, Vec<crate::chart::Cell>) {
        let beats = meter.beats_in_bar();
        let placed = self.placed(bar, meter);
        let cells = cells(&placed, beats, self.report, &bar.place);
        let again = match (&self.alone, cells.as_slice()) {
            (Some((symbol, had)), [one]) => {
                !fresh && bar.chords.is_empty() && one.symbol == *symbol && *had == beats
            }
            _ => false,
        };
        self.alone = match cells.as_slice() {
            [one] => Some((Arc::clone(&one.symbol), beats)),
            _ => None,
        };
        if let Some(last) = cells.last() {
            self.sounding = Arc::clone(&last.symbol);
        }
        match again {
            true => (Chords::Again, cells),
            false => (Chords::Written(cells.clone()), cells),
        }
    }

    /// The symbols that can be read with the beats they stand on; what sounds on from before comes first.
    fn placed(&mut self, bar: &SongBar, meter: Meter) -> Vec<PlacedSymbol> {
        let end = Quarters::of_bar(meter);
        let mut read: Vec<(Quarters, Arc<Symbol>)> = Vec::new();
        for (at, text) in bar.chords.iter().filter(|(at, _)| *at < end) {
            match Symbol::read(text) {
                Ok(symbol) => read.push((*at, Arc::new(symbol))),
                Err(_) => {
                    let place = format!("{}, `{}`", bar.place, clean(text));
                    self.report.add(UNREAD_CHORDS, &place);
                }
            }
        }
        // A file may write one voice after the other.
        read.sort_by_key(|(at, _)| *at);
        if read.first().is_none_or(|(at, _)| *at > Quarters::ZERO) {
            read.insert(0, (Quarters::ZERO, Arc::clone(&self.sounding)));
        }
        spread(read, end)
            .into_iter()
            .map(|(at, symbol)| (at.in_beats(meter), symbol))
            .collect()
    }
}

/// Rising symbols that stand at one place share the time up to the next one.
fn spread(chords: Vec<(Quarters, Arc<Symbol>)>, end: Quarters) -> Vec<(Quarters, Arc<Symbol>)> {
    let runs: Vec<&[(Quarters, Arc<Symbol>)]> = chords.chunk_by(|a, b| a.0 == b.0).collect();
    let starts: Vec<Quarters> = runs.iter().filter_map(|run| Some(run.first()?.0)).collect();
    let ends = starts.iter().skip(1).copied().chain([end]);
    let mut placed = Vec::new();
    for ((run, start), end) in runs.iter().zip(&starts).zip(ends) {
        let count = i64::try_from(run.len()).unwrap_or(1).max(1);
        let share = (end - *start) * Ratio::new(1, count);
        for (number, (_, symbol)) in (0..).zip(run.iter()) {
            placed.push((*start + share * Ratio::from(number), Arc::clone(symbol)));
        }
    }
    placed
}

/// A header line's name as a chart can hold it.
fn remark_name(name: &str) -> String {
    let kept = |c: &char| c.is_ascii_alphanumeric() || *c == '-';
    let name: String = clean(name)
        .to_lowercase()
        .replace(' ', "-")
        .chars()
        .filter(kept)
        .collect();
    name.trim_start_matches(|c: char| !c.is_ascii_alphabetic())
        .to_owned()
}

fn section(name: Option<&str>) -> Section {
    Section {
        name: name.map(str::to_owned),
        remarks: Remarks::default(),
        lines: Vec::new(),
        span: Span::default(),
    }
}

fn line(changes: LineChanges) -> Line {
    Line {
        changes,
        bars: Vec::new(),
        remarks: std::collections::BTreeMap::new(),
    }
}
