//! Files as charts: chart text as it is, anything else by the reader its content or its name asks for.

use std::path::Path;

use anyhow::anyhow;
use compline::chart::{self, Chart, Diagnostic};
use compline::formats::readers::{Reader, Tune, told};
use compline::formats::unreadable::Unreadable;

use super::batch::{ChartOutcome, Notice};

/// A file that was read.
pub enum Taken {
    /// A chart.
    Chart(Chart),
    /// A tune of another format.
    Tune(Box<Tune>),
}

/// The format of a file that is no chart.
pub fn format(bytes: &[u8], path: Option<&Path>) -> Option<&'static Reader> {
    let ending = path
        .and_then(Path::extension)
        .and_then(|ending| ending.to_str());
    told(bytes, ending)
}

/// Reads a file.
///
/// # Errors
///
/// What came of it instead.
pub fn taken<R>(bytes: &[u8], path: Option<&Path>) -> Result<Taken, ChartOutcome<R>> {
    match format(bytes, path) {
        Some(reader) => tune(reader, bytes, None).map(|tune| Taken::Tune(Box::new(tune))),
        None => match chart::read_bytes(bytes) {
            Ok(chart) => Ok(Taken::Chart(chart)),
            Err(problems) => Err(ChartOutcome::Mistaken(problems)),
        },
    }
}

/// Reads a tune with this reader.
///
/// # Errors
///
/// A file that can't be read, or that is sound and has no chords.
pub fn tune<R>(reader: &Reader, bytes: &[u8], part: Option<&str>) -> Result<Tune, ChartOutcome<R>> {
    reader.tune(bytes, part).map_err(unreadable)
}

/// What comes of a file that can't be read, or is sound and has nothing to make a chart of.
pub fn unreadable<R>(error: Unreadable) -> ChartOutcome<R> {
    match (error.sound, error.help) {
        (true, help) => ChartOutcome::Unplanned(error.why, help.map(str::to_owned)),
        (false, Some(help)) => ChartOutcome::Failed(anyhow!("{}; {help}", error.why)),
        (false, None) => ChartOutcome::Failed(anyhow!("{}", error.why)),
    }
}

/// What to say about a tune: what could not be carried over.
pub fn remarks(tune: &Tune) -> Vec<Notice> {
    let items = tune.report.items().into_iter();
    items
        .map(|item| Notice::About {
            kind: "something has no place in a chart",
            message: item.text,
            help: None,
        })
        .collect()
}

impl Taken {
    /// The chart, the text it stands in if that is not the file's, and what is to be said about it.
    pub fn parts(self) -> (Chart, Option<String>, Vec<Notice>, Vec<Diagnostic>) {
        match self {
            Self::Chart(chart) => {
                let warnings = chart.warnings();
                (chart, None, Vec::new(), warnings)
            }
            Self::Tune(tune) => {
                let remarks = remarks(&tune);
                let warnings = tune.chart.warnings();
                (tune.chart, Some(tune.text), remarks, warnings)
            }
        }
    }
}
