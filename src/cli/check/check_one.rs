//! One chart: read, checked or mended, and its findings written in the format asked for. Runs on any
//! of the workers; nothing is printed here.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

use anyhow::anyhow;
use compline::arrange::{Cache, Trouble};
use compline::chart::Chart;
use compline::check::{Finding, Mended, Report, Severity, check, mend_unknown};
use compline::formats::{
    Rough, Sarif, Shown, ShownChart, TableRow, finding_json, finding_line, other_settings,
};

use super::artifact::Location;
use super::mended::{MendedText, unmendable};
use super::pieces::{Piece, What};
use super::read_chart::{Bad, Companion, ReadChart, failed, read};
use super::record::{ChartName, Counts, Known};
use crate::cli::args::CheckFormat;
use crate::cli::batch::with_cache;
use crate::cli::diagnose::DrawStyle;
use crate::cli::input::Source;
use crate::cli::outcome::ChartOutcome;
use crate::cli::reading::ReadOptions;
use crate::cli::remarks::{RemarksOutcome, afresh};
use crate::cli::settings::InForce;

/// What is to be done with every chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CheckTask {
    /// Its findings, in this format.
    Show(CheckFormat),
    /// Its text, mended; what is left as text.
    Mend,
    /// Its findings, counted.
    Record,
    /// Its voicings, by how rough they are.
    Roughest,
}

/// Everything the workers share.
pub struct Worker<'a> {
    /// What is to be done.
    pub task: CheckTask,
    /// How findings are drawn.
    pub style: DrawStyle,
    /// The charts.
    pub sources: &'a [Source],
    /// The settings of each.
    pub settings: &'a [Arc<InForce>],
    /// The records of known findings, by path.
    pub known: &'a BTreeMap<PathBuf, Known>,
    /// Whether known findings are mended as well.
    pub mend_known: bool,
    /// How files are read.
    pub reading: &'a ReadOptions,
    /// The chart that the sources are played to.
    pub companion: Option<Companion<'a>>,
}

/// What came of one chart.
#[derive(Default)]
pub struct Checked {
    /// Its findings in the format asked for.
    pub written: String,
    /// How many there are of what.
    pub row: TableRow,
    /// Whether any of them fails.
    pub fails: bool,
    /// Whether a wide stretch has to do with one of them, so that the player is to be cautioned.
    pub cautioned: bool,
    /// How many chords it has.
    pub slots: usize,
    /// How many of them have a voicing.
    pub voiced: usize,
    /// Whether it has chords and no left hand at all.
    pub unvoiced: bool,
    /// What a record calls it, where one is written or read.
    pub name: Option<ChartName>,
    /// Its findings counted, where one is.
    pub counts: Counts,
    /// Its voicings, where the roughest are asked for.
    pub rough: Vec<Rough>,
    /// Its text, mended.
    pub mended: Option<MendedText>,
    /// What a chart has no place for, where the file is of another format.
    pub lost: Vec<String>,
    /// The settings it was voiced under, where they are others and it says so.
    pub voiced_under: Vec<&'static str>,
}

impl Worker<'_> {
    /// Does what is asked with one piece.
    pub fn work(&self, piece: &Piece) -> Result<Box<Checked>, Box<Bad>> {
        let found = self
            .sources
            .get(piece.source)
            .zip(self.settings.get(piece.source));
        let Some((source, settings)) = found else {
            return failed(anyhow!("no such chart"));
        };
        let read = match &self.companion {
            None => read(source, &piece.what, self.reading)?,
            Some(companion) => companion.played(source, &piece.what, self.reading)?,
        };
        let checked = match self.task {
            CheckTask::Roughest => Ok(rough(&piece.called(source), &read)),
            CheckTask::Mend => return self.mended(source, settings, read),
            CheckTask::Show(_) | CheckTask::Record => with_cache(|cache| {
                let played = read.played.as_deref();
                check(&read.chart, &read.text, played, &settings.check, cache)
            })
            .map(|report| self.checked((source, &piece.what), settings, &read, report)),
        };
        checked
            .map(Box::new)
            .map_err(|trouble| Box::new((ChartOutcome::from(trouble), read.text)))
    }

    fn mended(
        &self,
        source: &Source,
        settings: &InForce,
        read: ReadChart,
    ) -> Result<Box<Checked>, Box<Bad>> {
        if let Some(why) = unmendable(source, &read) {
            return failed(why);
        }
        let mended = match self.mended_by_rules(source, settings, &read) {
            Ok(mended) => mended,
            Err(trouble) => return Err(Box::new((ChartOutcome::from(trouble), read.text))),
        };
        let before = read.text;
        let read = ReadChart::of(mended.chart, mended.text);
        let mut checked = self.checked((source, &What::File), settings, &read, mended.after);
        let (text, remarks) = match read.text == before {
            true => (read.text, RemarksOutcome::Kept),
            false => with_cache(|cache| afresh(read.text, &before, &settings.arrange, cache)),
        };
        checked.mended = Some(MendedText {
            before,
            text,
            voicings: mended.changed.len(),
            remarks,
        });
        Ok(Box::new(checked))
    }

    /// The chart with what fails mended, but for what is on record.
    fn mended_by_rules(
        &self,
        source: &Source,
        settings: &InForce,
        read: &ReadChart,
    ) -> Result<Mended, Trouble> {
        let known = |chart: &Chart, text: &str, findings: &[Finding]| {
            self.known(source, settings, chart, text, findings)
        };
        let mut rules = settings.check.clone();
        rules.mend_from = Some(settings.fail_on);
        with_cache(|cache: &mut Cache| mend_unknown(&read.chart, &read.text, &rules, cache, known))
    }

    /// The record of known findings under these settings.
    fn record(&self, settings: &InForce) -> Option<&Known> {
        self.known.get(settings.known.as_ref()?)
    }

    /// Which of these findings are on record and so to be left alone.
    fn known(
        &self,
        source: &Source,
        settings: &InForce,
        chart: &Chart,
        text: &str,
        findings: &[Finding],
    ) -> Vec<bool> {
        let Some(record) = self.record(settings).filter(|_| !self.mend_known) else {
            return vec![false; findings.len()];
        };
        let mut shown = ShownChart::of_text(chart, text).shown(findings.iter());
        record.mark(&ChartName::of(source.path(), None), &mut shown);
        shown
            .iter()
            .map(|shown| shown.known == Some(true))
            .collect()
    }

    fn checked(
        &self,
        (source, what): (&Source, &What),
        settings: &InForce,
        read: &ReadChart,
        mut report: Report,
    ) -> Checked {
        let other = read.other.as_ref();
        let known = self.record(settings);
        let is_named = known.is_some() || self.task == CheckTask::Record;
        let mut checked = Checked {
            row: self.row(read, &report),
            unvoiced: report.is_unvoiced(),
            slots: report.slots,
            voiced: report.given,
            lost: other.map(|other| other.lost.clone()).unwrap_or_default(),
            voiced_under: voiced_under(what, settings, read),
            name: is_named.then(|| name_on_record(source, read, &report)),
            ..Checked::default()
        };
        if report.findings.is_empty() && report.suppressed.is_empty() && known.is_none() {
            return checked;
        }
        if let Some(other) = other {
            other.to_page(&mut report);
        }
        let mut shown = read
            .with_places()
            .shown(report.findings.iter().chain(&report.suppressed));
        if let (Some(known), Some(name)) = (known, &checked.name) {
            known.mark(name, &mut shown);
        }
        for finding in &shown {
            checked.count(finding, settings.fail_on);
        }
        checked.written = self.written(source, read, &report, &shown);
        checked
    }

    fn row(&self, read: &ReadChart, report: &Report) -> TableRow {
        let table = self.task == CheckTask::Show(CheckFormat::Table);
        let slots = if table {
            read.chart.slots()
        } else {
            Vec::new()
        };
        let rough = slots.iter().filter_map(|slot| Rough::of("", slot));
        TableRow {
            given: report.as_given.map(|totals| totals.cost.effort),
            best: report.best.map(|totals| totals.cost.effort),
            roughest: rough.map(|rough| rough.roughness).max(),
            ..TableRow::default()
        }
    }

    fn written(
        &self,
        source: &Source,
        read: &ReadChart,
        report: &Report,
        shown: &[Shown<'_>],
    ) -> String {
        let name = source.name();
        let is_text = read.line.is_none() && read.other.is_none();
        let text = is_text.then_some(read.text.as_str());
        match self.task {
            CheckTask::Show(CheckFormat::Json) => {
                let title = report.title.as_deref();
                let name = source.path_name();
                let lines = shown.iter().map(|shown| finding_json(&name, title, shown));
                lines.collect()
            }
            CheckTask::Show(CheckFormat::Sarif) => {
                let place = Location::of(source);
                let mut results = String::new();
                for (at, shown) in shown.iter().enumerate() {
                    results.push_str(if at > 0 { ",\n" } else { "" });
                    results.push_str(&Sarif::result(place.artifact(), shown));
                }
                results
            }
            CheckTask::Show(CheckFormat::Lines) => {
                let counts = shown.iter().filter(|shown| counts(shown));
                counts.map(|shown| finding_line(&name, shown)).collect()
            }
            CheckTask::Show(CheckFormat::Text) | CheckTask::Mend => self.drawn(&name, text, shown),
            CheckTask::Show(CheckFormat::Table) | CheckTask::Record | CheckTask::Roughest => {
                String::new()
            }
        }
    }

    /// Findings that count, drawn. What would mend several of a voicing is said once, after the last of them.
    fn drawn(&self, name: &str, text: Option<&str>, shown: &[Shown<'_>]) -> String {
        let counting: Vec<&Shown<'_>> = shown.iter().filter(|shown| counts(shown)).collect();
        let followed = counting.iter().enumerate().map(|(at, shown)| {
            let next = counting.get(at + 1);
            let mended = next.is_some_and(|next| {
                let (one, next) = (shown.finding, next.finding);
                one.place.is_same_stretch(&next.place) && one.fix == next.fix
            });
            self.style
                .finding(&called(name, shown), text, shown, mended)
        });
        followed.collect()
    }
}

impl Checked {
    fn count(&mut self, shown: &Shown<'_>, fail_on: Severity) {
        if shown.finding.suppressed.is_some() {
            self.row.waived += 1;
            return;
        }
        if self.name.is_some() {
            *self.counts.entry(shown.fingerprint()).or_default() += 1;
        }
        if !counts(shown) {
            self.row.known += 1;
            return;
        }
        self.cautioned |= shown.finding.caution.is_some();
        self.fails |= shown.finding.severity >= fail_on;
        match shown.finding.severity {
            Severity::Error => self.row.errors += 1,
            Severity::Warning => self.row.warnings += 1,
            Severity::Note => self.row.notes += 1,
        }
    }
}

/// What a finding's place is called: for a file of another format with what that calls the bar, where that
/// is something else than the finding's own place.
fn called(name: &str, shown: &Shown<'_>) -> String {
    let own = shown.place();
    let other = |place: &&String| own.split(", ").next() != Some(place.as_str());
    match shown.in_file.as_ref().filter(other) {
        Some(place) => format!("{name}, {place}"),
        None => name.to_owned(),
    }
}

/// Whether a finding is one: neither waived nor known.
fn counts(shown: &Shown<'_>) -> bool {
    shown.finding.suppressed.is_none() && shown.known != Some(true)
}

/// The settings that a chart in JSON was voiced under, where they are others than those in force.
fn voiced_under(what: &What, settings: &InForce, read: &ReadChart) -> Vec<&'static str> {
    let (What::Line(_, line), Some(_)) = (what, read.line) else {
        return Vec::new();
    };
    let line = std::str::from_utf8(line).unwrap_or_default();
    other_settings(line, &settings.arrange)
}

/// What a record calls a chart: its file, and of several in one file its title.
fn name_on_record(source: &Source, read: &ReadChart, report: &Report) -> ChartName {
    let part = read.line.map(|_| report.title.clone().unwrap_or_default());
    ChartName::of(source.path(), part)
}

fn rough(called: &str, read: &ReadChart) -> Checked {
    let slots = read.chart.slots();
    let rough = slots.iter().filter_map(|slot| Rough::of(called, slot));
    Checked {
        rough: rough.collect(),
        ..Checked::default()
    }
}
