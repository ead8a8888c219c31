//! `voice --to pdf` of a set: one document of all tunes.

use std::ffi::OsStr;
use std::path::Path;

use anyhow::Result;
use compline::formats::page;

use super::job::{VoiceJob, each_voiced};
use crate::cli::Status;
use crate::cli::args::{VoiceArguments, VoiceFormat};
use crate::cli::charts::Charts;
use crate::cli::input::Source;
use crate::cli::output::{Guard, Replacing, write};
use crate::cli::set_list::is_set_list;
use crate::cli::terminal::Terminal;
use crate::cli::written::drawing;

/// Whether all charts go into one document: several charts or keys, or a set list, however short, and a PDF
/// file to write.
pub(super) fn is_set(arguments: &VoiceArguments, sources: &[Source], several_keys: bool) -> bool {
    let writing = &arguments.writing;
    let file = writing.output.as_deref().and_then(Path::extension);
    let pdf = writing.to == VoiceFormat::Pdf && file.is_some_and(|ending| ending == "pdf");
    let listed = arguments.charts.iter().any(|path| is_set_list(path));
    pdf && (sources.len() > 1 || several_keys || listed)
}

/// One document of all tunes behind a page of contents.
///
/// # Errors
///
/// It can't be written.
pub(super) fn as_set(
    (path, replacing): (&Path, Replacing),
    title: Option<String>,
    job: &VoiceJob,
    charts: &Charts,
    terminal: &mut Terminal,
) -> Result<Status> {
    Guard::default().add(path, "the set".to_owned())?;
    let mut tunes = Vec::new();
    let status = each_voiced(
        job,
        charts,
        terminal,
        |_, _, arrangement| {
            let (drawing, notices) = drawing(arrangement, &job.style.page)?;
            Ok(((drawing, arrangement.chart.key()), notices))
        },
        |_, drawn, _| {
            tunes.extend(drawn);
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
