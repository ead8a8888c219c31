//! The count of a run, and the sentence it ends with.

use std::collections::BTreeMap;

use compline::explain::CAUTION;
use compline::formats::TableRow;

use super::check_one::Checked;
use super::record::{ChartName, Counts, add};
use compline::words::counted;

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
                counted(self.charts, "chart"),
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
        let nothing = [
            findings(all),
            all.known,
            all.waived,
            self.gone,
            self.mended,
            self.unwritten,
        ] == [0; 6];
        let line = || {
            format!(
                "{}{}{}\n",
                self.mended_and_left(),
                self.kinds(),
                self.rest()
            )
        };
        (!nothing).then(line)
    }

    /// `2 voicings mended, 3 findings left in 1 of 2 charts`.
    fn mended_and_left(&self) -> String {
        let found = findings(&self.all);
        let mut parts = Vec::new();
        if self.mended > 0 {
            parts.push(format!("{} mended", counted(self.mended, "voicing")));
        }
        if found > 0 || self.mended == 0 {
            let of = counted(self.charts, "chart");
            let left = if self.mended > 0 { " left" } else { "" };
            let found = counted(found, "finding");
            parts.push(format!("{found}{left} in {} of {of}", self.faulty));
        }
        parts.join(", ")
    }

    /// `: 1 error, 2 notes`; nothing where there is none.
    fn kinds(&self) -> String {
        let all = &self.all;
        let kinds = [
            (all.errors, "error"),
            (all.warnings, "warning"),
            (all.notes, "note"),
        ];
        let kinds = kinds.iter().filter(|(number, _)| *number > 0);
        let kinds: Vec<String> = kinds.map(|(number, what)| counted(*number, what)).collect();
        match kinds.is_empty() {
            true => String::new(),
            false => format!(": {}", kinds.join(", ")),
        }
    }

    /// What is counted beside the findings that are left: `; 1 waived; 1 chart could not be read`.
    fn rest(&self) -> String {
        let mut rest = String::new();
        for (number, what) in [(self.all.waived, "waived"), (self.all.known, "known")] {
            if number > 0 {
                rest.push_str(&format!("; {number} {what}"));
            }
        }
        if self.gone > 0 {
            rest.push_str(&format!("; {} on record gone: record again", self.gone));
        }
        for (number, what) in [(self.unread, "read"), (self.unwritten, "written")] {
            if number > 0 {
                let charts = counted(number, "chart");
                rest.push_str(&format!("; {charts} could not be {what}"));
            }
        }
        rest
    }
}

/// How many findings fail or could.
pub fn findings(row: &TableRow) -> usize {
    row.errors + row.warnings + row.notes
}
