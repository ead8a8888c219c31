//! Writers of findings, one file a format: JSON lines, SARIF, the table of a songbook. Text with the
//! source line underlined is drawn by the program, which knows the terminal.
//!
//! A writer is given a [`Shown`]: a finding with what its chart says about the place. None of them
//! holds more than one chart's findings, so a songbook of any length can be written as it is checked.

mod json;
mod lines;
mod place;
mod record;
mod roughest;
mod rules;
mod sarif;
mod schema;
mod table;

use crate::chart::{Chart, MiddleC, Slot, Wish};
use crate::check::{Finding, Fix, Opinion, Replan};
use crate::pitch::Note;
use crate::words::counted;

pub use json::{FindingReport, finding_json, unread_json};
pub use lines::{finding_line, unread_line};
pub use place::{Lines, Region};
pub use record::{RecordEntry, RecordReport};
pub use roughest::{Rough, RoughestList};
pub use rules::{rules_json, rules_text};
pub use sarif::{Artifact, Sarif};
pub use schema::findings_schema;
pub use table::{TableRow, table_head, table_row, table_total};

/// The rule of what keeps a chart from being read, where findings are written a line each.
const UNREADABLE: &str = "unreadable";

/// The greatest difference of effort a voicing that is told as a number: an octave for each finger. The register is charged by the
/// square of the distance, so that beyond it the number says to a musician that it is large, and no more.
const MOST_TOLD: u64 = 60;

/// A finding with what its chart says about the place.
#[derive(Debug, Clone)]
pub struct Shown<'a> {
    /// The finding.
    pub finding: &'a Finding,
    /// The voicing the chart gives there, lowest note first; empty where it gives none.
    pub notes: Vec<Note>,
    /// What the file calls its bar, such as `measure 3`, where the file is no chart.
    pub in_file: Option<String>,
    /// The text it is about; for a chart that was a line of JSON, that line.
    pub region: Option<Region>,
    /// What to write where in the chart, for a mend that can be done so.
    pub replacements: Vec<TextEdit>,
    /// Its number among the findings of this chart that look the same without their bar, from 0.
    pub ordinal: usize,
    /// Whether it was on record before; `None` where there is no record.
    pub known: Option<bool>,
    /// How the chart counts octaves.
    pub middle_c: MiddleC,
}

/// A piece of text in the place of another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TextEdit {
    /// What goes.
    pub region: Region,
    /// What comes.
    pub text: String,
}

/// What makes two findings of a chart the same one, wherever in the chart they have moved to.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Fingerprint {
    /// The rule.
    pub rule: String,
    /// The section's name.
    pub section: String,
    /// The chord symbol.
    pub symbol: String,
    /// The notes of the voicing, as a chart with middle C = C4 has them.
    pub notes: String,
}

impl Shown<'_> {
    /// What stays the same when bars are put in elsewhere.
    pub fn fingerprint(&self) -> Fingerprint {
        let place = &self.finding.place;
        Fingerprint {
            rule: self.finding.rule.name.to_owned(),
            section: place.section.clone().unwrap_or_default(),
            symbol: place.symbol.clone().unwrap_or_default(),
            notes: dotted(self.notes.iter().copied(), MiddleC::C4),
        }
    }

    /// Where it is, in words: `bar 3, beat 1, Fm7`.
    pub fn place(&self) -> String {
        let place = &self.finding.place;
        let bar = place.bar.map(|bar| format!("bar {bar}"));
        let beat = place.beat.map(|beat| format!("beat {beat}"));
        let parts = [bar, beat, place.symbol.clone()];
        parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }

    /// What would fix it, in words.
    pub fn mend(&self) -> String {
        mend(&self.finding.fix, self.finding.place.slot, self.middle_c)
    }
}

/// A chart that was checked, as a ground to show findings on.
#[derive(Debug)]
pub struct ShownChart<'a> {
    slots: Vec<Slot>,
    middle_c: MiddleC,
    lines: Option<Lines<'a>>,
    line: Option<usize>,
    /// What the file calls each bar.
    places: &'a [String],
}

impl<'a> ShownChart<'a> {
    /// A chart that was read from this text.
    pub fn of_text(chart: &Chart, text: &'a str) -> Self {
        Self {
            slots: chart.slots(),
            middle_c: chart.header.middle_c(),
            lines: Some(Lines::of(text)),
            line: None,
            places: &[],
        }
    }

    /// A chart that was made of a file of another format, which calls its bars by these `places`.
    pub fn of_bars(chart: &Chart, places: &'a [String]) -> Self {
        Self {
            slots: chart.slots(),
            middle_c: MiddleC::C4,
            lines: None,
            line: None,
            places,
        }
    }

    /// A chart that was this line of a file, counted from 1.
    pub fn of_line(chart: &Chart, line: usize) -> Self {
        Self {
            slots: chart.slots(),
            middle_c: MiddleC::C4,
            lines: None,
            line: Some(line),
            places: &[],
        }
    }

    /// The findings, each at its place. Nothing is known yet.
    pub fn shown<'b>(&self, findings: impl Iterator<Item = &'b Finding>) -> Vec<Shown<'b>> {
        let mut all: Vec<Shown<'b>> = findings.map(|finding| self.one(finding)).collect();
        let mut seen: std::collections::BTreeMap<Fingerprint, usize> =
            std::collections::BTreeMap::new();
        for shown in &mut all {
            let count = seen.entry(shown.fingerprint()).or_default();
            shown.ordinal = *count;
            *count += 1;
        }
        all
    }

    fn one<'b>(&self, finding: &'b Finding) -> Shown<'b> {
        let slot = finding.place.slot.and_then(|slot| self.slots.get(slot));
        let notes = match slot.map(|slot| &slot.wish) {
            Some(Wish::Given(notes)) => notes.to_vec(),
            _ => Vec::new(),
        };
        Shown {
            finding,
            notes,
            in_file: self.in_file(slot, finding),
            region: self.region(finding),
            replacements: self.replacements(&finding.fix).unwrap_or_default(),
            ordinal: 0,
            known: None,
            middle_c: self.middle_c,
        }
    }

    fn in_file(&self, slot: Option<&Slot>, finding: &Finding) -> Option<String> {
        let bar = slot.map(|slot| slot.bar).or(finding.place.bar);
        self.places.get(bar?.checked_sub(1)?).cloned()
    }

    fn region(&self, finding: &Finding) -> Option<Region> {
        if let Some(line) = self.line {
            return Some(Region::line(line));
        }
        let span = finding.place.span?;
        Some(self.lines.as_ref()?.region(span.range()))
    }

    /// A replacement for each voicing that changes; `None` where one has no entry of its own.
    fn replacements(&self, mend: &Fix) -> Option<Vec<TextEdit>> {
        let lines = self.lines.as_ref()?;
        let Fix::Replan(replan) = mend else {
            return None;
        };
        let each = replan.changes.iter().map(|change| {
            let slot = self.slots.get(change.slot)?;
            let span = slot
                .hand_span
                .filter(|_| matches!(slot.wish, Wish::Given(_)))?;
            Some(TextEdit {
                region: lines.region(span.range()),
                text: change.voicing.written(self.middle_c, "."),
            })
        });
        each.collect()
    }
}

/// Notes as the `lh` line has them.
pub(super) fn dotted(notes: impl Iterator<Item = Note>, middle_c: MiddleC) -> String {
    let notes: Vec<String> = notes.map(|note| middle_c.written(note)).collect();
    notes.join(".")
}

/// What would fix a finding in this slot, in words.
fn mend(mend: &Fix, slot: Option<usize>, middle_c: MiddleC) -> String {
    match mend {
        Fix::Replan(replan) => replanned(replan, slot, middle_c),
        Fix::Rewrite(_) => "`compline tidy` prints the standard layout".to_owned(),
        Fix::Advice(text) => text.clone(),
        Fix::Loosen(loosening) => {
            let loosening = loosening.beside(middle_c);
            format!("nothing in the chart would do; this would: {loosening}")
        }
        Fix::Nothing(why) => why.clone(),
    }
}

fn replanned(replan: &Replan, slot: Option<usize>, middle_c: MiddleC) -> String {
    let each = replan.changes.iter().map(|change| {
        let notes = change.voicing.written(middle_c, ".");
        if Some(change.slot) == slot {
            notes
        } else {
            format!("{notes} in bar {} ({})", change.bar, change.symbol)
        }
    });
    let each: Vec<String> = each.collect();
    let extra = replan.extra();
    let most = MOST_TOLD.saturating_mul(each.len() as u64);
    let price = match (extra.unsigned_abs(), extra > 0) {
        (0, _) => "the same effort as before".to_owned(),
        (by, true) if by > most => "far more effort".to_owned(),
        (by, false) if by > most => "far less effort".to_owned(),
        (by, true) => format!("an effort {} more", counted(by, "semitone")),
        (by, false) => format!("an effort {} less", counted(by, "semitone")),
    };
    format!("play {} instead: {price}", each.join(", "))
}

/// What an ear model says, in words.
pub fn opinion_words(opinion: &Opinion) -> String {
    let mended = opinion
        .mended
        .map_or(String::new(), |mended| format!(", {mended} when mended"));
    format!(
        "for information: roughness {}{mended}; the two notes lie {} critical bandwidths apart",
        opinion.roughness, opinion.spacing
    )
}
