//! A system: the bars of one line on all its staves, with everything above and below them.

use super::barline::Through;
use super::clef::Clef;
use super::columns::ColumnPlaces;
use super::drawing::Length;
use super::font::Face;
use super::measure::{METER_WIDTH, MeasuredBar, Staff};
use super::pen::{PagePen, SPACE};
use super::signature::KeySignature;
use super::signs::{meter_sign, words};
use super::staff;
use super::symbol;
use super::tie;
use crate::chart::Meter;
use crate::score::Quarters;

const STAFF_LINE: Length = 130;
const STAFF_HEIGHT: Length = 4 * SPACE;
/// The least room between two staves.
const BETWEEN: Length = 5200;
/// The row of chord symbols, and the row of section letters, endings and signs above it.
const SYMBOL_ROW: Length = 3000;
const UPPER_ROW: Length = 3100;
/// How much higher than its row the upper row stands, so that a box doesn't touch the accidental of a root below it.
const RAISED: Length = 300;
/// A line of labels under the left hand, and of words below it.
pub(super) const LABEL_LINE: Length = 1750;
const WORD_ROW: Length = 2600;

/// What a system is made of.
#[derive(Debug)]
pub(super) struct System<'a> {
    pub measures: &'a [MeasuredBar<'a>],
    pub staves: &'a [Staff],
    /// The signature in front of it.
    pub signature: KeySignature,
    /// What changes behind it.
    pub courtesy: Courtesy,
    /// The meter, where the page begins.
    pub meter: Option<Meter>,
    /// The number of its first bar, where one is printed.
    pub number: Option<usize>,
    /// Labels under the left hand, for each bar: where they stand, and the labels from the lowest note up.
    pub labels: &'a [Vec<(Quarters, Vec<String>)>],
    /// Whether an ending is open from the line before.
    pub in_ending: bool,
    /// Whether the piece ends with it.
    pub last: bool,
}

/// What changes with the first bar of the next line, shown at the end of this one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Courtesy {
    pub signature: Option<KeySignature>,
    pub meter: Option<Meter>,
}

impl Courtesy {
    /// How wide it is.
    pub fn room(self) -> Length {
        let key = self.signature.map_or(0, KeySignature::room);
        let meter = self.meter.map_or(0, |_| METER_WIDTH);
        let gap = if key + meter > 0 { 500 } else { 0 };
        key + meter + gap
    }

    fn draw(self, pen: &mut PagePen, clef: Clef, x: Length, top: Length) {
        let mut x = x + 500;
        if let Some(signature) = self.signature {
            signature.draw(pen, clef, x, top);
            x += signature.room();
        }
        if let Some(meter) = self.meter {
            meter_sign(pen, meter, x, top);
        }
    }
}

/// The room in front of the first bar of a line.
pub(super) fn front(signature: KeySignature, first: bool) -> Length {
    600 + 3100 + signature.width() + 400 + if first { METER_WIDTH } else { 0 }
}

impl System<'_> {
    /// The height it takes.
    pub fn height(&self) -> Length {
        let tops = self.tops(0);
        tops.last().copied().unwrap_or(0) + STAFF_HEIGHT + self.below()
    }

    /// The upper line of each staff of a system whose box begins at `y`.
    fn tops(&self, y: Length) -> Vec<Length> {
        let mut tops = vec![y + self.upper_row() + SYMBOL_ROW + self.extent(0).0.max(500) + 500];
        for staff in 1..self.staves.len() {
            let gap = (self.extent(staff - 1).1 + self.extent(staff).0 + 1200).max(BETWEEN);
            let above = tops.last().copied().unwrap_or(y);
            tops.push(above + STAFF_HEIGHT + gap);
        }
        tops
    }

    fn extent(&self, staff: usize) -> (Length, Length) {
        self.measures
            .iter()
            .filter_map(|measure| Some(measure.extent(staff, *self.staves.get(staff)?)))
            .fold((0, 0), |(a, b), (c, d)| (a.max(c), b.max(d)))
    }

    fn upper_row(&self) -> Length {
        let used = self.in_ending || self.measures.iter().any(|bar| bar.upper_row().is_used());
        if used { UPPER_ROW } else { 0 }
    }

    fn below(&self) -> Length {
        let lines = self
            .labels
            .iter()
            .flatten()
            .map(|(_, labels)| labels.len())
            .max()
            .unwrap_or(0);
        let words = self
            .measures
            .iter()
            .any(|measure| measure.bar.signs.jumps.iter().any(|jump| !jump.is_target()));
        self.extent(self.staves.len().saturating_sub(1)).1.max(500)
            + lines as Length * LABEL_LINE
            + if words { WORD_ROW } else { 0 }
    }

    /// Draws it with its box from `y` down, its left edge at `x`, in `room`; `most` is how far columns may be stretched.
    pub fn draw(&self, pen: &mut PagePen, (x, y): (Length, Length), room: Length, most: i32) {
        let tops = self.tops(y);
        let moved = self.measures.first().map_or(0, MeasuredBar::signature_room);
        let front = front(self.signature, self.meter.is_some()) - moved;
        let behind = self.courtesy.room();
        let stretch = self.stretch(room - front - behind).min(most);
        let wide = front
            + behind
            + self
                .measures
                .iter()
                .map(|measure| measure.width(stretch))
                .sum::<Length>();
        self.staff_lines(pen, x, wide, &tops);
        self.signatures(pen, x, &tops);
        let mut left = x + front;
        let mut ending = self.in_ending;
        let mut places = Vec::with_capacity(self.measures.len());
        for (number, measure) in self.measures.iter().enumerate() {
            let right = left + measure.width(stretch);
            let mut columns = columns(measure, left, right, stretch);
            if number == 0 {
                columns.left += moved;
            }
            self.bar(pen, number, measure, &columns, &tops);
            ending = self.upper(
                pen,
                measure,
                &columns,
                tops.first().copied().unwrap_or(y),
                ending,
            );
            left = right;
            places.push(columns);
        }
        self.ties(pen, &places, &tops);
        for (staff, top) in self.staves.iter().zip(&tops) {
            self.courtesy.draw(pen, staff.clef, left, *top);
        }
    }

    /// The largest stretch with which the bars still fit.
    fn stretch(&self, room: Length) -> i32 {
        let (mut low, mut high) = (0, 8000);
        while high - low > 1 {
            let middle = (low + high) / 2;
            let wide: Length = self
                .measures
                .iter()
                .map(|measure| measure.width(middle))
                .sum();
            if wide <= room {
                low = middle
            } else {
                high = middle
            }
        }
        low
    }

    fn staff_lines(&self, pen: &mut PagePen, x: Length, wide: Length, tops: &[Length]) {
        for (top, row) in tops
            .iter()
            .flat_map(|top| (0..5).map(move |row| (top, row)))
        {
            pen.rectangle(x, top + row * SPACE - STAFF_LINE / 2, wide, STAFF_LINE);
        }
        let through = Through { tops };
        if tops.len() > 1 {
            through.front(pen, x);
            let bottom = tops.last().copied().unwrap_or(0) + STAFF_HEIGHT;
            // A brace is as tall as its size, and a twelfth as wide.
            pen.sized_sign(
                "brace",
                x - through.height() / 12 - 200,
                bottom,
                through.height(),
            );
        }
        if let (Some(number), Some(top)) = (self.number, tops.first()) {
            pen.text(&number.to_string(), Face::Text, 1500, x - 200, top - 900);
        }
    }

    /// Clefs, key and meter.
    fn signatures(&self, pen: &mut PagePen, x: Length, tops: &[Length]) {
        for (staff, top) in self.staves.iter().zip(tops) {
            staff.clef.draw(pen, x + 600, *top);
            self.signature.draw(pen, staff.clef, x + 3700, *top);
            if let Some(meter) = self.meter {
                let key = self.signature.width();
                meter_sign(pen, meter, x + 3700 + key + 400, *top);
            }
        }
    }

    fn bar(
        &self,
        pen: &mut PagePen,
        number: usize,
        measure: &MeasuredBar<'_>,
        columns: &ColumnPlaces,
        tops: &[Length],
    ) {
        let through = Through { tops };
        let signs = &measure.bar.signs;
        if signs.opens_repeat {
            through.open(pen, columns.left);
        }
        for ((at, staff), top) in self.staves.iter().enumerate().zip(tops) {
            let mut x = columns.left + 500 + if signs.opens_repeat { 1700 } else { 0 };
            if let Some(signature) = measure.signature
                && number > 0
            {
                signature.draw(pen, staff.clef, x, *top);
                x += signature.room();
            }
            if let Some(meter) = measure.meter {
                meter_sign(pen, meter, x, *top);
            }
            staff::draw(pen, measure, at, *staff, columns, *top);
        }
        through.close(
            pen,
            signs,
            self.last && number + 1 == self.measures.len(),
            columns.right,
        );
        let base = tops.last().copied().unwrap_or(0)
            + STAFF_HEIGHT
            + self.extent(self.staves.len().saturating_sub(1)).1.max(500);
        let lines = self.labels(pen, number, columns, base);
        words(pen, &signs.jumps, columns.right, base + lines);
    }

    /// The ties over bar lines.
    fn ties(&self, pen: &mut PagePen, places: &[ColumnPlaces], tops: &[Length]) {
        for ((number, staff), top) in self.staves.iter().enumerate().zip(tops) {
            let bars = self.measures.iter().zip(places);
            let bars: Vec<_> = bars
                .map(|(measure, columns)| (measure.ends(number, *staff), columns))
                .collect();
            let mut reached = false;
            for (at, (ends, columns)) in bars.iter().enumerate() {
                let Some([first, last]) = ends else {
                    reached = false;
                    continue;
                };
                if !reached {
                    tie::arriving(pen, (*first, columns), *top);
                }
                let next = bars.get(at + 1);
                let next = next.and_then(|(ends, columns)| Some(((*ends)?[0], *columns)));
                reached = tie::onwards(pen, (*last, columns), next, *top);
            }
        }
    }

    /// The labels under a bar, lowest note lowest; gives the height of the row on this line.
    fn labels(
        &self,
        pen: &mut PagePen,
        number: usize,
        columns: &ColumnPlaces,
        base: Length,
    ) -> Length {
        let most = self
            .labels
            .iter()
            .flatten()
            .map(|(_, labels)| labels.len())
            .max()
            .unwrap_or(0) as Length;
        for (at, labels) in self.labels.get(number).into_iter().flatten() {
            for (row, label) in (1..).zip(labels.iter().rev()) {
                pen.text(
                    label,
                    Face::Text,
                    1600,
                    columns.at(*at),
                    base + row * LABEL_LINE,
                );
            }
        }
        most * LABEL_LINE
    }

    /// Symbols, the section's letter, endings and signs; says whether an ending is open behind the bar.
    fn upper(
        &self,
        pen: &mut PagePen,
        measure: &MeasuredBar<'_>,
        columns: &ColumnPlaces,
        top: Length,
        in_ending: bool,
    ) -> bool {
        let symbols = top - self.extent(0).0.max(500) - 500;
        for (at, chord) in &measure.bar.chords {
            symbol::draw(pen, chord.text(), columns.at(*at), symbols);
        }
        let row = symbols - SYMBOL_ROW - RAISED;
        let edges = (columns.left, columns.right);
        measure.upper_row().draw(pen, edges, row, in_ending)
    }
}

fn columns(measure: &MeasuredBar<'_>, left: Length, right: Length, stretch: i32) -> ColumnPlaces {
    let mut x = left + measure.before;
    let places = measure.columns.iter().map(|column| {
        let here = x;
        x += column.width(stretch);
        (column.at, here)
    });
    ColumnPlaces {
        places: places.collect(),
        left,
        right,
    }
}
