//! `tidy`: charts in their standard layout.

use anyhow::{Result, bail};
use compline::arrange::{Cache, Settings};
use compline::chart::{Chart, without_remarks};
use compline::pitch::Key;

use super::Status;
use super::args::TidyArguments;
use super::batch;
use super::charts::Charts;
use super::input::{self, ENDING, Source};
use super::outcome::{ChartResult, Notice};
use super::output::{
    Destination, Guard, Output, Replacing, ResultFiles, refuse_in_place, rewrite_or_tell,
};
use super::reading::{ReadOptions, no_chart};
use super::remarks::{LEFT_OUT, RemarksOutcome, afresh};
use super::set_list::{Asked, in_tempo};
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
    let finder = Finder::new(AskedSettings::default())?;
    let charts = Charts::of(sources, finder, terminal)?;
    let to = to(arguments, replacing, &charts.sources)?;
    let own = arguments.in_place || arguments.check;
    let status = batch::each(
        charts.iter(),
        &reading,
        terminal,
        |(source, settings), chart, bytes, cache| {
            if own && reading.format(bytes, source.path()).is_some() {
                return Err(no_chart().into());
            }
            // A file of its own keeps its key, whatever a set list asks for.
            let asked = match own {
                true => Asked::default(),
                false => source.asked(),
            };
            let chart = in_tempo(chart, asked.tempo);
            tidy(chart, bytes, key.or(asked.key), &settings.arrange, cache)
        },
        |(at, source), tidied, terminal| match arguments.check {
            true => check(source, &tidied, terminal),
            false => put(&to, (at, source), &tidied, replacing, terminal),
        },
    )?;
    terminal.flush()?;
    Ok(status)
}

/// Writes a tidied chart where it goes.
fn put(
    to: &To,
    (at, source): (usize, &Source),
    tidied: &Tidied,
    replacing: Replacing,
    terminal: &mut Terminal,
) -> Result<Status> {
    let bytes = tidied.text.as_bytes();
    match (to, source.path()) {
        (To::Elsewhere(output), _) => output.put(at, bytes, terminal)?,
        (To::Itself, Some(path)) => {
            let before = &tidied.before;
            return Ok(rewrite_or_tell(path, before, bytes, replacing, terminal));
        }
        (To::Itself, None) => {}
    }
    Ok(Status::Done)
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
) -> ChartResult<Tidied> {
    let text = in_key(chart, key)?.to_string();
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
    Ok((Tidied { text, before }, Vec::from_iter(told)))
}

fn to(arguments: &TidyArguments, replacing: Replacing, sources: &[Source]) -> Result<To> {
    if !arguments.in_place {
        let output = Output::of(arguments.output.as_deref(), sources.len() > 1);
        let files = ResultFiles::of(sources, ENDING);
        let output = Destination::of(output, replacing, &files, &mut Guard::default())?;
        return Ok(To::Elsewhere(output));
    }
    if sources.iter().any(Source::is_stdin) {
        bail!("--in-place needs a file, and standard input (`-`) is none");
    }
    refuse_in_place(sources.iter().filter_map(Source::path))?;
    Ok(To::Itself)
}

fn check(source: &Source, tidied: &Tidied, terminal: &mut Terminal) -> Result<Status> {
    if tidied.before == tidied.text.as_bytes() {
        return Ok(Status::Done);
    }
    terminal.print(&format!("{}\n", source.name()))?;
    Ok(Status::Findings)
}
