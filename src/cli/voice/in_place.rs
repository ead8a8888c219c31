//! `voice --in-place`: every chart with its left hand in its own file.

use anyhow::{Result, anyhow, bail};
use compline::arrange::Cache;
use compline::chart::Chart;

use super::job::{VoiceJob, voiced};
use crate::cli::Status;
use crate::cli::batch;
use crate::cli::charts::Charts;
use crate::cli::input::{ENDING, Source};
use crate::cli::outcome::{ChartResult, NoResult};
use crate::cli::output::{Replacing, refuse_in_place, rewrite_or_tell};
use crate::cli::reading::no_chart;
use crate::cli::set_list::Asked;
use crate::cli::settings::InForce;
use crate::cli::terminal::Terminal;
use crate::cli::written::written;

/// Every chart with its left hand in its own file.
///
/// # Errors
///
/// Something that is no chart in a file of its own, or asked for as something else.
pub(super) fn in_place(
    job: &VoiceJob,
    replacing: Replacing,
    charts: &Charts,
    terminal: &mut Terminal,
) -> Result<Status> {
    if job.writer.ending != ENDING || job.as_played {
        bail!(
            "--in-place writes the chart as it is on the page: it goes with --to text and without --as-played"
        );
    }
    let is_file = |source: &Source| matches!(source, Source::File { .. });
    if let Some(other) = charts.sources.iter().find(|source| !is_file(source)) {
        let name = other.name();
        bail!("--in-place needs a chart in a file of its own, and {name} is none");
    }
    refuse_in_place(charts.sources.iter().filter_map(Source::path))?;
    batch::each(
        charts.iter(),
        &job.reading,
        terminal,
        |(source, settings), chart, bytes, cache| {
            own_text((chart, bytes), source, job, settings, cache)
        },
        |(_, source), (before, text), terminal| {
            let written = source
                .path()
                .map(|path| rewrite_or_tell(path, &before, &text, replacing, terminal));
            Ok(written.unwrap_or(Status::Done))
        },
    )
}

/// What a chart's own file has, and what it is to have.
fn own_text(
    (chart, bytes): (Chart, &[u8]),
    source: &Source,
    job: &VoiceJob,
    settings: &InForce,
    cache: &mut Cache,
) -> ChartResult<(Vec<u8>, Vec<u8>)> {
    if job.reading.format(bytes, source.path()).is_some() {
        return Err(no_chart().into());
    }
    if source.asked() != Asked::default() {
        return Err(NoResult::from(anyhow!(
            "the set list asks for another key or tempo, and --in-place writes the chart as it is"
        )));
    }
    let write = |_, arrangement: &_| written(arrangement, job.writer, &job.style);
    let (written, notices) = voiced((chart, Asked::default()), job, settings, cache, write)?;
    let text = written.into_iter().flatten();
    Ok(((bytes.to_owned(), text.collect()), notices))
}
