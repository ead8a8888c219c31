//! Where results go: standard output, one file, or a folder. The only place that writes files.
//!
//! A file is written whole or not at all: it is filled under another name beside its place and
//! renamed when complete. A reader that closes the pipe early has seen what it wanted.

mod atomic;
mod guard;
mod reason;
mod signals;

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use memchr::memchr;

use super::Status;
use super::input::Source;
use super::terminal::Terminal;
use crate::cli::folder::folder_of;
use crate::cli::visible::path_in_one_line;
use atomic::{CompleteFile, is_device, target};

pub use atomic::{AtomicFile, Links, Replacing};
pub use guard::{Guard, refuse_in_place};
pub use signals::fail_at_file_limit;

/// Where the results of a command go.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Output {
    /// Standard output, one result after the other.
    Stdout,
    /// Everything into this one file.
    File(PathBuf),
    /// A file a chart, under this folder.
    Folder(PathBuf),
}

impl Output {
    /// What `-o` means for these charts: `-` or nothing is standard output; a folder that exists, a
    /// path that ends in a slash, or any path for `several` results, is a folder.
    pub fn of(path: Option<&Path>, several: bool) -> Self {
        match path {
            None => Self::Stdout,
            Some(path) if path == Path::new("-") => Self::Stdout,
            Some(path) if several || looks_like_folder(path) => Self::Folder(path.to_owned()),
            Some(path) => Self::File(path.to_owned()),
        }
    }

    /// The place of a chart's results; `None` for standard output.
    fn place(&self, source: &Source, ending: &str) -> Option<PathBuf> {
        match self {
            Self::Stdout => None,
            Self::File(path) => Some(path.clone()),
            Self::Folder(folder) => Some(folder.join(source.result_name(ending))),
        }
    }
}

/// The files that are to be written for some charts.
pub struct ResultFiles<'a> {
    sources: &'a [Source],
    ending: &'a str,
    /// What each chart's files have in their names, where there are several: a key, a number.
    parts: Vec<String>,
}

impl<'a> ResultFiles<'a> {
    /// One for each chart, with this ending.
    pub const fn of(sources: &'a [Source], ending: &'a str) -> Self {
        Self {
            sources,
            ending,
            parts: Vec::new(),
        }
    }

    /// One for each of these parts of a chart, if there are any.
    #[must_use]
    pub fn in_parts(self, parts: Vec<String>) -> Self {
        Self { parts, ..self }
    }
}

/// The file of a part of what is made of a chart: `fog-signal-Cm.chart`. Names are taken as they are, whatever
/// their bytes.
fn part_of(place: &Path, part: &str) -> PathBuf {
    let mut name = place.file_stem().unwrap_or_default().to_owned();
    name.push("-");
    name.push(part);
    if let Some(ending) = place.extension() {
        name.push(".");
        name.push(ending);
    }
    place.with_file_name(name)
}

/// Refuses a folder that is named like one of the files that would go into it, unless it is there.
fn refuse_one_file(output: &Output, files: &ResultFiles<'_>) -> Result<()> {
    let (charts, ending) = (files.sources.len(), files.ending);
    let Output::Folder(path) = output else {
        return Ok(());
    };
    let named = path.extension().is_some_and(|its| its == ending);
    if named && !looks_like_folder(path) {
        let shown = path_in_one_line(path);
        let in_one = match ending {
            "json" => format!("; `> {shown}` takes all of them, an object a line"),
            _ => String::new(),
        };
        bail!(
            "-o {shown}: {charts} charts go into a folder, and that is the name of a file: name a folder, \
             or end its name with `/`{in_one}"
        );
    }
    Ok(())
}

fn looks_like_folder(path: &Path) -> bool {
    path.is_dir() || path.as_os_str().to_string_lossy().ends_with(['/', '\\'])
}

/// So many bytes of a result may wait in memory for its turn. Several threads that make small files in one folder
/// would only wait for each other.
const MOST_WAITING: usize = 64 << 10;

/// Where each result goes, and how.
pub struct Destination {
    output: Output,
    places: Vec<Option<PathBuf>>,
    replacing: Replacing,
}

impl Destination {
    /// The place of each chart's results.
    ///
    /// # Errors
    ///
    /// What the guard refuses: a file that is read, or two results for one file.
    pub fn of(
        output: Output,
        replacing: Replacing,
        files: &ResultFiles<'_>,
        guard: &mut Guard,
    ) -> Result<Self> {
        refuse_one_file(&output, files)?;
        let place = |source| output.place(source, files.ending);
        let places: Vec<Option<PathBuf>> = files.sources.iter().map(place).collect();
        for (source, place) in files.sources.iter().zip(&places) {
            let Some(place) = place else { continue };
            match files.parts.is_empty() {
                true => guard.add(place, source.name())?,
                false => {
                    let parts = files.parts.iter().map(|part| part_of(place, part));
                    guard.add_parts(place, parts, source.name())?;
                }
            }
        }
        Ok(Self {
            output,
            places,
            replacing,
        })
    }

    /// Whether the result of the chart at this place goes to standard output.
    pub fn is_stdout(&self, at: usize) -> bool {
        self.place(at).is_none()
    }

    fn place(&self, at: usize) -> Option<&Path> {
        self.places.get(at).and_then(Option::as_deref)
    }

    /// Writes the result of the chart at this place.
    ///
    /// # Errors
    ///
    /// It can't be written; a file is left as it was then.
    pub fn put(&self, at: usize, bytes: &[u8], terminal: &mut Terminal) -> Result<()> {
        self.put_part(at, None, bytes, terminal)
    }

    /// Writes one of several results of the chart at this place.
    ///
    /// # Errors
    ///
    /// As [`Destination::put`].
    pub fn put_part(
        &self,
        at: usize,
        part: Option<&str>,
        bytes: &[u8],
        terminal: &mut Terminal,
    ) -> Result<()> {
        match self.part_place(at, part)? {
            None => on_stdout(bytes, terminal),
            Some(place) => write(&place, bytes, self.replacing, terminal),
        }
    }

    /// Makes a result of the chart at this place ready to be put there: a large file is filled under another
    /// name, so that the bytes of many results are not all in memory.
    ///
    /// # Errors
    ///
    /// It can't be written.
    pub fn ready(&self, at: usize, part: Option<&str>, bytes: Vec<u8>) -> Result<ReadyResult> {
        match self.part_place(at, part)? {
            Some(place) if bytes.len() > MOST_WAITING && !is_device(&place) => {
                let mut file = AtomicFile::begin(&place, self.replacing)?;
                file.write(&bytes)?;
                Ok(ReadyResult::File(file.complete()?))
            }
            place => Ok(ReadyResult::Bytes(place, self.replacing, bytes)),
        }
    }

    /// The file of a part of the chart at this place, its folder made; `None` for standard output.
    fn part_place(&self, at: usize, part: Option<&str>) -> Result<Option<PathBuf>> {
        let Some(place) = self.place(at) else {
            return Ok(None);
        };
        let place = part.map_or_else(|| place.to_owned(), |part| part_of(place, part));
        if let Output::Folder(_) = self.output {
            make_folder_of(&place)?;
        }
        Ok(Some(place))
    }
}

/// A result that can be put where it goes.
pub enum ReadyResult {
    /// A file that is complete.
    File(CompleteFile),
    /// For this file or standard output.
    Bytes(Option<PathBuf>, Replacing, Vec<u8>),
}

impl ReadyResult {
    /// Puts it where it goes.
    ///
    /// # Errors
    ///
    /// It can't be written; a file is left as it was then.
    pub fn put(self, terminal: &mut Terminal) -> Result<()> {
        match self {
            Self::File(file) => put(file, terminal),
            Self::Bytes(None, _, bytes) => on_stdout(&bytes, terminal),
            Self::Bytes(Some(place), replacing, bytes) => {
                write(&place, &bytes, replacing, terminal)
            }
        }
    }
}

/// A score that is packed or made for sequencers goes out as it is, any text as it may stand on a
/// terminal.
fn on_stdout(bytes: &[u8], terminal: &mut Terminal) -> Result<()> {
    let text = std::str::from_utf8(bytes).ok();
    match text.filter(|_| memchr(0, bytes).is_none()) {
        Some(text) => terminal.print(text)?,
        None => terminal.write(bytes)?,
    }
    Ok(())
}

/// Rewrites a chart in its place; one that is so already is left alone. `read` is what it was when it
/// was read.
///
/// # Errors
///
/// It can't be written, or is another now than it was when it was read.
pub fn rewrite(
    path: &Path,
    read: &[u8],
    bytes: &[u8],
    replacing: Replacing,
    terminal: &mut Terminal,
) -> Result<()> {
    if read == bytes {
        return Ok(());
    }
    let shown = path_in_one_line(path);
    let now = fs::read(path).with_context(|| format!("can't write {shown}"))?;
    if now != read {
        bail!("can't write {shown}: it was changed after it was read, and is left as it is now");
    }
    write(path, bytes, replacing, terminal)
}

/// Rewrites one of several charts in its place: that it can't be written is told, and the others are gone on
/// with.
pub fn rewrite_or_tell(
    path: &Path,
    read: &[u8],
    bytes: &[u8],
    replacing: Replacing,
    terminal: &mut Terminal,
) -> Status {
    match rewrite(path, read, bytes, replacing, terminal) {
        Ok(()) => Status::Done,
        Err(error) => {
            terminal.error(&format!("{error:#}"));
            Status::Failed
        }
    }
}

/// Writes a file, whole or not at all. A link is followed to what it names; a device or a named pipe is
/// written to as it is, since it can't be replaced.
///
/// # Errors
///
/// It can't be written.
pub fn write(
    path: &Path,
    bytes: &[u8],
    replacing: Replacing,
    terminal: &mut Terminal,
) -> Result<()> {
    if is_device(&target(path)?) {
        return write_device(path, bytes);
    }
    let mut file = AtomicFile::begin(path, replacing)?;
    file.write(bytes)?;
    put(file.complete()?, terminal)
}

fn write_device(path: &Path, bytes: &[u8]) -> Result<()> {
    let opened = fs::OpenOptions::new().write(true).open(path);
    match opened.and_then(|mut file| file.write_all(bytes)) {
        // A reader that has gone has seen enough.
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        written => written.with_context(|| format!("can't write {}", path_in_one_line(path))),
    }
}

/// Puts a file in its place, and says where it had other names.
fn put(file: CompleteFile, terminal: &mut Terminal) -> Result<()> {
    let shown = path_in_one_line(&file.shown);
    if file.put()? == Links::Others {
        let told = format!("{shown}: its other names (hard links) keep what was there before");
        terminal.warning(&told, None);
    }
    Ok(())
}

/// Makes the folder of an output file, for results that go into a folder of their own.
///
/// # Errors
///
/// It can't be made.
pub fn make_folder_of(path: &Path) -> Result<()> {
    let folder = folder_of(path);
    if folder.is_dir() {
        return Ok(());
    }
    fs::create_dir_all(folder)
        .with_context(|| format!("can't make the folder {}", path_in_one_line(folder)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused(sources: &[Source], output: Output) -> String {
        let files = ResultFiles::of(sources, "json");
        let made = Destination::of(output, Replacing::Any, &files, &mut Guard::default());
        made.err().expect("it is refused").to_string()
    }

    #[test]
    fn two_charts_of_one_name_are_refused() {
        let sources = [Source::file("a/x.chart"), Source::file("b/x.chart")];
        let output = Output::of(Some(Path::new("out")), sources.len() > 1);
        assert_eq!(output, Output::Folder("out".into()));
        let refused = refused(&sources, output);
        assert!(refused.contains("a/x.chart and b/x.chart"), "{refused}");
    }

    #[test]
    fn a_part_is_named_behind_its_chart() {
        let part = part_of(Path::new("out/fog.signal.chart"), "Cm");
        assert_eq!(part, Path::new("out/fog.signal-Cm.chart"));
    }
}
