//! `tidy`: charts in their standard layout.

use anyhow::{Result, anyhow, bail};
use compline::arrange::{Cache, Settings};
use compline::chart::{Chart, without_remarks};
use compline::pitch::Key;

use super::Status;
use super::args::TidyArguments;
use super::batch;
use super::input::{self, ENDING, Source};
use super::outcome::{ChartOutcome, Notice};
use super::output::{Destination, Output, Replacing, rewrite_or_tell};
use super::reading::{ReadOptions, no_chart};
use super::remarks::{LEFT_OUT, RemarksOutcome, afresh};
use super::set_list::in_tempo;
use super::settings::{AskedSettings, Finder, in_key, target_key};
use super::terminal::Terminal;

/// Where a tidied chart goes.
enum To {
    /// Its own file.
    Itself,
    /// Elsewhere.
    Elsewhere(Destination),
}

/// Runs the command.
pub fn run(arguments: &TidyArguments, terminal: &mut Terminal) -> Result<Status> {
    let key = target_key(arguments.key.as_deref())?;
    let reading = ReadOptions::of(&arguments.reading)?;
    let sources = input::sources(&arguments.charts, &reading)?;
    let replacing = Replacing::of(arguments.force);
    let to = to(arguments, replacing, &sources)?;
    let settings = Finder::new(AskedSettings::default())?.all(&sources, terminal)?;
    let status = batch::each(
        &sources,
        &reading,
        terminal,
        |at, chart, bytes, cache| {
            let path = sources.get(at).and_then(Source::path);
            let own = arguments.in_place || arguments.check;
            let other = reading.format(bytes, path).filter(|_| own);
            match (other, settings.get(at)) {
                (Some(_), _) => ChartOutcome::Failed(no_chart()),
                (None, Some(settings)) => {
                    // A file of its own keeps its key, whatever a set list asks for.
                    let asked = sources.get(at).map(Source::asked).filter(|_| !own);
                    let asked = asked.unwrap_or_default();
                    let chart = in_tempo(chart, asked.tempo);
                    tidy(chart, bytes, key.or(asked.key), &settings.arrange, cache)
                }
                (None, None) => ChartOutcome::Failed(anyhow!("no settings")),
            }
        },
        |at, tidied, terminal| {
            let Some(source) = sources.get(at) else {
                return Ok(Status::Done);
            };
            if arguments.check {
                return check(source, &tidied, terminal);
            }
            let bytes = tidied.text.as_bytes();
            match (&to, source.path()) {
                (To::Elsewhere(output), _) => output.put(at, bytes, terminal)?,
                (To::Itself, Some(path)) => {
                    let before = &tidied.before;
                    return Ok(rewrite_or_tell(path, before, bytes, replacing, terminal));
                }
                (To::Itself, None) => {}
            }
            Ok(Status::Done)
        },
    )?;
    terminal.flush()?;
    Ok(status)
}

/// A chart in its standard layout.
struct Tidied {
    text: String,
    /// What it was.
    before: Vec<u8>,
}

fn tidy(
    chart: Chart,
    source: &[u8],
    key: Option<Key>,
    settings: &Settings,
    cache: &mut Cache,
) -> ChartOutcome<Tidied> {
    let chart = match in_key(chart, key) {
        Ok(chart) => chart,
        Err(error) => return ChartOutcome::Failed(error),
    };
    let text = chart.to_string();
    let before = source.to_owned();
    let source = String::from_utf8_lossy(source);
    // What is tidy stays as it is, with the program's remarks.
    let (text, remarks) = match without_remarks(&source) == text {
        true => (source.into_owned(), RemarksOutcome::Kept),
        false => afresh(text, &source, settings, cache),
    };
    let told = (remarks == RemarksOutcome::LeftOut).then(|| Notice::About {
        kind: LEFT_OUT,
        message: LEFT_OUT.to_owned(),
        help: None,
    });
    ChartOutcome::Done(Tidied { text, before }, Vec::from_iter(told))
}

fn to(arguments: &TidyArguments, replacing: Replacing, sources: &[Source]) -> Result<To> {
    if !arguments.in_place {
        let output = Output::of(arguments.output.as_deref(), sources.len() > 1);
        let output = Destination::of(output, replacing, sources, ENDING)?;
        return Ok(To::Elsewhere(output));
    }
    if sources.iter().any(Source::is_stdin) {
        bail!("--in-place needs a file, and standard input (`-`) is none");
    }
    Ok(To::Itself)
}

fn check(source: &Source, tidied: &Tidied, terminal: &mut Terminal) -> Result<Status> {
    if tidied.before == tidied.text.as_bytes() {
        return Ok(Status::Done);
    }
    terminal.print(&format!("{}\n", source.name()))?;
    Ok(Status::Findings)
}
