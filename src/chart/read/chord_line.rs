//! A chord line: its bars, and what the bar lines around them open and close.

use super::barline::BarLine;
use super::chords::{self, Contents};
use super::parts::{RowPart, parts};
use super::text::Text;
use super::{At, ChartReader, percent_sign};
use crate::chart::sizes::{MOST_BARS, MOST_CHORDS};
use crate::chart::{Bar, Chords, Closing, Diagnostic, Line, LineRow, Meter, Section, Span, Times};

impl<'a> ChartReader<'a> {
    /// Reads a chord line into a new line of the current section.
    pub(super) fn chord_line(&mut self, line: Text<'a>, beside: Option<String>) {
        self.open_line(beside);
        for part in parts(line) {
            match part {
                RowPart::Line(bar_line) => self.bar_line(bar_line),
                RowPart::Body(body) => self.bar(body),
            }
            if self.full {
                return;
            }
        }
        self.close_line(line);
    }

    fn open_line(&mut self, beside: Option<String>) {
        let remarks = self.remarks(beside);
        let mut line = Line {
            changes: std::mem::take(&mut self.changes),
            bars: Vec::new(),
            remarks: Default::default(),
        };
        if !remarks.is_empty() {
            line.remarks.insert(LineRow::Chords, remarks);
        }
        if self.sections.is_empty() {
            self.sections.push(nameless_section());
        }
        if let Some(section) = self.sections.last_mut() {
            section.lines.push(line);
        }
        self.in_line = true;
        self.written_before = self.written;
    }

    fn close_line(&mut self, line: Text<'a>) {
        let empty = self.current_line().is_some_and(|line| {
            line.bars.shrink_to_fit();
            line.bars.is_empty()
        });
        if empty {
            let problem = Diagnostic::error(
                line.range(),
                "there is no bar in this line",
                "bars of chords",
            );
            self.problems.add(problem);
        }
    }

    fn current_line(&mut self) -> Option<&mut Line> {
        self.sections.last_mut()?.lines.last_mut()
    }

    fn bar(&mut self, body: Text<'a>) {
        let meter = self.meter.unwrap_or(Meter::COMMON);
        let Contents {
            meter,
            beats,
            chords,
            jumps,
            music,
        } = chords::contents(body, meter, &mut self.problems);
        if chords == Some(Chords::Again) {
            let before = self.last.and_then(|at| self.bar_at(at));
            let before = before.map(|bar| bar.beats);
            self.problems
                .add_some(percent_sign::misplaced(music, before, beats));
        }
        let bar = Bar {
            opens: std::mem::take(&mut self.opening),
            meter,
            jumps,
            span: body.span(),
            ..Bar::of(beats, chords.unwrap_or(Chords::Written(Vec::new())))
        };
        self.push(bar, body);
    }

    fn push(&mut self, bar: Bar, body: Text<'a>) {
        self.bars += 1;
        let written = bar.chords.written().map(<[_]>::len);
        self.chords_again = written.unwrap_or(self.chords_again);
        self.chords += self.chords_again;
        let Some(at) = self.place_of_next() else {
            return;
        };
        if let Some(line) = self.current_line() {
            line.bars.push(bar);
        }
        self.last = Some(at);
        self.written = written.map_or(self.written, |_| Some(at));
        if self.bars > MOST_BARS || self.chords > MOST_CHORDS {
            self.full = true;
            self.problems.add(too_many(body));
        }
    }

    fn place_of_next(&self) -> Option<At> {
        let section = self.sections.len().checked_sub(1)?;
        let lines = &self.sections.get(section)?.lines;
        let line = lines.len().checked_sub(1)?;
        Some((section, line, lines.get(line)?.bars.len()))
    }

    fn bar_at(&self, (section, line, bar): At) -> Option<&Bar> {
        self.sections.get(section)?.lines.get(line)?.bars.get(bar)
    }

    /// Closes the bar before, wherever it stands, and remembers what is opened for the bar after.
    fn bar_line(&mut self, bar_line: BarLine<'a>) {
        let span = bar_line.text.span();
        if bar_line.sign.muddled {
            self.problems.add(muddled(bar_line.text));
            return;
        }
        let closing = self.closing(&bar_line, span);
        self.close_last(closing, bar_line.text);
        let opens = bar_line.sign.starts || bar_line.sign.endings.is_some();
        if opens {
            self.opening.span = span;
            self.opening.repeat |= bar_line.sign.starts;
        }
        if let Some(numbers) = bar_line.sign.endings {
            self.opening.endings = self.endings(numbers, bar_line.text);
        }
    }

    fn closing(&mut self, bar_line: &BarLine<'a>, span: Span) -> Closing {
        let sign = &bar_line.sign;
        let times = match sign.times.map(|digits| digits.parse::<u8>()) {
            None => Times::AsUsual,
            Some(Ok(times @ 2..=99)) => Times::Count(times),
            Some(_) => {
                self.problems.add(impossible_count(bar_line.text));
                Times::AsUsual
            }
        };
        Closing {
            repeat: sign.ends.then_some(times),
            stroke: sign.stroke,
            span,
        }
    }

    /// A bar line at the end of one line and another at the start of the next are one.
    fn close_last(&mut self, closing: Closing, text: Text<'a>) {
        let bar = self.last.and_then(|(section, line, bar)| {
            self.sections
                .get_mut(section)?
                .lines
                .get_mut(line)?
                .bars
                .get_mut(bar)
        });
        match bar {
            Some(bar) => join(&mut bar.closes, closing),
            None if closing.repeat.is_some() => self.problems.add(nothing_to_close(text)),
            None => {}
        }
    }

    fn endings(&mut self, numbers: &str, text: Text<'a>) -> Vec<u8> {
        expanded(numbers).unwrap_or_else(|| {
            self.problems.add(impossible_endings(text));
            Vec::new()
        })
    }
}

fn join(closes: &mut Closing, next: Closing) {
    let heavier = next.stroke > closes.stroke;
    if heavier || next.repeat.is_some() {
        closes.span = next.span;
    }
    closes.stroke = closes.stroke.max(next.stroke);
    closes.repeat = next.repeat.or(closes.repeat);
}

/// `1,3` or `1-3` as the numbers meant: rising, from 1 to 99.
fn expanded(numbers: &str) -> Option<Vec<u8>> {
    let mut all: Vec<u8> = Vec::new();
    for range in numbers.split(',') {
        let (first, last) = range.split_once('-').unwrap_or((range, range));
        let (first, last) = (first.parse::<u8>().ok()?, last.parse::<u8>().ok()?);
        let after = all.last().copied().unwrap_or(0);
        if first <= after || last < first || last > 99 {
            return None;
        }
        all.extend(first..=last);
    }
    Some(all)
}

fn nameless_section() -> Section {
    Section {
        name: None,
        remarks: Default::default(),
        lines: Vec::new(),
        span: Span::default(),
    }
}

fn too_many(body: Text<'_>) -> Diagnostic {
    let message = format!("more than {MOST_BARS} bars or {MOST_CHORDS} chords");
    Diagnostic::error(body.range(), message, "a shorter chart")
        .help("write a passage that comes again once, and use repeats or `play`")
}

fn muddled(text: Text<'_>) -> Diagnostic {
    let message = format!("`{}` is not a bar line", text.shown());
    Diagnostic::error(text.range(), message, "a bar line")
        .help("bar lines are | || |] |: :| :|: :|x3 |1 :|2 |1,3 |1-3")
}

fn impossible_count(text: Text<'_>) -> Diagnostic {
    Diagnostic::error(
        text.range(),
        "a repeat is played 2 to 99 times",
        "a count such as x3",
    )
}

fn nothing_to_close(text: Text<'_>) -> Diagnostic {
    Diagnostic::error(
        text.range(),
        "a repeat ends here, but there is no bar before it",
        "`|`",
    )
}

fn impossible_endings(text: Text<'_>) -> Diagnostic {
    let message = format!("`{}` does not number endings", text.shown());
    Diagnostic::error(
        text.range(),
        message,
        "numbers from 1 to 99 that rise, such as 1,3 or 1-3",
    )
}
