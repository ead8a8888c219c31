//! The count of a run, and the sentence it ends with.

use std::collections::BTreeMap;

use compline::explain::CAUTION;
use compline::formats::TableRow;

use super::check_one::Checked;
use super::record::{ChartName, Counts, add};

/// What was found so far.
#[derive(Debug, Default)]
pub struct CheckTally {
    /// All charts together.
    pub all: TableRow,
    /// How many charts were checked.
    pub charts: usize,
    /// How many of them have findings.
    pub faulty: usize,
    /// How many findings on record are gone; known at the end.
    pub gone: usize,
    /// How many voicings were mended.
    pub mended: usize,
    /// How many charts were mended and could not be written.
    pub unwritten: usize,
    /// How many charts could not be read.
    pub unread: usize,
    /// The charts that records were asked about, each with its findings.
    pub named: BTreeMap<ChartName, Counts>,
    /// How many charts have no left hand.
    unvoiced: usize,
    /// Whether a finding has to do with a wide stretch.
    cautioned: bool,
    /// The first few of them.
    silent: Vec<String>,
}

/// So many charts without a left hand are named; the rest are counted.
const MOST_NAMED: usize = 3;

impl CheckTally {
    /// Counts a chart in.
    pub fn add(&mut self, checked: &Checked, called: &str) {
        self.all.add(&checked.row);
        self.charts += 1;
        self.faulty += usize::from(findings(&checked.row) > 0);
        if let Some(name) = &checked.name {
            let all = self.named.entry(name.clone()).or_default();
            add(all, &checked.counts);
        }
        self.cautioned |= checked.cautioned;
        if checked.unvoiced {
            self.unvoiced += 1;
            if self.silent.len() < MOST_NAMED {
                self.silent.push(called.to_owned());
            }
        }
    }

    /// Which charts have no left hand, in a line; `None` where all have one.
    pub fn unvoiced(&self) -> Option<String> {
        let more = self.unvoiced - self.silent.len();
        let more = if more > 0 {
            format!(" and {more} more")
        } else {
            String::new()
        };
        let line = || {
            format!(
                "no left hand in {} of {} ({}{more}): `compline voice` writes one\n",
                self.unvoiced,
                count(self.charts, "chart"),
                self.silent.join(", ")
            )
        };
        (self.unvoiced > 0).then(line)
    }

    /// What could not be looked at, in a line, and what was found; `None` when all is well.
    pub fn sentence(&self) -> Option<String> {
        // Once a run, however many findings it goes with.
        let caution = self.cautioned.then(|| format!("{CAUTION}\n"));
        let lines = [self.unvoiced(), caution, self.found()]
            .into_iter()
            .flatten();
        Some(lines.collect::<String>()).filter(|lines| !lines.is_empty())
    }

    fn found(&self) -> Option<String> {
        let all = &self.all;
        let found = findings(all);
        let counted = [
            found,
            all.known,
            all.waived,
            self.gone,
            self.mended,
            self.unwritten,
        ];
        if counted == [0; 6] {
            return None;
        }
        let mut parts = Vec::new();
        if self.mended > 0 {
            parts.push(format!("{} mended", count(self.mended, "voicing")));
        }
        if found > 0 || self.mended == 0 {
            let of = count(self.charts, "chart");
            let left = if self.mended > 0 { " left" } else { "" };
            parts.push(format!(
                "{}{left} in {} of {of}",
                count(found, "finding"),
                self.faulty
            ));
        }
        let kinds = [
            (all.errors, "error"),
            (all.warnings, "warning"),
            (all.notes, "note"),
        ];
        let kinds = kinds.iter().filter(|(number, _)| *number > 0);
        let kinds: Vec<String> = kinds.map(|(number, what)| count(*number, what)).collect();
        let mut line = parts.join(", ");
        if !kinds.is_empty() {
            line.push_str(&format!(": {}", kinds.join(", ")));
        }
        let more = [(all.waived, "waived"), (all.known, "known")];
        for (number, what) in more.iter().filter(|(number, _)| *number > 0) {
            line.push_str(&format!("; {number} {what}"));
        }
        if self.gone > 0 {
            line.push_str(&format!("; {} on record gone: record again", self.gone));
        }
        let not = [(self.unread, "read"), (self.unwritten, "written")];
        for (number, what) in not.iter().filter(|(number, _)| *number > 0) {
            line.push_str(&format!(
                "; {} could not be {what}",
                count(*number, "chart")
            ));
        }
        line.push('\n');
        Some(line)
    }
}

/// How many findings fail or could.
pub fn findings(row: &TableRow) -> usize {
    row.errors + row.warnings + row.notes
}

/// `1 chart`, `2 charts`.
pub fn count(number: usize, what: &str) -> String {
    let plural = if number == 1 { "" } else { "s" };
    format!("{number} {what}{plural}")
}
