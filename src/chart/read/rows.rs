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
    let mut number = 0;
    let mut written = None;
    for part in parts(bars) {
        let RowPart::Body(body) = part else { continue };
        if line
            .bars
            .get(number)
            .is_some_and(|bar| bar.chords != Chords::Again)
        {
            written = Some(number);
        }
        // Beyond the line only how many there are still matters.
        let within = number < line.bars.len();
        match row {
            LineRow::Hand if within => {
                let chords = written.map_or(before, |bar| cells(line, bar));
                let chords = chords.filter(|c| !c.is_empty());
                let (hand, spans) = hand::hand(body, chords, middle_c, problems);
                set(line, number, |bar| {
                    bar.hand = Some(hand);
                    bar.hand_spans = Spans::new(spans);
                });
            }
            LineRow::Was if within => {
                let length = length_before(line, number, before);
                set(line, number, |bar| {
                    bar.was = was(body, bar.beats, length, problems);
                });
            }
            LineRow::Melody if within => set(line, number, |bar| {
                bar.melody = Some(melody::melody(body, bar.beats, middle_c, problems));
            }),
            _ => {}
        }
        number += 1;
    }
    problems.add_some(wrong_number(label, number, line));
}

fn cells(line: &Line, bar: usize) -> Option<&[Cell]> {
    line.bars.get(bar)?.chords.written()
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
