//! Reads the chart language: lines first, then bars, then what stands in them.
//!
//! The language is line by line and bar by bar, and so is its reader: after a mistake it goes on
//! with the next bar, so that a musician sees every mistake at once. The work grows in proportion
//! to the text, whatever the text is, and nothing in it calls itself.

mod barline;
mod chord_line;
mod chords;
mod finish;
mod hand;
mod header;
mod kind;
mod melody;
mod misplaced;
mod parts;
mod percent_sign;
mod problems;
mod remembered;
mod repeats;
mod rows;
mod symbols;
mod text;
mod ties;
mod unreadable;
mod voicing;
mod wishes;
mod words;

use self::kind::LineKind;
use self::misplaced::{
    behind_heading, given_twice, late_header, open_heading, row_twice, row_without_chords,
    unknown_row,
};
use self::problems::Problems;
use self::text::Text;
use self::unreadable::unreadable;
use super::remark::is_remark;
use super::sizes::{MOST_EVENTS, MOST_LINES};
use super::{
    Cell, Chart, Diagnostic, Diagnostics, Entry, Field, Header, Line, LineChanges, LineRow, Meter,
    Opening, Remarks, RespelledKeys, Section, Span,
};

pub(super) use self::finish::fold;

/// How many bars a line of the standard layout has at most.
pub(super) const BARS_IN_A_LINE: usize = 4;

/// Reads a chart.
///
/// The lines of the result have at most four bars: longer ones are folded, as the standard layout
/// folds them.
///
/// # Errors
///
/// Every mistake in the text, in its order; after a hundred the rest are only counted.
///
/// ```
/// let chart = compline::chart::read("key: Eb\n[A]\n| Fm7 | Bb7 | Ebmaj7 | % |").unwrap();
/// assert_eq!(chart.key().unwrap().to_string(), "Eb");
/// assert_eq!(chart.slots().len(), 4);
///
/// let problems = compline::chart::read("| Fm7 | C D E | X7 |").unwrap_err();
/// assert_eq!(problems.len(), 2);
/// assert_eq!(problems[0].message, "3 chords cannot share 4 beats equally");
/// assert_eq!(problems[0].span, 8..13);
/// ```
pub fn read(source: &str) -> Result<Chart, Diagnostics> {
    if let Some(problem) = unreadable(source) {
        return Err(vec![problem].into());
    }
    let mark = if source.starts_with('\u{feff}') { 3 } else { 0 };
    Ok(ChartReader::default().read(Text::new(source, 0).split_at(mark).1)?)
}

/// Reads a chart from the bytes of a file.
///
/// # Errors
///
/// As [`read`]; and one problem, at the byte in question, when the bytes are not UTF-8 text.
pub fn read_bytes(source: &[u8]) -> Result<Chart, Diagnostics> {
    let text = std::str::from_utf8(source).map_err(|error| {
        let at = error.valid_up_to();
        let message = format!("this is not a text file: byte {at} is not UTF-8");
        vec![Diagnostic::error(at..at, message, "text").help("save the chart as UTF-8 text")]
    })?;
    read(text)
}

fn too_much_melody(label: Text<'_>) -> Diagnostic {
    let message = format!("more than {MOST_EVENTS} notes and rests in the melody");
    Diagnostic::error(label.range(), message, "a shorter chart")
}

/// A bar's place: section, line, bar.
type At = (usize, usize, usize);

/// What has been read so far.
#[derive(Debug, Default)]
struct ChartReader<'a> {
    header: Header,
    sections: Vec<Section>,
    problems: Problems,
    /// Comments that wait for what they stand above.
    comments: Vec<String>,
    /// The value of the `play` line.
    play: Option<Text<'a>>,
    /// The meter in force.
    meter: Option<Meter>,
    /// `key:`, `meter:` and `tempo:` lines that wait for their chord line, and the first of them.
    changes: LineChanges,
    changed: Option<Text<'a>>,
    respelled_keys: RespelledKeys,
    /// What the last bar line opens, for a bar still to come.
    opening: Opening,
    /// The last bar.
    last: Option<At>,
    /// The last bar whose chords are written out: what `%` repeats.
    written: Option<At>,
    /// The same, before the current line.
    written_before: Option<At>,
    /// Whether labelled rows can follow: a chord line stands above.
    in_line: bool,
    lines: usize,
    bars: usize,
    chords: usize,
    /// How many notes and rests the melody has, bar lines counted as well.
    events: usize,
    /// How many chords `%` repeats.
    chords_again: usize,
    /// The chart has more than is read.
    full: bool,
}

impl<'a> ChartReader<'a> {
    fn read(mut self, source: Text<'a>) -> Result<Chart, Vec<Diagnostic>> {
        for line in text::lines(source) {
            self.line(line);
            if self.full {
                break;
            }
        }
        self.finish(source)
    }

    fn finish(mut self, source: Text<'a>) -> Result<Chart, Vec<Diagnostic>> {
        if let Some(line) = self.changed.filter(|_| !self.changes.is_empty()) {
            let message = "no bars follow this change";
            self.problems.add(Diagnostic::error(
                line.range(),
                message,
                "a line of chords below",
            ));
        }
        if self.opening.repeat || !self.opening.endings.is_empty() {
            let span = self.opening.span.range();
            let message = "nothing follows this bar line, which opens something";
            self.problems.add(Diagnostic::error(
                span,
                message,
                "a bar, or a plain bar line",
            ));
        }
        let (sections, below) = (self.sections, self.comments);
        let mut chart = Chart {
            header: self.header,
            sections,
            below,
            respelled_keys: self.respelled_keys,
        };
        if let Some(play) = self.play {
            finish::play(play, &mut chart, &mut self.problems);
        }
        finish::check(&chart, source, &mut self.problems);
        if self.problems.is_empty() {
            Ok(fold(chart, BARS_IN_A_LINE))
        } else {
            Err(self.problems.into_sorted())
        }
    }

    fn line(&mut self, line: Text<'a>) {
        self.count_line(line);
        if is_remark(line.text) {
            return;
        }
        let (line, beside) = text::comment(line);
        match kind::kind(line) {
            LineKind::Blank => self.comments.extend(beside),
            LineKind::Header { name, value } => self.header_line(line, name, value, beside),
            LineKind::Heading { name, behind } => self.heading(line, name, behind, beside),
            LineKind::OpenHeading => self.problems.add(open_heading(line)),
            LineKind::Bars { row, label, bars } => self.bars((row, label, bars), beside),
            LineKind::UnknownRow { label } => self.problems.add(unknown_row(label)),
        }
    }

    fn count_line(&mut self, line: Text<'a>) {
        self.lines += usize::from(!line.is_blank());
        if self.lines > MOST_LINES && !self.full {
            self.full = true;
            let message = format!("more than {MOST_LINES} lines");
            self.problems
                .add(Diagnostic::error(line.range(), message, "a shorter chart"));
        }
    }

    fn header_line(
        &mut self,
        line: Text<'a>,
        name: Text<'a>,
        value: Text<'a>,
        beside: Option<String>,
    ) {
        let Some(field) = header::field(name, value, &mut self.problems) else {
            return;
        };
        if let Field::Key(key) = field {
            self.respelled_keys.note(value.text, key, value.span());
        }
        if !self.sections.is_empty() {
            return self.late_header_line(line, name, field, beside);
        }
        let known = !matches!(field, Field::Other { .. });
        if known
            && self
                .header
                .entries
                .iter()
                .any(|e| e.field.name() == field.name())
        {
            return self.problems.add(given_twice(name));
        }
        match field {
            Field::Meter(meter) => self.meter = Some(meter),
            Field::Play(_) => self.play = Some(value),
            _ => {}
        }
        let remarks = self.remarks(beside);
        let span = value.span();
        self.header.entries.push(Entry {
            field,
            remarks,
            span,
        });
    }

    /// Below the first section or bar only key, meter and tempo can change.
    fn late_header_line(
        &mut self,
        line: Text<'a>,
        name: Text<'a>,
        field: Field,
        beside: Option<String>,
    ) {
        let Some(changes) = self.changes.with(&field) else {
            return self.problems.add(late_header(name));
        };
        self.comments.extend(beside);
        if self.changes.is_empty() {
            self.changed = Some(line);
        }
        self.changes = changes;
        self.meter = changes.meter.or(self.meter);
        self.in_line = false;
    }

    fn heading(
        &mut self,
        line: Text<'a>,
        name: Text<'a>,
        behind: Text<'a>,
        beside: Option<String>,
    ) {
        if name.text.is_empty() {
            self.problems.add(Diagnostic::error(
                line.range(),
                "a section without a name",
                "a name, such as [A]",
            ));
        }
        let has_bars = !behind.is_blank();
        let remarks = self.remarks(if has_bars { None } else { beside.clone() });
        self.sections.push(Section {
            name: Some(header::one_spaced(name.text)),
            remarks,
            lines: Vec::new(),
            span: Span::new(line.at..behind.at.max(line.at)),
        });
        self.in_line = false;
        if has_bars {
            match kind::kind(behind) {
                LineKind::Bars { row, label, bars } => self.bars((row, label, bars), beside),
                _ => self.problems.add(behind_heading(behind)),
            }
        }
    }

    fn bars(&mut self, row: (LineRow, Text<'a>, Text<'a>), beside: Option<String>) {
        if row.0 == LineRow::Chords {
            self.chord_line(row.2, beside);
        } else if !self.in_line {
            self.problems.add(row_without_chords(row.1));
        } else {
            self.labelled_row(row, beside);
        }
    }

    fn labelled_row(&mut self, row: (LineRow, Text<'a>, Text<'a>), beside: Option<String>) {
        let remarks = self.remarks(beside);
        let before = self
            .written_before
            .and_then(|at| self.cells(at).map(<[Cell]>::to_vec));
        let middle_c = self.header.middle_c();
        let Some(line) = self.sections.last_mut().and_then(|s| s.lines.last_mut()) else {
            return;
        };
        if has_row(line, row.0) {
            return self.problems.add(row_twice(row.1));
        }
        if row.0 == LineRow::Melody {
            self.events += row.2.words().count();
            if self.events > MOST_EVENTS {
                self.full = true;
                return self.problems.add(too_much_melody(row.1));
            }
        }
        if !remarks.is_empty() {
            line.remarks.insert(row.0, remarks);
        }
        rows::row(row, line, before.as_deref(), middle_c, &mut self.problems);
    }

    /// The comments that wait, and the one beside the line.
    fn remarks(&mut self, beside: Option<String>) -> Remarks {
        let above = std::mem::take(&mut self.comments);
        Remarks { above, beside }
    }

    fn cells(&self, (section, line, bar): At) -> Option<&[Cell]> {
        let bar = self.sections.get(section)?.lines.get(line)?.bars.get(bar)?;
        bar.chords.written()
    }
}

fn has_row(line: &Line, row: LineRow) -> bool {
    line.bars.first().is_some_and(|bar| bar.has(row))
}
