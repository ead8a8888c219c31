//! `reharm`: other chords under the same melody, listed, applied, or chosen as whole arrangements.

mod changes;
mod chart_proposals;
mod job;
mod list;
mod result;
mod versions;

use anyhow::Result;
use compline::formats::reharm_schema;

use super::Status;
use super::args::ReharmArguments;
use super::batch;
use super::charts::Charts;
use super::input::{self, Source};
use super::output::{Destination, Guard, Output, Replacing};
use super::reading::ReadOptions;
use super::settings::Finder;
use super::terminal::Terminal;
use job::ReharmJob;
use result::ReharmOutput;

/// Runs the command.
pub fn run(arguments: &ReharmArguments, terminal: &mut Terminal) -> Result<Status> {
    if arguments.schema {
        terminal.print_all(&reharm_schema())?;
        return Ok(Status::Done);
    }
    let job = ReharmJob::of(arguments)?;
    let reading = ReadOptions::of(&arguments.reading)?;
    let sources = input::sources(&arguments.charts, &reading)?;
    let replacing = Replacing::of(arguments.force);
    let many = sources.len() > 1 || job.is_in_parts();
    let output = Output::of(arguments.output.as_deref(), many);
    let charts = Charts::of(sources, Finder::new(arguments.asked()?)?, terminal)?;
    let files = job.files(&charts.sources);
    let output = Destination::of(output, replacing, &files, &mut Guard::default())?;
    let mut printer = Printer {
        job: &job,
        several: charts.sources.len() > 1,
        output: &output,
        first: true,
    };
    let status = batch::each(
        charts.iter(),
        &reading,
        terminal,
        |(source, settings), chart, _, cache| job.on(chart, source, settings, cache),
        |place, report, terminal| printer.print(place, report, terminal),
    )?;
    terminal.flush()?;
    Ok(status)
}

/// Prints what comes of the charts, in their order.
struct Printer<'a> {
    job: &'a ReharmJob<'a>,
    /// Whether there are several charts.
    several: bool,
    output: &'a Destination,
    /// Whether nothing was printed under a name yet.
    first: bool,
}

impl Printer<'_> {
    fn print(
        &mut self,
        (at, source): (usize, &Source),
        report: ReharmOutput,
        terminal: &mut Terminal,
    ) -> Result<Status> {
        let headed = self.job.is_prose() && self.output.is_stdout(at);
        let text = match headed && !report.text.is_empty() {
            true => self.named(source, report.text),
            false => report.text,
        };
        if self.job.in_files(self.output, at, &report.pages) {
            versions::put(self.output, at, &report.pages, terminal)?;
            terminal.print(&text)?;
        } else {
            self.output.put(at, text.as_bytes(), terminal)?;
        }
        if let Some(table) = report.table {
            terminal.flush()?;
            terminal.say(&self.named(source, table));
        }
        Ok(Status::Done)
    }

    /// A text under the name of its chart where there are several, apart from the one before.
    fn named(&mut self, source: &Source, text: String) -> String {
        if !self.several {
            return text;
        }
        let gap = match std::mem::take(&mut self.first) {
            true => "",
            false => "\n",
        };
        format!("{gap}{}:\n{text}", source.name())
    }
}
