//! A bar made ready to be set: the shapes on its staves, and how much room each of its columns needs and would like.
//!
//! A column is a moment at which something begins. Its least width keeps signs apart; its ideal width grows with its length,
//! though less than in proportion (common practice of engraving, no source). Chord symbols set the least width of a bar more
//! often than notes do.

use super::beam;
use super::clef::Clef;
use super::drawing::Length;
use super::pen::SPACE;
use super::shape::NoteShape;
use super::signature::KeySignature;
use super::symbol;
use super::tie::Shaped;
use super::upper_row::UpperRow;
use crate::chart::{Meter, Stroke};
use crate::score::{Quarters, ScoreBar, Tempo, Written};

/// What a staff shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Voice {
    Melody,
    Hand,
}

/// A staff of the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Staff {
    pub voice: Voice,
    pub clef: Clef,
}

impl Staff {
    /// What stands on it in a bar.
    pub fn events(self, bar: &ScoreBar) -> &[Written] {
        match self.voice {
            Voice::Melody => &bar.melody,
            Voice::Hand => &bar.hand,
        }
    }
}

/// A moment at which something begins, and the room up to the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Column {
    pub at: Quarters,
    /// The least width.
    pub least: Length,
    /// The width it would like.
    pub ideal: Length,
}

/// A bar made ready.
#[derive(Debug)]
pub(super) struct MeasuredBar<'a> {
    pub bar: &'a ScoreBar,
    /// The shapes on each staff, in order.
    pub shapes: Vec<Vec<NoteShape>>,
    pub columns: Vec<Column>,
    /// The meter, where it is printed inside a line.
    pub meter: Option<Meter>,
    /// The signature, where the key changes.
    pub signature: Option<KeySignature>,
    /// The tempo, where it changes.
    pub tempo: Option<Tempo>,
    /// Room in front of the first column.
    pub before: Length,
    /// Room behind the last.
    pub after: Length,
}

/// What is printed in a bar because it changes there.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct PrintedChanges {
    pub meter: Option<Meter>,
    pub signature: Option<KeySignature>,
    pub tempo: Option<Tempo>,
}

/// How much room a meter takes.
pub(super) const METER_WIDTH: Length = 2400;
const GAP: Length = 500;
/// The least room between two chord symbols.
const SYMBOL_GAP: Length = SPACE * 13 / 10;
/// How far the beam of a group may lie beyond the stems its notes would have alone, and how much room the number of a
/// tuplet takes beyond its stems.
const LEAN: Length = 500;
const NUMBER: Length = 2300;

impl<'a> MeasuredBar<'a> {
    /// Makes a bar ready, with what changes there.
    pub fn new(bar: &'a ScoreBar, staves: &[Staff], changes: PrintedChanges) -> Self {
        let PrintedChanges {
            meter,
            signature,
            tempo,
        } = changes;
        let shapes: Vec<Vec<NoteShape>> = staves
            .iter()
            .map(|staff| shapes(staff.events(bar), staff.clef))
            .collect();
        let mut measure = MeasuredBar {
            bar,
            shapes,
            columns: Vec::new(),
            meter,
            signature,
            tempo,
            before: 0,
            after: 0,
        };
        measure.columns = measure.columns(staves);
        let first = measure.reach(staves, Quarters::ZERO).0;
        let opens = if bar.signs.opens_repeat { 1700 } else { 0 };
        let key = signature.map_or(0, KeySignature::room);
        measure.before = 900 + first + opens + key + if meter.is_some() { METER_WIDTH } else { 0 };
        measure.after = 300 + closing(bar);
        measure.room_for_upper_row();
        measure
    }

    /// What stands in the upper row over it.
    pub fn upper_row(&self) -> UpperRow<'_> {
        UpperRow {
            bar: self.bar,
            tempo: self.tempo,
        }
    }

    /// Widens the last column so that the upper row doesn't run into the next bar's. The room of a signature doesn't
    /// count: it stands in front of the line where the bar is the first of one.
    fn room_for_upper_row(&mut self) {
        let has = self.width(0) - self.signature_room();
        let lacks = (self.upper_row().width() - has).max(0);
        if let Some(last) = self.columns.last_mut() {
            last.least += lacks;
        }
    }

    /// How wide it is where ideal widths are stretched to so many thousandths.
    pub fn width(&self, stretch: i32) -> Length {
        self.before
            + self.after
            + self
                .columns
                .iter()
                .map(|column| column.width(stretch))
                .sum::<Length>()
    }

    /// How much of its width its signature takes: at the beginning of a line that room is not needed, since
    /// there the signature stands in front of all bars.
    pub fn signature_room(&self) -> Length {
        self.signature.map_or(0, KeySignature::room)
    }

    /// The first and the last event of a staff, with their shapes.
    pub fn ends(&self, number: usize, staff: Staff) -> Option<[Shaped<'_>; 2]> {
        let events = staff.events(self.bar);
        let shapes = self.shapes.get(number)?;
        let first = (events.first()?, shapes.first()?);
        Some([first, (events.last()?, shapes.last()?)])
    }

    /// How far what stands on a staff reaches above and below it.
    pub fn extent(&self, number: usize, staff: Staff) -> (Length, Length) {
        let shapes = self.shapes.get(number).map(Vec::as_slice).unwrap_or(&[]);
        let shaped = staff.events(self.bar).iter().zip(shapes);
        shaped
            .map(|(written, shape)| extent(written, shape))
            .fold((0, 0), |(a, b), (c, d)| (a.max(c), b.max(d)))
    }

    fn columns(&self, staves: &[Staff]) -> Vec<Column> {
        let mut starts: Vec<Quarters> = staves
            .iter()
            .flat_map(|staff| staff.events(self.bar))
            .map(|written| written.at)
            .collect();
        starts.extend(self.bar.chords.iter().map(|(at, _)| *at));
        starts.push(Quarters::ZERO);
        starts.sort();
        starts.dedup();
        let end = Quarters::of_bar(self.bar.meter);
        starts.retain(|at| *at < end);
        let ends = starts.iter().skip(1).copied().chain([end]);
        let mut columns: Vec<Column> = starts
            .iter()
            .zip(ends)
            .map(|(at, next)| {
                let least = self.reach(staves, *at).1 + self.reach(staves, next).0 + GAP;
                Column {
                    at: *at,
                    least: least.max(900),
                    ideal: ideal(next - *at),
                }
            })
            .collect();
        self.room_for_symbols(&mut columns);
        columns
    }

    /// How far left and right the shapes that begin at a moment reach.
    fn reach(&self, staves: &[Staff], at: Quarters) -> (Length, Length) {
        let events = staves
            .iter()
            .zip(&self.shapes)
            .flat_map(|(staff, shapes)| staff.events(self.bar).iter().zip(shapes));
        let here = events.filter(|(written, _)| written.at == at && written.value.is_some());
        here.fold((0, 0), |(left, right), (_, shape)| {
            (left.max(shape.left), right.max(shape.right))
        })
    }

    /// Widens columns so that no symbol runs into the next.
    fn room_for_symbols(&self, columns: &mut [Column]) {
        let next = self
            .bar
            .chords
            .iter()
            .skip(1)
            .map(|(at, _)| Some(*at))
            .chain([None]);
        for ((at, chord), next) in self.bar.chords.iter().zip(next) {
            let over =
                |column: &&mut Column| column.at >= *at && next.is_none_or(|next| column.at < next);
            let mut under: Vec<&mut Column> = columns.iter_mut().filter(over).collect();
            let has: Length = under.iter().map(|column| column.least).sum();
            let lacks = symbol::width(chord.text()) + SYMBOL_GAP - has;
            let count = under.len().max(1) as Length;
            under
                .iter_mut()
                .for_each(|column| column.least += (lacks.max(0) + count - 1) / count);
        }
    }
}

impl Column {
    /// Its width where ideal widths are stretched to so many thousandths.
    pub fn width(&self, stretch: i32) -> Length {
        self.least
            .max((i64::from(self.ideal) * i64::from(stretch) / 1000) as Length)
    }
}

/// How far a shape reaches above and below its staff, with its beam and the number of its tuplet.
fn extent(written: &Written, shape: &NoteShape) -> (Length, Length) {
    let (above, below) = shape.extent();
    let beam = if shape.beams > 0 { LEAN } else { 0 };
    let number = if written.tuplet.is_some() { NUMBER } else { 0 };
    match shape.up {
        true => (above + beam + number, below),
        false => (above, below + beam + number),
    }
}

/// The shapes of a staff; beamed notes share the direction of their stems.
fn shapes(events: &[Written], clef: Clef) -> Vec<NoteShape> {
    let mut directions: Vec<Option<bool>> = vec![None; events.len()];
    for group in beam::groups(events) {
        let notes = events
            .get(group.clone())
            .unwrap_or_default()
            .iter()
            .flat_map(|written| &written.notes);
        let up = beam::up(notes.map(|note| clef.position(*note)));
        directions
            .iter_mut()
            .take(group.end)
            .skip(group.start)
            .for_each(|direction| *direction = Some(up));
    }
    events
        .iter()
        .zip(directions)
        .map(|(written, up)| NoteShape::of(written, clef, up))
        .collect()
}

/// Room for the bar line on the right.
fn closing(bar: &ScoreBar) -> Length {
    match bar.signs.stroke {
        _ if bar.signs.closes_repeat.is_some() => 1700,
        Stroke::Final => 1100,
        Stroke::Double => 600,
        Stroke::Single => 200,
    }
}

/// The ideal width: an eighth has 3.6 staff spaces, twice the length 1.42 times as much; straight in between.
fn ideal(length: Quarters) -> Length {
    const WIDTHS: [Length; 9] = [890, 1260, 1790, 2540, 3600, 5110, 7260, 10_310, 14_640];
    let mut lower = Quarters::new(1, 32);
    for pair in WIDTHS.windows(2) {
        let [narrow, wide] = pair else { break };
        let upper = lower * 2.into();
        if length < upper {
            let part = (length - lower).ratio() / lower.ratio();
            return narrow + ((i64::from(wide - narrow)) * part.numer() / part.denom()) as Length;
        }
        lower = upper;
    }
    WIDTHS[8]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn longer_notes_like_more_room_though_less_than_in_proportion() {
        let widths: Vec<Length> = [
            (1, 8),
            (1, 4),
            (1, 2),
            (3, 4),
            (1, 1),
            (2, 1),
            (4, 1),
            (8, 1),
        ]
        .map(|(upper, lower)| ideal(Quarters::new(upper, lower)))
        .to_vec();
        assert!(
            widths
                .windows(2)
                .all(|pair| pair[0] < pair[1] && pair[1] < 2 * pair[0]),
            "{widths:?}"
        );
        assert_eq!((widths[2], widths[4]), (3600, 5110));
    }
}
