//! The labelled rows under a chord line: `mel`, `lh` and `was`.

use super::parts::{RowPart, parts};
use super::problems::Problems;
use super::text::Text;
use super::{chords, hand, melody, percent_sign};
use crate::chart::{Bar, Beats, Cell, Chords, Diagnostic, Line, LineRow, MiddleC, Spans, Was};
use crate::words::counted;

/// Puts a row's bars under those of its chord line; notes every mistake in it.
///
/// `before` are the chords of the bar before the line, for a line that starts with `%`. Bar lines
/// in a labelled row only part its bars: what they say is said by the chord line.
pub(super) fn row(
    (row, label, bars): (LineRow, Text<'_>, Text<'_>),
    line: &mut Line,
    before: Option<&[Cell]>,
    middle_c: MiddleC,
    problems: &mut Problems,
) {
    let reader = RowReader {
        row,
        before,
        middle_c,
    };
    let bodies = parts(bars).filter_map(|part| match part {
        RowPart::Body(body) => Some(body),
        RowPart::Line(_) => None,
    });
    let mut found = 0;
    for body in bodies {
        // Beyond the line only how many there are still matters.
        if found < line.bars.len() {
            reader.bar(body, line, found, problems);
        }
        found += 1;
    }
    problems.add_some(wrong_number(label, found, line));
}

/// What a row is, and what it needs to be read.
struct RowReader<'a> {
    row: LineRow,
    before: Option<&'a [Cell]>,
    middle_c: MiddleC,
}

impl RowReader<'_> {
    /// Reads what the row has for a bar of the line, and puts it there.
    fn bar(&self, body: Text<'_>, line: &mut Line, number: usize, problems: &mut Problems) {
        match self.row {
            LineRow::Hand => {
                let chords = chords_of(line, number, self.before).filter(|c| !c.is_empty());
                let (hand, spans) = hand::hand(body, chords, self.middle_c, problems);
                set(line, number, |bar| {
                    bar.hand = Some(hand);
                    bar.hand_spans = Spans::new(spans);
                });
            }
            LineRow::Was => {
                let length = length_before(line, number, self.before);
                set(line, number, |bar| {
                    bar.was = was(body, bar.beats, length, problems);
                });
            }
            LineRow::Melody => set(line, number, |bar| {
                bar.melody = Some(melody::melody(body, bar.beats, self.middle_c, problems));
            }),
            LineRow::Chords => {}
        }
    }
}

/// The chords of a bar of the line, a `%` resolved.
fn chords_of<'a>(line: &'a Line, number: usize, before: Option<&'a [Cell]>) -> Option<&'a [Cell]> {
    let until = line.bars.get(..=number)?;
    let written = until.iter().rev().find_map(|bar| bar.chords.written());
    written.or(before)
}

/// How many beats the bar before this one has, on the line or before it.
fn length_before(line: &Line, number: usize, before: Option<&[Cell]>) -> Option<u8> {
    match number.checked_sub(1) {
        Some(at) => line.bars.get(at).map(|bar| bar.beats),
        None => before.and_then(length),
    }
}

/// How many beats a bar of these chords has.
fn length(cells: &[Cell]) -> Option<u8> {
    let beats: Beats = cells.iter().map(|cell| cell.beats).sum();
    u8::try_from(beats.numerator()).ok()
}

/// What a bar was.
fn was(body: Text<'_>, beats: u8, before: Option<u8>, problems: &mut Problems) -> Option<Was> {
    let was = chords::before(body, beats, problems);
    if was == Some(Was::Other(Chords::Again)) {
        problems.add_some(percent_sign::misplaced(body.trim().range(), before, beats));
    }
    was
}

fn set(line: &mut Line, bar: usize, to: impl FnOnce(&mut Bar)) {
    if let Some(bar) = line.bars.get_mut(bar) {
        to(bar);
    }
}

fn wrong_number(label: Text<'_>, found: usize, line: &Line) -> Option<Diagnostic> {
    let wanted = line.bars.len();
    let is_repeated = |bar: &Bar| bar.opens.repeat || bar.closes.repeat.is_some();
    (found != wanted).then(|| {
        let (has, above) = (counted(found, "bar"), counted(wanted, "bar"));
        let message = format!("this line has {has}, but the chord line above it has {above}");
        let problem = Diagnostic::error(label.range(), message, format!("a line of {above}"));
        match found > wanted && line.bars.iter().any(is_repeated) {
            true => problem.help("bars that are repeated are written once, in every row"),
            false => problem,
        }
    })
}
