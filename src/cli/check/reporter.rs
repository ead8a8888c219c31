//! Where what came of each chart goes, in order: findings to standard output, mended charts to their
//! places, the record to its file; and the count of it all.

use std::path::Path;

use anyhow::{Context, Result, bail};
use compline::check::RuleSettings;
use compline::formats::{
    Lines, Region, RoughestList, Sarif, table_head, table_row, table_total, unread_json,
    unread_line,
};

use super::artifact::Location;
use super::check_one::{CheckTask, Checked};
use super::pieces::{Piece, What};
use super::read_chart::Bad;
use super::record::Recorder;
use super::tally::{CheckTally, findings};
use super::tell_beside::tell_beside;
use crate::cli::Status;
use crate::cli::args::{CheckArguments, CheckFormat};
use crate::cli::input::{ENDING, Source};
use crate::cli::outcome::{ChartOutcome, complain};
use crate::cli::output::{Destination, Guard, Output, Replacing, ResultFiles, refuse_in_place};
use crate::cli::terminal::Terminal;
use crate::cli::visible::path_in_one_line;
use compline::words::counted;

/// Collects what the workers bring, in the order of the charts.
pub struct Reporter<'a> {
    task: CheckTask,
    sources: &'a [Source],
    to: Option<Destination>,
    replacing: Replacing,
    record: Option<(&'a Path, Recorder)>,
    roughest: RoughestList,
    rough_json: bool,
    sarif: Sarif,
    /// What was counted.
    pub tally: CheckTally,
    worst: Status,
    /// How many lines of JSON were no chart.
    bad_lines: usize,
}

/// Of so many lines of JSON that are no chart it is told what is wrong; the rest are counted.
const MOST_LINES_TOLD: usize = 100;

/// With more such lines than this nothing more is read.
const MOST_BAD_LINES: usize = 30_000;

impl<'a> Reporter<'a> {
    /// Ready for the first chart.
    ///
    /// # Errors
    ///
    /// Two charts that would be written to one file; a record that can't be begun.
    pub fn new(
        task: CheckTask,
        arguments: &'a CheckArguments,
        sources: &'a [Source],
    ) -> Result<Self> {
        let replacing = Replacing::of(arguments.force);
        let to = arguments.output.as_deref().map(|path| {
            Destination::of(
                Output::of(Some(path), sources.len() > 1),
                replacing,
                &ResultFiles::of(sources, ENDING),
                &mut Guard::default(),
            )
        });
        if task == CheckTask::Mend && to.is_none() {
            refuse_in_place(sources.iter().filter_map(Source::path))?;
        }
        let record = arguments.record.as_deref();
        let record = record.map(|path| Ok((path, recorder(path, replacing)?)));
        let record: Result<_> = record.transpose();
        Ok(Self {
            task,
            sources,
            record: record?,
            to: to.transpose()?,
            replacing,
            roughest: RoughestList::of(arguments.roughest.unwrap_or(0)),
            rough_json: arguments.to == CheckFormat::Json,
            sarif: Sarif::default(),
            tally: CheckTally::default(),
            worst: Status::Done,
            bad_lines: 0,
        })
    }

    /// What stands before the first chart's findings.
    ///
    /// # Errors
    ///
    /// Standard output can't be written.
    pub fn begin(&self, settings: &RuleSettings, terminal: &mut Terminal) -> Result<()> {
        let head = match self.task {
            CheckTask::Show(CheckFormat::Sarif) => Sarif::head(env!("CARGO_PKG_VERSION"), settings),
            CheckTask::Show(CheckFormat::Table) => table_head(),
            _ => String::new(),
        };
        Ok(terminal.print(&head)?)
    }

    /// Something that could not even be looked into.
    pub fn trouble(&mut self, error: &anyhow::Error, terminal: &mut Terminal) {
        let message = format!("{error:#}");
        terminal.error(&message);
        self.sarif.failure(None, &message);
        self.worst = Status::Failed;
    }

    /// A chart that could not be checked.
    ///
    /// # Errors
    ///
    /// Too many lines of JSON that are no charts.
    pub fn bad(&mut self, piece: &Piece, bad: Bad, terminal: &mut Terminal) -> Result<Status> {
        let (outcome, text) = bad;
        let Some(source) = self.sources.get(piece.source) else {
            return Ok(Status::Failed);
        };
        let unread = matches!(outcome, ChartOutcome::Failed(_) | ChartOutcome::Mistaken(_));
        if unread && matches!(piece.what, What::Line(..)) {
            self.bad_lines += 1;
            if self.bad_lines > MOST_BAD_LINES {
                let name = source.name();
                bail!(
                    "{name}: more than {MOST_BAD_LINES} lines of JSON are no voiced charts: the rest is not read"
                );
            }
            if self.bad_lines > MOST_LINES_TOLD {
                self.worst = Status::Failed;
                return Ok(Status::Failed);
            }
        }
        self.tally.unread += usize::from(unread);
        self.not_read(source, &text, &outcome, terminal)?;
        let status = complain(&piece.called(source), &text, outcome, terminal);
        self.worst = self.worst.max(status);
        Ok(status)
    }

    /// Why a chart could not be checked, in the format asked for: each mistake in it at its place.
    fn not_read(
        &mut self,
        source: &Source,
        text: &str,
        outcome: &ChartOutcome<()>,
        terminal: &mut Terminal,
    ) -> Result<()> {
        let listed = [CheckFormat::Sarif, CheckFormat::Lines, CheckFormat::Json];
        if !listed.map(CheckTask::Show).contains(&self.task) {
            return Ok(());
        }
        let place = Location::of(source);
        for (message, region) in told(outcome, text) {
            match self.task {
                CheckTask::Show(CheckFormat::Sarif) => {
                    self.sarif
                        .failure(Some((place.artifact(), region)), &message);
                }
                CheckTask::Show(CheckFormat::Lines) => {
                    terminal.print(&unread_line(&source.name(), region, &message))?;
                }
                CheckTask::Show(CheckFormat::Json) => {
                    terminal.print(&unread_json(&source.path_name(), region, &message))?;
                }
                _ => {}
            }
        }
        Ok(())
    }

    /// A chart that was checked.
    ///
    /// # Errors
    ///
    /// Something can't be written.
    pub fn checked(
        &mut self,
        piece: &Piece,
        checked: Checked,
        terminal: &mut Terminal,
    ) -> Result<Status> {
        let source = self.sources.get(piece.source);
        let called = source.map(|source| piece.called(source));
        let called = called.unwrap_or_default();
        self.tally.add(&checked, &called);
        tell_beside(&called, &checked, terminal);
        let found = match checked.fails && self.record.is_none() {
            true => Status::Findings,
            false => Status::Done,
        };
        let mut written = Status::Done;
        match self.task {
            CheckTask::Mend => written = self.mended(source, piece.source, &checked, terminal)?,
            CheckTask::Record => self.record(checked),
            CheckTask::Roughest => checked
                .rough
                .into_iter()
                .for_each(|rough| self.roughest.add(rough)),
            CheckTask::Show(format) => self.show(format, &called, &checked, terminal)?,
        }
        let status = found.max(written);
        self.worst = self.worst.max(status);
        Ok(status)
    }

    fn record(&mut self, checked: Checked) {
        if let (Some((_, record)), Some(name)) = (&mut self.record, &checked.name) {
            record.add(name, checked.counts);
        }
    }

    fn show(
        &mut self,
        format: CheckFormat,
        called: &str,
        checked: &Checked,
        terminal: &mut Terminal,
    ) -> Result<()> {
        match format {
            CheckFormat::Table => {
                terminal.print(&table_row(&checked.row, called))?;
            }
            CheckFormat::Sarif if checked.written.is_empty() => {}
            CheckFormat::Sarif => {
                terminal.print(&format!("{}{}", self.sarif.comma(), checked.written))?;
            }
            CheckFormat::Json | CheckFormat::Lines => terminal.print(&checked.written)?,
            // Made visible before it was drawn.
            CheckFormat::Text => terminal.write(checked.written.as_bytes())?,
        }
        Ok(())
    }

    /// Writes a mended chart, says what was mended, and shows what is left.
    fn mended(
        &mut self,
        source: Option<&Source>,
        at: usize,
        checked: &Checked,
        terminal: &mut Terminal,
    ) -> Result<Status> {
        let mut written = Status::Done;
        if let (Some(source), Some(mended)) = (source, &checked.mended) {
            let to = self.to.as_ref().map(|output| (output, at));
            written = mended.put(source, to, self.replacing, terminal)?;
            match (written, mended.what()) {
                (Status::Failed, _) => self.tally.unwritten += 1,
                (_, None) => {}
                (_, Some(what)) => {
                    self.tally.mended += mended.voicings;
                    terminal.say(&format!("{}: {what}\n", source.name()));
                }
            }
        }
        terminal.drawn(&checked.written);
        Ok(written)
    }

    /// Ends the run: what stands after the last chart's findings, and what was found in all.
    ///
    /// # Errors
    ///
    /// Something can't be written.
    pub fn end(mut self, gone: usize, terminal: &mut Terminal) -> Result<Status> {
        self.tally.gone += gone;
        terminal.print(&self.tail())?;
        terminal.flush()?;
        if let Some(untold @ 1..) = self.bad_lines.checked_sub(MOST_LINES_TOLD) {
            let told = format!(
                "{untold} more lines of JSON could not be checked: {MOST_LINES_TOLD} are told"
            );
            terminal.error(&told);
        }
        let worst = self.worst;
        let sentence = self.sentence(terminal)?;
        terminal.say(&sentence.unwrap_or_default());
        Ok(worst)
    }

    /// What stands after the last chart's findings.
    fn tail(&mut self) -> String {
        match self.task {
            CheckTask::Show(CheckFormat::Sarif) => std::mem::take(&mut self.sarif).tail(),
            CheckTask::Show(CheckFormat::Table) => table_total(&self.tally.all, self.tally.charts),
            CheckTask::Roughest if self.rough_json => std::mem::take(&mut self.roughest).json(),
            CheckTask::Roughest => std::mem::take(&mut self.roughest).text(),
            _ => String::new(),
        }
    }

    /// What is said of it all in the end, once the record is written, if there is one.
    fn sentence(self, terminal: &mut Terminal) -> Result<Option<String>> {
        let in_words = matches!(
            self.task,
            CheckTask::Show(CheckFormat::Text | CheckFormat::Lines) | CheckTask::Mend
        );
        Ok(match self.record {
            Some((path, record)) if self.worst < Status::Failed => {
                record.finish()?;
                Some(recorded(&self.tally, path))
            }
            Some((path, _)) => {
                let path = path_in_one_line(path);
                let told = format!(
                    "{path} is not written: a chart that can't be read has no findings to record"
                );
                terminal.error(&told);
                None
            }
            None if in_words => self.tally.sentence(),
            None => self.tally.unvoiced(),
        })
    }
}

/// The record that is to be written to a file.
///
/// # Errors
///
/// The file is one of the charts or a settings file, or can't be written.
fn recorder(path: &Path, replacing: Replacing) -> Result<Recorder> {
    Guard::default().add_record(path).context("--record")?;
    Recorder::begin(path, replacing)
}

/// How much was recorded, and where.
fn recorded(tally: &CheckTally, path: &Path) -> String {
    let found = counted(findings(&tally.all) + tally.all.known, "finding");
    let charts = counted(tally.charts, "chart");
    format!(
        "{found} of {charts} recorded in {}\n",
        path_in_one_line(path)
    )
}

/// What there is to say about a chart that could not be checked, each with its place.
fn told(outcome: &ChartOutcome<()>, text: &str) -> Vec<(String, Option<Region>)> {
    let whole = |message: String| vec![(message, None)];
    match outcome {
        ChartOutcome::Done(..) => Vec::new(),
        ChartOutcome::Mistaken(problems) => {
            let lines = Lines::of(text);
            let problems = problems.iter().take(MOST_LINES_TOLD);
            problems
                .map(|problem| {
                    let region = lines.region(problem.span.clone());
                    (problem.message.clone(), Some(region))
                })
                .collect()
        }
        ChartOutcome::Stuck(slots) => {
            let first = slots.first().map(|stuck| stuck.why.to_string());
            first.map_or_else(Vec::new, whole)
        }
        ChartOutcome::Unplanned(why, _) => whole(why.clone()),
        ChartOutcome::Failed(error) => whole(format!("{error:#}")),
    }
}
