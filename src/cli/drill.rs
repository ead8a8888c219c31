//! `drill`: a chart or a formula through the keys, planned as one performance and written out.

use std::ops::RangeInclusive;
use std::path::Path;

use anyhow::{Result, anyhow, bail};
use compline::chart::{Chart, Diagnostic, Form, NotLaid, Stop, VoicingWish, Wish, Wishes};
use compline::harmony::{formula, is_formula};
use compline::pitch::{Cycle, Key};

use super::Status;
use super::args::{BarsOrChord, DrillArguments, Tempi};
use super::charts::Charts;
use super::input::{self, Source};
use super::outcome::{ChartOutcome, NoResult};
use super::output::{Destination, Guard, Output, Replacing, ResultFiles};
use super::reading::ReadOptions;
use super::settings::{Finder, SURCHARGES, SettingsLayer, TargetKeys, other_mode, target_keys};
use super::terminal::Terminal;
use super::voice::{VoiceJob, each_by_itself};

/// How a chart is laid through the keys.
struct Laying {
    keys: Keys,
    bars: Option<RangeInclusive<usize>>,
    first: Option<Form>,
    tempi: Option<Tempi>,
}

/// Which keys come, in which order.
enum Keys {
    /// All twelve, from the chart's own on or from this one.
    Round(Cycle, bool, Option<Key>),
    /// These.
    These(Vec<Key>),
}

const FORMULA: &str = "a formula is Roman numerals with qualities, such as ii-V-I or I VI7 | ii V";

/// Runs the command.
pub fn run(arguments: &DrillArguments, terminal: &mut Terminal) -> Result<Status> {
    let writing = &arguments.writing;
    let mut job = VoiceJob::of(writing, terminal.verbose())?;
    let Some(source) = source(&arguments.what, &job.reading, terminal)? else {
        return Ok(Status::Failed);
    };
    let laying = laying(arguments)?;
    job.keys = TargetKeys::AsWritten;
    job.laid = Some(Box::new(move |chart| laying.lay(&chart)));
    let finder = Finder::new(writing.hand.asked()?)?.usually(usual()?);
    let charts = Charts::of(vec![source], finder, terminal)?;
    let output = Output::of(writing.output.as_deref(), false);
    let replacing = Replacing::of(writing.force);
    let files = ResultFiles::of(&charts.sources, job.writer.ending);
    let output = Destination::of(output, replacing, &files, &mut Guard::default())?;
    let status = each_by_itself(&output, &job, &charts, terminal)?;
    terminal.flush()?;
    Ok(status)
}

/// In a drill the usual voicings are what is learned: a tension left out is dearer than elsewhere. With
/// the surcharge of 4 a two-five-one in fourths is as cheap with a root in place of every ninth; from 5 on
/// they stand in fourths, from 7 on in every order of keys.
fn usual() -> Result<SettingsLayer> {
    SURCHARGES.typed(&["plain=16".to_owned()])
}

/// What is to be laid through the keys: a file, else a formula; `None` where it is told that it is neither.
fn source(what: &str, reading: &ReadOptions, terminal: &mut Terminal) -> Result<Option<Source>> {
    let path = Path::new(what);
    let is_path = path.exists() || path.extension().is_some() || !is_formula(what);
    if !is_path_by_name(path) && !is_formula(what) {
        bail!("`{what}` is neither a file nor a formula: {FORMULA}");
    }
    if is_path {
        let mut sources = input::sources(&[path.to_owned()], reading)?;
        return match sources.len() {
            1 => Ok(sources.pop()),
            count => bail!("{what} has {count} charts: a drill is made of one"),
        };
    }
    match formula(what) {
        Ok(chart) => Ok(Some(Source::Made {
            name: what.trim().to_owned(),
            bytes: chart.tidy().into_bytes().into(),
        })),
        Err(wrong) => {
            let message = format!("`{what}` is neither a file nor a formula");
            let problem = Diagnostic::error(wrong.span, message, wrong.expected).help(FORMULA);
            terminal.problems("<formula>", what, &[problem]);
            Ok(None)
        }
    }
}

/// What is typed where a file is meant: it is there, it has an ending or a folder, or it is standard input.
fn is_path_by_name(path: &Path) -> bool {
    path.exists()
        || path.extension().is_some()
        || path.components().count() > 1
        || path.as_os_str() == "-"
}

fn laying(arguments: &DrillArguments) -> Result<Laying> {
    let up = !arguments.down;
    let cycle = arguments.by.into();
    let keys = match target_keys(arguments.writing.tune.key.as_deref())? {
        TargetKeys::AsWritten | TargetKeys::All => Keys::Round(cycle, up, None),
        TargetKeys::These(keys) => match keys.as_slice() {
            [first] => Keys::Round(cycle, up, Some(*first)),
            _ => Keys::These(keys),
        },
    };
    if let Some(bars) = &arguments.bar
        && bars.chord().is_some()
    {
        bail!("--bar takes whole bars here, such as 5-8");
    }
    Ok(Laying {
        keys,
        bars: arguments.bar.as_ref().map(BarsOrChord::bars),
        first: arguments.first.map(Into::into),
        tempi: arguments.tempo,
    })
}

impl Laying {
    /// The chart through the keys, its first voicing of the form that is asked for.
    fn lay(&self, chart: &Chart) -> Result<Chart, NoResult> {
        if let Some(bars) = &self.bars {
            let count = chart.bars().count();
            if *bars.end() > count {
                let wrong = anyhow!("--bar {}: the written bars are 1 to {count}", bars.end());
                return Err(ChartOutcome::Failed(wrong));
            }
        }
        let stops = self.stops(chart);
        let laid = chart.through_keys(&stops, self.bars.clone());
        let laid = laid.map_err(|why| match why {
            NotLaid::PlayOrder(problems) => ChartOutcome::Mistaken(problems.into()),
            NotLaid::OtherMode { to, .. } => {
                let help = format!("from that tonic, write --key {}", other_mode(to));
                ChartOutcome::Failed(anyhow!("{why}: {help}"))
            }
            why => ChartOutcome::Failed(why.into()),
        })?;
        let Some(form) = self.first else {
            return Ok(laid);
        };
        let wish = Wish::Plan(Wishes::NONE.with(VoicingWish::Form(form)));
        let wished = laid.wished(1, Some(1), &wish);
        wished.map_err(|why| ChartOutcome::Failed(anyhow!("--first {form}: {why}")))
    }

    fn stops(&self, chart: &Chart) -> Vec<Stop> {
        let keys = match &self.keys {
            Keys::These(keys) => keys.clone(),
            Keys::Round(cycle, up, first) => {
                let first = first.or(chart.key());
                first.map_or_else(Vec::new, |first| cycle.keys(first, *up))
            }
        };
        let count = keys.len();
        let stops = keys.into_iter().enumerate().map(|(at, key)| Stop {
            key,
            tempo: self.tempi.map(|tempi| tempi.of(at, count)),
        });
        stops.collect()
    }
}
