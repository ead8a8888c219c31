//! The note grid: keys from top to bottom, time from left to right, to be printed and put on the stand.
//!
//! Each voicing is a stack of bars of its length; each bar starts with the degree the note is in its
//! chord. The rows are the range of the hand (and whatever a given voicing adds), with middle C
//! marked; as many bars stand beside each other as the page is wide, by fours where it can be.

use std::fmt::Write;

use super::Style;
use super::summary::summary;
use crate::arrange::{Arranged, Arrangement};
use crate::chart::{Beats, MiddleC};
use crate::pitch::{Key, Note, Pitch};

/// How the grid is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GridStyle {
    /// The widest line, in columns.
    pub width: usize,
    /// ASCII characters only.
    pub ascii: bool,
}

impl Default for GridStyle {
    /// 96 columns: a page in portrait at ten points, or most terminals.
    fn default() -> Self {
        Self {
            width: 96,
            ascii: false,
        }
    }
}

/// Columns a beat takes, where its symbols and degrees fit.
const BEAT: i64 = 4;

/// Columns of the key names left of the first bar line.
const MARGIN: usize = 5;

/// The characters a grid is drawn with.
struct GridCharacters {
    held: char,
    white: char,
    black: char,
    line: char,
    middle: char,
    edge: char,
    corner: char,
}

const PRINTED: GridCharacters = GridCharacters {
    held: '━',
    white: ' ',
    black: '·',
    line: '│',
    middle: '╌',
    edge: '─',
    corner: '┼',
};

const TYPED: GridCharacters = GridCharacters {
    held: '=',
    white: ' ',
    black: '.',
    line: '|',
    middle: '-',
    edge: '-',
    corner: '+',
};

/// The note grid of an arrangement.
pub fn grid(arrangement: &Arrangement, style: &Style) -> String {
    let pen = if style.grid.ascii { &TYPED } else { &PRINTED };
    let keys = GridRows::of(arrangement);
    let mut page = heading(arrangement);
    let bars = bars(arrangement);
    let mut rest = bars.as_slice();
    while !rest.is_empty() {
        let count = fitting(rest, style.grid.width);
        let (system, later) = rest.split_at(count);
        page.push('\n');
        keys.draw(system, pen, &mut page);
        rest = later;
    }
    page.push('\n');
    let mut notes = summary(arrangement, style);
    notes.push(legend(pen));
    for note in notes {
        push_wrapped(&mut page, &note, style.grid.width);
    }
    page
}

fn heading(arrangement: &Arrangement) -> String {
    let chart = &arrangement.chart;
    let mut line = chart.title().unwrap_or("untitled").to_owned();
    if let Some(key) = chart.key() {
        let _ = write!(line, ", key {key}");
    }
    let _ = write!(line, ", {}", chart.meter());
    if let Some(tempo) = chart.tempo() {
        let _ = write!(line, ", tempo {tempo}");
    }
    line.push('\n');
    line
}

fn legend(pen: &GridCharacters) -> String {
    format!(
        "Each note starts with its degree and sounds while {} goes on; {} marks the black keys, {} \
         middle C. The lines above and below are the hand's range.",
        pen.held, pen.black, pen.middle
    )
}

/// A written bar with its slots and the columns each takes.
struct BarOfGrid<'a> {
    number: usize,
    /// Its number, the section that starts here, its signs.
    heading: String,
    slots: Vec<(&'a Arranged, usize)>,
}

impl BarOfGrid<'_> {
    /// Columns of the bar with the bar line before it.
    fn width(&self) -> usize {
        self.slots.iter().map(|(_, width)| width).sum::<usize>() + 1
    }

    /// Makes the last slot as wide as the heading wants it.
    fn fit_heading(&mut self) {
        let missing = (self.heading.chars().count() + 2).saturating_sub(self.width());
        if let Some((_, width)) = self.slots.last_mut() {
            *width += missing;
        }
    }
}

fn bars(arrangement: &Arrangement) -> Vec<BarOfGrid<'_>> {
    let mut bars: Vec<BarOfGrid<'_>> = Vec::new();
    let mut section = None;
    for arranged in &arrangement.slots {
        let slot = &arranged.slot;
        let width = columns(arranged);
        match bars.last_mut().filter(|bar| bar.number == slot.bar) {
            Some(bar) => bar.slots.push((arranged, width)),
            None => {
                let starts = section.replace(slot.place.section) != Some(slot.place.section);
                bars.push(BarOfGrid {
                    number: slot.bar,
                    heading: heading_of_bar(arrangement, arranged, starts),
                    slots: vec![(arranged, width)],
                });
            }
        }
    }
    bars.iter_mut().for_each(BarOfGrid::fit_heading);
    bars
}

/// The bar's number, its section's name where that starts, and what the player must follow: repeats,
/// endings and jumps, written as in the chart.
fn heading_of_bar(arrangement: &Arrangement, arranged: &Arranged, starts: bool) -> String {
    let slot = &arranged.slot;
    let mut words = vec![slot.bar.to_string()];
    if starts && !slot.section.is_empty() {
        words.push(format!("[{}]", slot.section));
    }
    if let Some(bar) = arrangement.chart.bar_at(slot.place) {
        words.extend(bar.signs());
    }
    words.join(" ")
}

/// As many columns as its length asks for, and enough for its symbol and its longest degree.
fn columns(arranged: &Arranged) -> usize {
    let symbol = arranged.slot.symbol.text().chars().count();
    let degrees = arranged
        .voicing
        .iter()
        .flat_map(|voicing| voicing.notes.iter());
    let degree = degrees.map(|note| note.degree.to_string().len()).max();
    length(arranged.slot.beats)
        .max(symbol + 1)
        .max(degree.unwrap_or(0) + 2)
}

fn length(beats: Beats) -> usize {
    let columns = (beats.ratio() * BEAT).ceil().to_integer();
    usize::try_from(columns).unwrap_or(0)
}

/// How many bars stand beside each other: a multiple of four where the page is wide enough, since
/// tunes go by fours, or else two, or one.
fn fitting(bars: &[BarOfGrid<'_>], width: usize) -> usize {
    let mut used = MARGIN + 1;
    let fit = bars
        .iter()
        .take_while(|bar| {
            used += bar.width();
            used <= width
        })
        .count();
    match fit {
        0 | 1 => 1,
        2 | 3 => fit.min(bars.len()).min(2),
        _ => fit - fit % 4,
    }
}

/// The rows of the grid, highest key first.
struct GridRows {
    rows: Vec<Pitch>,
    high: Pitch,
    low: Pitch,
    key: Option<Key>,
    middle_c: MiddleC,
}

impl GridRows {
    fn of(arrangement: &Arrangement) -> Self {
        let range = arrangement.settings.voicing.hand.range;
        let voicings = arrangement.slots.iter().filter_map(|s| s.voicing.as_ref());
        let sounding = || voicings.clone().flat_map(|voicing| voicing.pitches());
        let high = sounding()
            .max()
            .map_or(range.high(), |p| p.max(range.high()));
        let low = sounding().min().map_or(range.low(), |p| p.min(range.low()));
        Self {
            rows: (low.midi()..=high.midi())
                .rev()
                .filter_map(Pitch::new)
                .collect(),
            high: range.high(),
            low: range.low(),
            key: arrangement.chart.key(),
            middle_c: arrangement.chart.header.middle_c(),
        }
    }

    fn draw(&self, system: &[BarOfGrid<'_>], pen: &GridCharacters, page: &mut String) {
        push_line(page, &headings(system));
        push_line(page, &symbols(system, pen));
        for &row in &self.rows {
            if row == self.high {
                push_line(page, &edge(system, pen));
            }
            push_line(page, &self.row(row, system, pen));
            if row == self.low {
                push_line(page, &edge(system, pen));
            }
        }
    }

    fn row(&self, row: Pitch, system: &[BarOfGrid<'_>], pen: &GridCharacters) -> String {
        let mut line = format!("{:<MARGIN$}", self.name(row));
        let ground = ground(row, pen);
        for bar in system {
            line.push(pen.line);
            for (arranged, width) in &bar.slots {
                line.push_str(&cell(row, arranged, *width, ground, pen));
            }
        }
        line.push(pen.line);
        line
    }

    fn name(&self, row: Pitch) -> String {
        let name = self.key.map(|key| key.name_of(row.class()));
        let note = name.and_then(|name| Note::spelled(row, name));
        format!("{:>4}", self.middle_c.named(row, note))
    }
}

fn ground(row: Pitch, pen: &GridCharacters) -> char {
    if row == Pitch::MIDDLE_C {
        pen.middle
    } else if matches!(row.class().number(), 1 | 3 | 6 | 8 | 10) {
        pen.black
    } else {
        pen.white
    }
}

fn cell(
    row: Pitch,
    arranged: &Arranged,
    width: usize,
    ground: char,
    pen: &GridCharacters,
) -> String {
    let notes = arranged
        .voicing
        .iter()
        .flat_map(|voicing| voicing.notes.iter());
    let mut cell: String = match notes.clone().find(|note| note.pitch == row) {
        Some(note) => {
            let degree = note.degree.to_string();
            let held = width.saturating_sub(degree.len() + 1);
            let tail = std::iter::repeat_n(pen.held, held);
            degree.chars().chain(tail).collect()
        }
        None => String::new(),
    };
    let filled = cell.chars().count();
    cell.extend(std::iter::repeat_n(ground, width.saturating_sub(filled)));
    cell
}

fn headings(system: &[BarOfGrid<'_>]) -> String {
    let mut line = " ".repeat(MARGIN);
    for bar in system {
        let width = bar.width().saturating_sub(1);
        let _ = write!(line, " {:<width$}", bar.heading);
    }
    line
}

fn symbols(system: &[BarOfGrid<'_>], pen: &GridCharacters) -> String {
    let mut line = " ".repeat(MARGIN);
    for bar in system {
        line.push(pen.line);
        for (arranged, width) in &bar.slots {
            let symbol = arranged.slot.symbol.text();
            let _ = write!(line, "{symbol:<width$}");
        }
    }
    line.push(pen.line);
    line
}

fn edge(system: &[BarOfGrid<'_>], pen: &GridCharacters) -> String {
    let mut line = " ".repeat(MARGIN);
    for bar in system {
        line.push(pen.corner);
        line.extend(std::iter::repeat_n(pen.edge, bar.width().saturating_sub(1)));
    }
    line.push(pen.corner);
    line
}

/// A paragraph in lines no wider than the page, broken between words.
fn push_wrapped(page: &mut String, text: &str, width: usize) {
    let mut line = String::new();
    for word in text.split(' ') {
        let full = line.chars().count() + 1 + word.chars().count() > width;
        if full && !line.is_empty() {
            push_line(page, &line);
            line.clear();
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    push_line(page, &line);
}

fn push_line(page: &mut String, line: &str) {
    page.push_str(line.trim_end());
    page.push('\n');
}
