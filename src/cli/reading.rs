//! Files as charts: chart text as it is, anything else by the reader its content or its name asks for.

use std::path::{Path, PathBuf};

use anyhow::{Result, anyhow};
use compline::chart::{self, Chart, Diagnostic};
use compline::formats::readers::{ReadTune, Reader, by_ending, reader, told};
use compline::formats::unreadable::UnreadableFile;

use super::args::{InputFormat, ReadingArguments};
use super::outcome::{ChartOutcome, Notice};

/// The ending of a chart's name.
pub const ENDING: &str = "chart";

/// Whether this is the ending of a chart's name, in letters of either case.
pub fn is_chart_ending(ending: &str) -> bool {
    ending.eq_ignore_ascii_case(ENDING)
}

/// Whether a file is a chart by its name, or a chart can be made of it.
pub fn is_chart_by_name(path: &Path) -> bool {
    let known = |ending| is_chart_ending(ending) || by_ending(ending).is_some();
    ending(Some(path)).is_some_and(known)
}

/// What is said of a file of another format where only a chart can be written in its place.
pub fn no_chart() -> anyhow::Error {
    anyhow!("this is no chart: make one with `compline convert`")
}

/// A file that was read.
pub enum Taken {
    /// A chart.
    Chart(Chart),
    /// A tune of another format.
    Tune(Box<ReadTune>),
}

/// How files are read.
#[derive(Debug, Clone, Default)]
pub struct ReadOptions {
    from: AskedFormat,
    /// The part that has the melody.
    part: Option<String>,
    /// The file that standard input is said to be of.
    stdin_as: Option<PathBuf>,
}

/// The format that files are said to be in.
#[derive(Debug, Clone, Copy, Default)]
enum AskedFormat {
    /// That of each file's content, else of its name.
    #[default]
    Told,
    /// Charts.
    Chart,
    /// This one.
    Other(&'static Reader),
}

impl ReadOptions {
    /// As the arguments say.
    ///
    /// # Errors
    ///
    /// A format without a reader.
    pub fn of(arguments: &ReadingArguments) -> Result<Self> {
        let from = match arguments.from {
            None => AskedFormat::Told,
            Some(InputFormat::Chart) => AskedFormat::Chart,
            Some(InputFormat::Musicxml) => named("musicxml")?,
            Some(InputFormat::Midi) => named("midi")?,
            Some(InputFormat::Abc) => named("abc")?,
        };
        let part = arguments.part.clone();
        let stdin_as = arguments.stdin_as.clone();
        Ok(Self {
            from,
            part,
            stdin_as,
        })
    }

    /// The file that standard input is said to be of.
    pub fn stdin_path(&self) -> Option<&Path> {
        self.stdin_as.as_deref()
    }

    /// Whether a format was asked for.
    pub const fn is_said(&self) -> bool {
        !matches!(self.from, AskedFormat::Told)
    }

    /// Whether a file may be a book of tunes: as it is said, else by its name.
    pub fn is_book(&self, path: Option<&Path>) -> bool {
        match self.from {
            AskedFormat::Other(reader) => reader.name == BOOKS,
            AskedFormat::Chart => false,
            AskedFormat::Told => ending(path)
                .and_then(by_ending)
                .is_some_and(|it| it.name == BOOKS),
        }
    }

    /// The format of a file; `None` for a chart.
    pub fn format(&self, bytes: &[u8], path: Option<&Path>) -> Option<&'static Reader> {
        match self.from {
            AskedFormat::Told => told(bytes, ending(path)),
            AskedFormat::Chart => None,
            AskedFormat::Other(reader) => Some(reader),
        }
    }

    /// Reads a file.
    ///
    /// # Errors
    ///
    /// What came of it instead.
    pub fn taken<R>(&self, bytes: &[u8], path: Option<&Path>) -> Result<Taken, ChartOutcome<R>> {
        if let Some(reader) = self.format(bytes, path) {
            let tune = reader.tune(bytes, self.part.as_deref());
            return tune
                .map(|tune| Taken::Tune(Box::new(tune)))
                .map_err(unreadable);
        }
        if bytes.trim_ascii_start().starts_with(b"{") {
            return Err(ChartOutcome::Failed(anyhow!(
                "this is JSON, and no chart: the JSON of voiced charts is read by `compline check` alone"
            )));
        }
        match chart::read_bytes(bytes) {
            Ok(chart) => Ok(Taken::Chart(chart)),
            Err(problems) => Err(ChartOutcome::Mistaken(problems.into())),
        }
    }
}

/// The format that has several tunes in a file.
const BOOKS: &str = "abc";

fn named(name: &str) -> Result<AskedFormat> {
    let reader = reader(name).ok_or_else(|| anyhow!("there is no reader called {name}"))?;
    Ok(AskedFormat::Other(reader))
}

fn ending(path: Option<&Path>) -> Option<&str> {
    path?.extension()?.to_str()
}

/// What comes of a file that can't be read, or is sound and has nothing to make a chart of.
pub fn unreadable<R>(error: UnreadableFile) -> ChartOutcome<R> {
    match (error.sound, error.help) {
        (true, help) => ChartOutcome::Unplanned(error.why, help.map(str::to_owned)),
        (false, Some(help)) => ChartOutcome::Failed(anyhow!("{}; {help}", error.why)),
        (false, None) => ChartOutcome::Failed(anyhow!("{}", error.why)),
    }
}

/// What to say about a tune: what could not be carried over.
pub fn remarks(tune: &ReadTune) -> Vec<Notice> {
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
