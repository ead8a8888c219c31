//! Where results go: standard output, one file, or a folder. The only place that writes files.
//!
//! A file is written whole or not at all: it is filled under another name beside its place and
//! renamed when complete. A reader that closes the pipe early has seen what it wanted.

mod atomic;
mod reason;
mod signals;

use std::collections::BTreeMap;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use memchr::memchr;

use super::Status;
use super::input::Source;
use super::terminal::Terminal;
use crate::cli::visible::path_in_one_line;
use atomic::{folder_of, is_device, target};

pub use atomic::{AtomicFile, Links, Replacing};
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

    /// The file for each chart, in order; `None` for standard output.
    ///
    /// # Errors
    ///
    /// Two charts that would be written to the same file, or one to the place of a chart that is read.
    pub fn places(&self, sources: &[Source], ending: &str) -> Result<Vec<Option<PathBuf>>> {
        let places: Vec<Option<PathBuf>> = sources
            .iter()
            .map(|source| match self {
                Self::Stdout => None,
                Self::File(path) => Some(path.clone()),
                Self::Folder(folder) => Some(folder.join(source.result_name(ending))),
            })
            .collect();
        refuse_twins(sources, &places)?;
        refuse_originals(sources, &places)?;
        Ok(places)
    }
}

/// Refuses a folder that is named like one of the files that would go into it, unless it is there.
fn refuse_one_file(output: &Output, charts: usize, ending: &str) -> Result<()> {
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

fn refuse_twins(sources: &[Source], places: &[Option<PathBuf>]) -> Result<()> {
    let mut seen: BTreeMap<&Path, &Source> = BTreeMap::new();
    for (source, place) in sources.iter().zip(places) {
        let Some(place) = place else { continue };
        if let Some(first) = seen.insert(place, source) {
            bail!(
                "{} and {} would both be written to {}: give one of them another name, or write \
                 them to different folders",
                first.name(),
                source.name(),
                path_in_one_line(place)
            );
        }
    }
    Ok(())
}

/// A slip of the hand must not cost anybody a chart.
///
/// # Errors
///
/// A result that would be written to the place of a chart that is read.
pub fn refuse_originals(sources: &[Source], places: &[Option<PathBuf>]) -> Result<()> {
    let real = |path: &Path| fs::canonicalize(path).ok();
    let originals: BTreeMap<PathBuf, &Source> = sources
        .iter()
        .filter(|source| !source.is_stdin())
        .filter_map(|source| Some((real(source.path()?)?, source)))
        .collect();
    for place in places.iter().flatten() {
        if let Some(original) = real(place).and_then(|place| originals.get(&place)) {
            bail!(
                "{} would overwrite {}, which is read: write somewhere else (`voice` and `tidy` rewrite \
                 charts with --in-place)",
                path_in_one_line(place),
                original.name()
            );
        }
    }
    Ok(())
}

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
    /// As [`Output::places`].
    pub fn of(
        output: Output,
        replacing: Replacing,
        sources: &[Source],
        ending: &str,
    ) -> Result<Self> {
        refuse_one_file(&output, sources.len(), ending)?;
        let places = output.places(sources, ending)?;
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
        self.put_as(at, Path::to_owned, bytes, terminal)
    }

    /// Writes one of several results of the chart at this place, whose file is named anew.
    ///
    /// # Errors
    ///
    /// As [`Destination::put`].
    pub fn put_as(
        &self,
        at: usize,
        named: impl Fn(&Path) -> PathBuf,
        bytes: &[u8],
        terminal: &mut Terminal,
    ) -> Result<()> {
        let Some(place) = self.place(at).map(named) else {
            return on_stdout(bytes, terminal);
        };
        if let Output::Folder(_) = self.output {
            make_folder_of(&place)?;
        }
        write(&place, bytes, self.replacing, terminal)
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
    let target = target(path)?;
    if is_device(&target) {
        let opened = fs::OpenOptions::new().write(true).open(&target);
        let written = opened.and_then(|mut file| file.write_all(bytes));
        // A reader that has gone has seen enough.
        let written = match written {
            Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
            written => written,
        };
        return written.with_context(|| format!("can't write {}", path_in_one_line(path)));
    }
    let mut file = AtomicFile::begin(path, replacing)?;
    file.write(bytes)?;
    if file.finish()? == Links::Others {
        let told = format!(
            "{}: its other names (hard links) keep what was there before",
            path_in_one_line(path)
        );
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
    fs::create_dir_all(folder)
        .with_context(|| format!("can't make the folder {}", path_in_one_line(folder)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_charts_of_one_name_are_refused() {
        let sources = [Source::file("a/x.chart"), Source::file("b/x.chart")];
        let output = Output::of(Some(Path::new("out")), sources.len() > 1);
        assert_eq!(output, Output::Folder("out".into()));
        let refused = output.places(&sources, "json").unwrap_err().to_string();
        assert!(refused.contains("a/x.chart and b/x.chart"), "{refused}");
    }

    #[test]
    fn a_chart_that_is_read_is_not_overwritten() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("x.chart");
        fs::write(&path, "| C |").unwrap();
        let sources = [Source::file(&path)];
        let refused = Output::File(path).places(&sources, "json").unwrap_err();
        assert!(refused.to_string().contains("would overwrite"), "{refused}");
    }
}
