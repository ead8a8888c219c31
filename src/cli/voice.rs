//! `voice`: plans charts and writes them out.

use std::ffi::OsStr;
use std::iter::repeat_n;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use anyhow::{Result, anyhow, bail};
use compline::arrange::{Arrangement, Cache, Settings, arrange};
use compline::chart::Chart;
use compline::formats::sound::SoundOptions;
use compline::formats::{GridStyle, Style, Writer, page, schema, writer};
use compline::pitch::Key;

use super::Status;
use super::args::{VoiceArguments, VoiceFormat, WritingArguments};
use super::batch;
use super::input::{self, Source};
use super::outcome::{ChartOutcome, NoResult, Notice};
use super::output::{Destination, Output, Replacing, rewrite_or_tell, write};
use super::performing::performing;
use super::reading::{ReadOptions, no_chart};
use super::set_list::{Asked, in_tempo, is_set_list};
use super::settings::{Finder, InForce, TargetKeys, in_key, target_keys};
use super::terminal::Terminal;
use super::wishes::{PlacedWish, wishes, with_wishes};
use super::written::{drawing, written};

/// What is made of a chart before it is planned.
type Preparation = Box<dyn Fn(Chart) -> Result<Chart, NoResult> + Sync>;

/// What `voice` or `drill` was asked for, besides the settings of each chart.
pub struct VoiceJob {
    /// How each file is read.
    pub reading: ReadOptions,
    as_played: bool,
    /// Whether the hands that the charts have are left out of account.
    replan: bool,
    alternatives: usize,
    /// The keys each chart is wanted in.
    pub keys: TargetKeys,
    /// What is made of each chart first.
    pub laid: Option<Preparation>,
    wishes: Vec<PlacedWish>,
    writer: &'static Writer,
    style: Style,
}

/// Runs the command.
pub fn run(arguments: &VoiceArguments, terminal: &mut Terminal) -> Result<Status> {
    if arguments.schema {
        terminal.print_all(&schema())?;
        return Ok(Status::Done);
    }
    let writing = &arguments.writing;
    let mut job = VoiceJob::of(writing, terminal.verbose())?;
    job.replan = arguments.replan;
    let (title, sources) = input::titled_sources(&arguments.charts, &job.reading)?;
    let path = writing.output.as_deref();
    let replacing = Replacing::of(writing.force);
    let settings = Finder::new(writing.hand.asked()?)?.all(&sources, terminal)?;
    if arguments.in_place {
        let status = in_place(&job, replacing, &sources, &settings, terminal)?;
        terminal.flush()?;
        return Ok(status);
    }
    let status = match path.filter(|_| is_set(arguments, &sources, job.keys.several())) {
        Some(path) => as_set(
            (path, replacing),
            title,
            &job,
            &sources,
            &settings,
            terminal,
        )?,
        None => {
            let output = Output::of(path, sources.len() > 1 || job.keys.several());
            let output = Destination::of(output, replacing, &sources, job.writer.ending)?;
            each_by_itself(&output, &job, &sources, &settings, terminal)?
        }
    };
    terminal.flush()?;
    Ok(status)
}

/// Every chart with its left hand in its own file.
///
/// # Errors
///
/// Something that is no chart in a file of its own, or asked for as something else.
fn in_place(
    job: &VoiceJob,
    replacing: Replacing,
    sources: &[Source],
    settings: &[Arc<InForce>],
    terminal: &mut Terminal,
) -> Result<Status> {
    if job.writer.ending != input::ENDING || job.as_played {
        bail!(
            "--in-place writes the chart as it is on the page: it goes with --to text and without --as-played"
        );
    }
    let is_file = |source: &Source| matches!(source, Source::File { .. });
    if let Some(other) = sources.iter().find(|source| !is_file(source)) {
        let name = other.name();
        bail!("--in-place needs a chart in a file of its own, and {name} is none");
    }
    batch::each(
        sources,
        &job.reading,
        terminal,
        |at, chart, bytes, cache| match settings.get(at) {
            Some(settings) => own_text((chart, bytes), sources.get(at), job, settings, cache),
            None => ChartOutcome::Failed(anyhow!("no settings")),
        },
        |at, (before, text), terminal| {
            let path = sources.get(at).and_then(Source::path);
            let written =
                path.map(|path| rewrite_or_tell(path, &before, &text, replacing, terminal));
            Ok(written.unwrap_or(Status::Done))
        },
    )
}

/// What a chart's own file has, and what it is to have.
fn own_text(
    (chart, bytes): (Chart, &[u8]),
    source: Option<&Source>,
    job: &VoiceJob,
    settings: &InForce,
    cache: &mut Cache,
) -> ChartOutcome<(Vec<u8>, Vec<u8>)> {
    if job
        .reading
        .format(bytes, source.and_then(Source::path))
        .is_some()
    {
        return ChartOutcome::Failed(no_chart());
    }
    if source
        .map(Source::asked)
        .is_some_and(|asked| asked != Asked::default())
    {
        return ChartOutcome::Failed(anyhow!(
            "the set list asks for another key or tempo, and --in-place writes the chart as it is"
        ));
    }
    let outcome = voice(
        (chart, Asked::default()),
        job,
        settings,
        cache,
        |arrangement| written(arrangement, job.writer, &job.style),
    );
    outcome.map(|written| {
        let text = written.into_iter().map(|(_, text)| text);
        (bytes.to_owned(), text.flatten().collect())
    })
}

/// Whether all charts go into one document: several charts or keys, or a set list, however short, and a PDF
/// file to write.
fn is_set(arguments: &VoiceArguments, sources: &[Source], several_keys: bool) -> bool {
    let writing = &arguments.writing;
    let file = writing.output.as_deref().and_then(Path::extension);
    let pdf = writing.to == VoiceFormat::Pdf && file.is_some_and(|ending| ending == "pdf");
    let listed = arguments.charts.iter().any(|path| is_set_list(path));
    pdf && (sources.len() > 1 || several_keys || listed)
}

/// What a set list asks of a chart.
fn asked(sources: &[Source], at: usize) -> Asked {
    sources.get(at).map(Source::asked).unwrap_or_default()
}

/// Voices every chart, in each of its keys: `write` makes something of each arrangement, `deliver` takes what came
/// of a chart.
fn each_voiced<R: Send>(
    job: &VoiceJob,
    (sources, settings): (&[Source], &[Arc<InForce>]),
    terminal: &mut Terminal,
    write: impl Fn(&Arrangement) -> Result<(R, Vec<Notice>)> + Sync,
    deliver: impl FnMut(usize, Vec<(Option<Key>, R)>, &mut Terminal) -> Result<Status>,
) -> Result<Status> {
    batch::each(
        sources,
        &job.reading,
        terminal,
        |at, chart, _, cache| match settings.get(at) {
            Some(settings) => voice((chart, asked(sources, at)), job, settings, cache, &write),
            None => ChartOutcome::Failed(anyhow!("no settings")),
        },
        deliver,
    )
}

/// One document of all tunes behind a page of contents.
fn as_set(
    (path, replacing): (&Path, Replacing),
    title: Option<String>,
    job: &VoiceJob,
    sources: &[Source],
    settings: &[Arc<InForce>],
    terminal: &mut Terminal,
) -> Result<Status> {
    let mut tunes = Vec::new();
    let status = each_voiced(
        job,
        (sources, settings),
        terminal,
        |arrangement| {
            let (drawing, notices) = drawing(arrangement, &job.style.page)?;
            Ok(((drawing, arrangement.chart.key()), notices))
        },
        |_, drawn, _| {
            tunes.extend(drawn.into_iter().map(|(_, drawing)| drawing));
            Ok(Status::Done)
        },
    )?;
    let stem = path
        .file_stem()
        .map_or_else(|| "set".into(), OsStr::to_string_lossy);
    let title = title.unwrap_or_else(|| stem.into_owned());
    let document = page::pdf(&page::set(&title, tunes));
    write(path, &document, replacing, terminal)?;
    Ok(status)
}

/// A file for every chart, or all of them one after the other on standard output.
///
/// # Errors
///
/// A result that can't be written.
pub fn each_by_itself(
    output: &Destination,
    job: &VoiceJob,
    sources: &[Source],
    settings: &[Arc<InForce>],
    terminal: &mut Terminal,
) -> Result<Status> {
    each_voiced(
        job,
        (sources, settings),
        terminal,
        |arrangement| written(arrangement, job.writer, &job.style),
        |at, written, terminal| {
            for (key, bytes) in written {
                output.put_as(at, |place| with_key(place, key), &bytes, terminal)?;
            }
            Ok(Status::Done)
        },
    )
}

/// A file's place with the key in its name: `fog-signal-Cm.chart`.
fn with_key(place: &Path, key: Option<Key>) -> PathBuf {
    let Some(key) = key else {
        return place.to_owned();
    };
    let stem = place.file_stem().unwrap_or_default().to_string_lossy();
    let ending = place.extension().unwrap_or_default().to_string_lossy();
    place.with_file_name(format!("{stem}-{key}.{ending}"))
}

impl VoiceJob {
    /// The arguments, understood; with every number that is worked out if `details`.
    ///
    /// # Errors
    ///
    /// What can't be read of keys, wishes and rhythm.
    pub fn of(arguments: &WritingArguments, details: bool) -> Result<Self> {
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
        Ok(Self {
            reading: ReadOptions::of(&arguments.reading)?,
            as_played: arguments.as_played,
            replan: false,
            alternatives: arguments.alternatives,
            laid: None,
            keys: target_keys(arguments.tune.key.as_deref())?,
            wishes: wishes(&arguments.tune.wish)?,
            writer,
            style: Style {
                candidates: arguments.candidates,
                grounding: arguments.grounding,
                compare: arguments.compare,
                details,
                grid: GridStyle {
                    width: usize::from(arguments.width),
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

    /// The ending of the files it writes.
    pub const fn ending(&self) -> &'static str {
        self.writer.ending
    }
}

/// The chart in every key that is asked for, each written; what the command line asks for comes before what a
/// set list does.
fn voice<R>(
    (chart, asked): (Chart, Asked),
    job: &VoiceJob,
    settings: &InForce,
    cache: &mut Cache,
    write: impl Fn(&Arrangement) -> Result<(R, Vec<Notice>)>,
) -> ChartOutcome<Vec<(Option<Key>, R)>> {
    let mut written = Vec::new();
    let mut notices = Vec::new();
    let chart = in_tempo(chart, asked.tempo);
    let keys = job.keys.of(&chart);
    for (chart, key) in repeat_n(chart, keys.len()).zip(keys) {
        match in_one_key(chart, key.or(asked.key), job, settings, cache) {
            ChartOutcome::Done(arrangement, told) => {
                if let Err(error) = has_pass(&arrangement, job.style.performing.pass) {
                    return ChartOutcome::Failed(error);
                }
                let (result, more) = match write(&arrangement) {
                    Ok(written) => written,
                    Err(error) => return ChartOutcome::Failed(error),
                };
                written.push((key.filter(|_| job.keys.several()), result));
                notices.extend(told.into_iter().chain(more));
            }
            other => return other.map(|_| Vec::new()),
        }
    }
    ChartOutcome::Done(written, notices)
}

/// Refuses a pass that the performance doesn't come to.
fn has_pass(arrangement: &Arrangement, pass: Option<usize>) -> Result<()> {
    let passes = arrangement.passes();
    let wrong = pass.filter(|pass| *pass > passes);
    wrong.map_or(Ok(()), |pass| {
        let times = if passes == 1 {
            "once"
        } else {
            &format!("{passes} times")
        };
        bail!("--pass {pass}: the performance goes through the tune {times}")
    })
}

fn in_one_key(
    chart: Chart,
    key: Option<Key>,
    job: &VoiceJob,
    settings: &InForce,
    cache: &mut Cache,
) -> ChartOutcome<Arrangement> {
    let chart = match prepared(chart, key, job) {
        Ok(chart) => chart,
        Err(why) => return why.into_outcome(),
    };
    let settings = Settings {
        as_played: job.as_played,
        alternatives: job.alternatives,
        ..settings.arrange.clone()
    };
    match arrange(chart, &settings, cache) {
        Ok(arrangement) => {
            let warnings = arrangement.warnings.iter();
            let notices = warnings
                .map(|warning| Notice::About {
                    kind: warning.kind(),
                    message: warning.to_string(),
                    help: warning.advice(),
                })
                .collect();
            ChartOutcome::Done(arrangement, notices)
        }
        Err(trouble) => trouble.into(),
    }
}

/// The chart in its key, made what is to be made of it, with the wishes of the command line.
fn prepared(chart: Chart, key: Option<Key>, job: &VoiceJob) -> Result<Chart, NoResult> {
    let chart = match job.replan {
        true => chart.without_hands(),
        false => chart,
    };
    let chart = in_key(chart, key).map_err(ChartOutcome::Failed)?;
    let chart = match &job.laid {
        Some(laid) => laid(chart)?,
        None => chart,
    };
    with_wishes(chart, &job.wishes).map_err(ChartOutcome::Failed)
}
