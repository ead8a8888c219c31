//! What `voice` and `drill` are asked for, and how one chart is voiced.

use std::iter::repeat_n;

use anyhow::{Result, bail};
use compline::arrange::{Arrangement, Cache, Settings, arrange};
use compline::chart::Chart;
use compline::formats::sound::SoundOptions;
use compline::formats::{GridStyle, Style, Writer};
use compline::pitch::Key;

use crate::cli::Status;
use crate::cli::args::WritingArguments;
use crate::cli::batch;
use crate::cli::charts::Charts;
use crate::cli::outcome::{ChartResult, NoResult, Notice};
use crate::cli::performing::performing;
use crate::cli::reading::ReadOptions;
use crate::cli::set_list::{Asked, in_tempo};
use crate::cli::settings::{InForce, TargetKeys, in_key, target_keys};
use crate::cli::terminal::Terminal;
use crate::cli::wishes::{PlacedWish, wishes, with_wishes};

/// What is made of a chart before it is planned.
type Preparation = Box<dyn Fn(Chart) -> Result<Chart, NoResult> + Sync>;

/// What `voice` or `drill` was asked for, besides the settings of each chart.
pub struct VoiceJob {
    /// How each file is read.
    pub reading: ReadOptions,
    /// Whether every pass of a repeat is written out.
    pub as_played: bool,
    /// Whether the hands that the charts have are left out of account.
    pub replan: bool,
    alternatives: usize,
    /// The keys each chart is wanted in.
    pub keys: TargetKeys,
    /// What is made of each chart first.
    pub laid: Option<Preparation>,
    wishes: Vec<PlacedWish>,
    /// The format it is written in.
    pub writer: &'static Writer,
    /// How that is written.
    pub style: Style,
}

impl VoiceJob {
    /// The arguments, understood; with every number that is worked out if `details`.
    ///
    /// # Errors
    ///
    /// What can't be read of keys, wishes and rhythm.
    pub fn of(arguments: &WritingArguments, details: bool) -> Result<Self> {
        Ok(Self {
            reading: ReadOptions::of(&arguments.reading)?,
            as_played: arguments.as_played,
            replan: false,
            alternatives: arguments.alternatives,
            laid: None,
            keys: target_keys(arguments.tune.key.as_deref())?.each_once(),
            wishes: wishes(&arguments.tune.wish)?,
            writer: arguments.to.writer(),
            style: style(arguments, details)?,
        })
    }
}

/// How everything is written, with every number that is worked out if `details`.
fn style(arguments: &WritingArguments, details: bool) -> Result<Style> {
    Ok(Style {
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
    })
}

/// Voices every chart, in each of its keys: `write` makes something of each arrangement, `deliver` takes what came
/// of a chart.
pub(super) fn each_voiced<R: Send>(
    job: &VoiceJob,
    charts: &Charts,
    terminal: &mut Terminal,
    write: impl Fn(usize, Option<Key>, &Arrangement) -> Result<(R, Vec<Notice>)> + Sync,
    mut deliver: impl FnMut(usize, Vec<R>, &mut Terminal) -> Result<Status>,
) -> Result<Status> {
    let numbered = charts.iter().enumerate();
    batch::each(
        numbered.map(|(at, (source, settings))| (source, (at, settings))),
        &job.reading,
        terminal,
        |(source, (at, settings)), chart, _, cache| {
            let write = |key, arrangement: &_| write(at, key, arrangement);
            voiced((chart, source.asked()), job, settings, cache, write)
        },
        |(at, _), results, terminal| deliver(at, results, terminal),
    )
}

/// The chart in every key that is asked for, each written; what the command line asks for comes before what a
/// set list does.
pub(super) fn voiced<R>(
    (chart, asked): (Chart, Asked),
    job: &VoiceJob,
    settings: &InForce,
    cache: &mut Cache,
    write: impl Fn(Option<Key>, &Arrangement) -> Result<(R, Vec<Notice>)>,
) -> ChartResult<Vec<R>> {
    let mut written = Vec::new();
    let mut notices = Vec::new();
    let chart = in_tempo(chart, asked.tempo);
    let keys = job.keys.of(&chart);
    for (chart, key) in repeat_n(chart, keys.len()).zip(keys) {
        let arrangement = in_one_key(chart, key.or(asked.key), job, settings, cache)?;
        has_pass(&arrangement, job.style.performing.pass)?;
        let (result, told) = write(key.filter(|_| job.keys.several()), &arrangement)?;
        written.push(result);
        notices.extend(warnings(&arrangement).chain(told));
    }
    Ok((written, notices))
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
) -> Result<Arrangement, NoResult> {
    let settings = Settings {
        as_played: job.as_played,
        alternatives: job.alternatives,
        ..settings.arrange.clone()
    };
    let chart = prepared(chart, key, job)?;
    Ok(arrange(chart, &settings, cache)?)
}

fn warnings(arrangement: &Arrangement) -> impl Iterator<Item = Notice> {
    arrangement.warnings.iter().map(|warning| Notice::About {
        kind: warning.kind(),
        message: warning.to_string(),
        help: warning.advice(),
    })
}

/// The chart in its key, made what is to be made of it, with the wishes of the command line.
fn prepared(chart: Chart, key: Option<Key>, job: &VoiceJob) -> Result<Chart, NoResult> {
    let chart = match job.replan {
        true => chart.without_hands(),
        false => chart,
    };
    let chart = in_key(chart, key)?;
    let chart = match &job.laid {
        Some(laid) => laid(chart)?,
        None => chart,
    };
    Ok(with_wishes(chart, &job.wishes)?)
}
