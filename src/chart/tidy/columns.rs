//! Bar lines under bar lines: the width of every column, and a row printed in it.
//!
//! A bar line is a stroke with room on both sides: on its left for the `:` of a repeat's end, on
//! its right for what makes it double and for what it opens.

use std::collections::BTreeMap;

use unicode_width::UnicodeWidthStr;

use super::strip::{Printed, padded};
use crate::chart::Stroke;

/// How wide the column of labels is.
const LABEL: usize = 5;

/// Nearly as many bytes as stand around the words of a bar.
const AROUND: usize = 6;

/// The widths of a section's columns, for each number of bars a line has.
#[derive(Debug, Default)]
pub(super) struct ColumnWidths(BTreeMap<usize, Widths>);

/// The widths, in columns of a terminal, from bar to bar; the bar lines are one more than the bars.
#[derive(Debug, Default)]
struct Widths {
    text: Vec<usize>,
    left: Vec<usize>,
    right: Vec<usize>,
}

impl ColumnWidths {
    /// The widths that hold all these rows.
    pub fn of<'a>(rows: impl Iterator<Item = &'a [Printed]>) -> Self {
        let mut columns = Self::default();
        for bars in rows {
            let widths = columns.0.entry(bars.len()).or_default();
            widths.widen(bars);
        }
        columns
    }

    /// A row in its columns; there may be space at its end.
    pub fn print(&self, label: &str, bars: &[Printed]) -> String {
        let none = Widths::default();
        let widths = self.0.get(&bars.len()).unwrap_or(&none);
        let width = |of: &[usize], i: usize| of.get(i).copied().unwrap_or(0);
        let mut line = format!("{label:<LABEL$}");
        line.reserve(widths.text.iter().map(|text| text + AROUND).sum());
        for (i, sign) in signs(bars).enumerate() {
            let left = width(&widths.left, i).saturating_sub(usize::from(sign.colon));
            line.extend(std::iter::repeat_n(' ', left));
            line.push_str(if sign.colon { ":|" } else { "|" });
            padded(&sign.right, width(&widths.right, i), &mut line);
            if let Some(bar) = bars.get(i) {
                line.push(' ');
                padded(&bar.words.text(), width(&widths.text, i), &mut line);
                line.push(' ');
            }
        }
        line
    }

    /// A row of remarks: its label stands in the place of the first bar line, since it is longer than other
    /// labels, and its words lie under those of the rows above.
    pub fn print_remarks(&self, label: &str, bars: &[Printed]) -> String {
        let line = self.print("", bars);
        let front = line.find('|').map_or(0, |bar| bar + 1);
        let rest = line.get(front..).unwrap_or_default();
        format!("{label:<front$}{rest}")
    }
}

impl Widths {
    fn widen(&mut self, bars: &[Printed]) {
        for (i, bar) in bars.iter().enumerate() {
            widen(&mut self.text, i, bar.words.text().width());
        }
        for (i, sign) in signs(bars).enumerate() {
            widen(&mut self.left, i, usize::from(sign.colon));
            widen(&mut self.right, i, sign.right.width());
        }
    }
}

fn widen(widths: &mut Vec<usize>, i: usize, width: usize) {
    if widths.len() <= i {
        widths.resize(i + 1, 0);
    }
    if let Some(known) = widths.get_mut(i) {
        *known = width.max(*known);
    }
}

/// A bar line: its left part, and what is right of its stroke.
struct PrintedBarLine {
    colon: bool,
    right: String,
}

/// The bar lines around and between the bars, from left to right.
fn signs(bars: &[Printed]) -> impl Iterator<Item = PrintedBarLine> {
    (0..=bars.len()).map(|i| {
        let before = i.checked_sub(1).and_then(|i| bars.get(i));
        let opens = bars.get(i).map_or("", |bar| &bar.opens);
        let closes = before.map_or("", |bar| &bar.closes);
        // A count or a final line cannot carry an opening: a second stroke takes it.
        let apart = before.is_some_and(|bar| bar.counted || bar.stroke == Stroke::Final);
        let glue = if apart && !opens.is_empty() { "|" } else { "" };
        PrintedBarLine {
            colon: before.is_some_and(|bar| bar.colon),
            right: [closes, glue, opens].concat(),
        }
    })
}
