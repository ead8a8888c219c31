//! `voice`: plans charts and writes them out.

use anyhow::{Result, anyhow, bail};
use compline::arrange::{Cache, Settings, arrange};
use compline::chart::Chart;
use compline::formats::sound::SoundOptions;
use compline::formats::{GridStyle, Style, Writer, schema, writer};
use compline::pitch::Key;

use super::Status;
use super::args::{VoiceArguments, VoiceFormat};
use super::batch::{self, ChartOutcome, Notice};
use super::input;
use super::output::{Output, deliver, make_folder_of};
use super::performing::performing;
use super::settings::{Finder, InForce, SettingsLayer, in_key, target_key};
use super::terminal::Terminal;
use super::wishes::{PlacedWish, wishes, with_wishes};

/// What `voice` was asked for, besides the settings of each chart.
struct VoiceJob {
    as_played: bool,
    alternatives: usize,
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
    let settings =
        Finder::new(&arguments.hand, &SettingsLayer::default())?.all(&sources, terminal)?;
    let status = batch::each(
        &sources,
        terminal,
        |at, chart, _, cache| match settings.get(at) {
            Some(settings) => voice(chart, &job, settings, cache),
            None => ChartOutcome::Failed(anyhow!("no settings")),
        },
        |at, bytes, terminal| {
            let place = places.get(at).and_then(Option::as_deref);
            if let (Some(place), Output::Folder(_)) = (place, &output) {
                make_folder_of(place)?;
            }
            deliver(place, &bytes, terminal.out())?;
            Ok(Status::Done)
        },
    )?;
    terminal.flush()?;
    Ok(status)
}

fn job(arguments: &VoiceArguments) -> Result<VoiceJob> {
    let name = match arguments.to {
        VoiceFormat::Text => "text",
        VoiceFormat::Json => "json",
        VoiceFormat::Grid => "grid",
        VoiceFormat::Musicxml => "musicxml",
        VoiceFormat::Midi => "midi",
        VoiceFormat::Svg => "svg",
        VoiceFormat::Pdf => "pdf",
        VoiceFormat::Wav => "wav",
    };
    let Some(writer) = writer(name) else {
        bail!("there is no writer called {name}");
    };
    Ok(VoiceJob {
        as_played: arguments.as_played,
        alternatives: arguments.alternatives,
        key: target_key(arguments.tune.key.as_deref())?,
        wishes: wishes(&arguments.tune.wish)?,
        writer,
        style: Style {
            candidates: arguments.candidates,
            grounding: arguments.grounding,
            compare: arguments.compare,
            grid: GridStyle {
                width: arguments.width,
                ascii: arguments.ascii,
            },
            performing: performing(&arguments.performing)?,
            page: arguments.page.options(),
            sound: SoundOptions {
                count_in: arguments.performing.count_in,
            },
        },
    })
}

fn voice(
    chart: Chart,
    job: &VoiceJob,
    settings: &InForce,
    cache: &mut Cache,
) -> ChartOutcome<Vec<u8>> {
    let chart = in_key(chart, job.key).and_then(|chart| with_wishes(chart, &job.wishes));
    let chart = match chart {
        Ok(chart) => chart,
        Err(error) => return ChartOutcome::Failed(error),
    };
    let settings = Settings {
        as_played: job.as_played,
        alternatives: job.alternatives,
        ..settings.arrange.clone()
    };
    match arrange(chart, &settings, cache) {
        Ok(arrangement) => {
            let warnings = arrangement.warnings.iter();
            let remarks = warnings
                .map(|warning| Notice::About(warning.to_string(), warning.advice()))
                .collect();
            ChartOutcome::Done((job.writer.write)(&arrangement, &job.style), remarks)
        }
        Err(trouble) => trouble.into(),
    }
}
