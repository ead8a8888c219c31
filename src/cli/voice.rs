//! `voice`: plans charts and writes them out.

use anyhow::{Result, bail};
use compline::arrange::{Cache, Settings, arrange};
use compline::chart::Chart;
use compline::pitch::Key;
use compline::write::{GridStyle, Style, Writer, schema, writer};

use super::Status;
use super::args::{VoiceArguments, VoiceFormat};
use super::batch::{self, Outcome, Remark};
use super::input;
use super::output::{Output, deliver, make_folder_of};
use super::settings::{in_key, settings, target_key};
use super::terminal::Terminal;
use super::wishes::{PlacedWish, wishes, with_wishes};

/// What `voice` was asked for.
struct Job {
    settings: Settings,
    key: Option<Key>,
    wishes: Vec<PlacedWish>,
    writer: &'static Writer,
    style: Style,
}

/// Runs the command.
pub fn run(arguments: &VoiceArguments, terminal: &mut Terminal) -> Result<Status> {
    if arguments.schema {
        terminal.out().write_all(schema().as_bytes())?;
        terminal.flush()?;
        return Ok(Status::Done);
    }
    let job = job(arguments)?;
    let sources = input::sources(&arguments.charts)?;
    let output = Output::of(arguments.output.as_deref(), &sources);
    let places = output.places(&sources, job.writer.ending)?;
    let status = batch::each(
        &sources,
        terminal,
        |chart, _, cache| voice(chart, &job, cache),
        |at, text, terminal| {
            let place = places.get(at).and_then(Option::as_deref);
            if let (Some(place), Output::Folder(_)) = (place, &output) {
                make_folder_of(place)?;
            }
            deliver(place, text.as_bytes(), terminal.out())?;
            Ok(Status::Done)
        },
    )?;
    terminal.flush()?;
    Ok(status)
}

fn job(arguments: &VoiceArguments) -> Result<Job> {
    let name = match arguments.to {
        VoiceFormat::Text => "text",
        VoiceFormat::Json => "json",
        VoiceFormat::Grid => "grid",
    };
    let Some(writer) = writer(name) else {
        bail!("there is no writer called {name}");
    };
    Ok(Job {
        settings: Settings {
            as_played: arguments.as_played,
            alternatives: arguments.alternatives,
            ..settings(&arguments.hand)?
        },
        key: target_key(arguments.hand.key.as_deref())?,
        wishes: wishes(&arguments.hand.wish)?,
        writer,
        style: Style {
            candidates: arguments.candidates,
            grounding: arguments.grounding,
            compare: arguments.compare,
            grid: GridStyle {
                width: arguments.width,
                ascii: arguments.ascii,
            },
        },
    })
}

fn voice(chart: Chart, job: &Job, cache: &mut Cache) -> Outcome<String> {
    let chart = in_key(chart, job.key).and_then(|chart| with_wishes(chart, &job.wishes));
    let chart = match chart {
        Ok(chart) => chart,
        Err(error) => return Outcome::Failed(error),
    };
    match arrange(chart, &job.settings, cache) {
        Ok(arrangement) => {
            let warnings = arrangement.warnings.iter();
            let remarks = warnings
                .map(|warning| Remark::About(warning.to_string(), warning.advice()))
                .collect();
            Outcome::Done((job.writer.write)(&arrangement, &job.style), remarks)
        }
        Err(trouble) => trouble.into(),
    }
}
