//! A songbook at a glance: a row a chart. The columns have fixed widths and the chart's name stands
//! last, so that rows can be written as they come.

use crate::hand::Thousandths;
use crate::words::counted;

/// What there is to say about one chart, or about all of them together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct TableRow {
    /// Findings that are errors.
    pub errors: usize,
    /// Findings that are warnings.
    pub warnings: usize,
    /// Findings that are notes.
    pub notes: usize,
    /// Findings on record, not counted among the others.
    pub known: usize,
    /// Findings the chart suppresses, not counted among the others.
    pub waived: usize,
    /// The motion of the performance as the chart gives it, in semitones.
    pub given: Option<u64>,
    /// The motion of the best plan under the same settings.
    pub best: Option<u64>,
    /// The roughness of the roughest voicing given.
    pub roughest: Option<Thousandths>,
}

impl TableRow {
    /// Another chart counted in; of the roughest the roughest.
    pub fn add(&mut self, other: &Self) {
        let sum = |a: Option<u64>, b: Option<u64>| match (a, b) {
            (Some(a), Some(b)) => Some(a.saturating_add(b)),
            (a, b) => a.or(b),
        };
        self.errors += other.errors;
        self.warnings += other.warnings;
        self.notes += other.notes;
        self.known += other.known;
        self.waived += other.waived;
        self.given = sum(self.given, other.given);
        self.best = sum(self.best, other.best);
        self.roughest = self.roughest.max(other.roughest);
    }
}

/// The headings of the columns.
pub fn table_head() -> String {
    "errors  warnings  notes  known  waived   motion     best  roughest  chart\n".to_owned()
}

/// A chart's row.
pub fn table_row(row: &TableRow, chart: &str) -> String {
    let number = |number: Option<u64>| number.map_or("-".to_owned(), |n| n.to_string());
    let rough = row
        .roughest
        .map_or("-".to_owned(), |rough| rough.to_string());
    format!(
        "{:>6}  {:>8}  {:>5}  {:>5}  {:>6}  {:>7}  {:>7}  {rough:>8}  {chart}\n",
        row.errors,
        row.warnings,
        row.notes,
        row.known,
        row.waived,
        number(row.given),
        number(row.best),
    )
}

/// The last row: all charts together.
pub fn table_total(row: &TableRow, charts: usize) -> String {
    table_row(row, &format!("all: {}", counted(charts, "chart")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_stand_under_their_headings() {
        let row = TableRow {
            errors: 1,
            given: Some(250),
            roughest: Some(Thousandths::new(123)),
            ..TableRow::default()
        };
        let head = table_head();
        let shown = table_row(&row, "a.chart");
        for (heading, value) in [("errors", "1"), ("motion", "250"), ("roughest", "0.123")] {
            let end = |text: &str, word: &str| text.find(word).map(|at| at + word.len());
            assert_eq!(end(&head, heading), end(&shown, value), "{heading}");
        }
        assert_eq!(head.find("chart"), shown.find("a.chart"));
    }
}
