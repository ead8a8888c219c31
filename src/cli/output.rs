//! Where results go: standard output, one file, or a folder. The only place that writes files.
//!
//! A file is written whole or not at all: it is filled under another name beside its place and
//! renamed when complete. A reader that closes the pipe early has seen what it wanted.

use std::collections::BTreeMap;
use std::fs;
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};

use super::input::Source;

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
                place.display()
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
        .filter_map(|source| Some((real(source.path()?)?, source)))
        .collect();
    for place in places.iter().flatten() {
        if let Some(original) = real(place).and_then(|place| originals.get(&place)) {
            bail!(
                "{} would overwrite {}, which is read: write somewhere else (`tidy` rewrites charts \
                 with --in-place)",
                place.display(),
                original.name()
            );
        }
    }
    Ok(())
}

/// Writes one result: to its file, or on to standard output.
///
/// # Errors
///
/// The file can't be written; nothing is left behind then. A closed pipe is reported as
/// [`io::ErrorKind::BrokenPipe`], for [`is_closed_pipe`] to tell apart.
pub fn deliver(place: Option<&Path>, bytes: &[u8], stdout: &mut dyn Write) -> Result<()> {
    match place {
        None => stdout.write_all(bytes).map_err(Into::into),
        Some(path) => {
            write_file(path, bytes).with_context(|| format!("can't write {}", path.display()))
        }
    }
}

/// Makes the folder of an output file, for results that go into a folder of their own.
///
/// # Errors
///
/// It can't be made.
pub fn make_folder_of(path: &Path) -> Result<()> {
    let folder = folder_of(path);
    fs::create_dir_all(folder)
        .with_context(|| format!("can't make the folder {}", folder.display()))
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}

/// A link is followed to what it names. What is there and no plain file (a device, a named pipe) is
/// written to as it is, since it can't be replaced.
fn write_file(path: &Path, bytes: &[u8]) -> Result<()> {
    let path = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    match fs::metadata(&path) {
        Ok(there) if !there.is_file() => {
            let mut file = fs::OpenOptions::new().write(true).open(&path)?;
            file.write_all(bytes).map_err(Into::into)
        }
        _ => write_whole(&path, bytes),
    }
}

/// A file that is written piece by piece and appears when it is complete.
pub struct AtomicFile {
    path: PathBuf,
    file: BufWriter<tempfile::NamedTempFile>,
}

impl AtomicFile {
    /// Begins a file.
    ///
    /// # Errors
    ///
    /// Nothing can be written in its folder; a device or a named pipe stands there, which it would
    /// take the place of.
    pub fn begin(path: &Path) -> Result<Self> {
        let path = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        if fs::metadata(&path).is_ok_and(|there| !there.is_file()) {
            bail!("can't write {}: it is no plain file", path.display());
        }
        let shown = || format!("can't write {}", path.display());
        let file =
            tempfile::NamedTempFile::new_in(folder_of(&path)).map_err(|error| reason(&error));
        Ok(Self {
            file: BufWriter::new(file.with_context(shown)?),
            path,
        })
    }

    /// Writes on.
    ///
    /// # Errors
    ///
    /// It can't be written.
    pub fn write(&mut self, text: &str) -> Result<()> {
        let written = self.file.write_all(text.as_bytes());
        written.with_context(|| format!("can't write {}", self.path.display()))
    }

    /// Puts the complete file in its place.
    ///
    /// # Errors
    ///
    /// It can't be put there; the old one is left alone then.
    pub fn finish(self) -> Result<()> {
        let shown = format!("can't write {}", self.path.display());
        let file = self
            .file
            .into_inner()
            .map_err(|error| reason(error.error()));
        let file = file.with_context(|| shown.clone())?;
        keep_mode(&self.path, file.as_file()).with_context(|| shown.clone())?;
        let put = file
            .persist(&self.path)
            .map_err(|error| reason(&error.error));
        put.with_context(|| shown)?;
        Ok(())
    }
}

fn write_whole(path: &Path, bytes: &[u8]) -> Result<()> {
    let folder = folder_of(path);
    // The name of the temporary file would only puzzle: say the reason alone.
    let mut file = tempfile::NamedTempFile::new_in(folder).map_err(|error| reason(&error))?;
    file.write_all(bytes)?;
    keep_mode(path, file.as_file())?;
    file.persist(path).map_err(|error| reason(&error.error))?;
    Ok(())
}

fn reason(error: &io::Error) -> io::Error {
    match error.raw_os_error() {
        Some(code) => io::Error::from_raw_os_error(code),
        None => io::Error::from(error.kind()),
    }
}

/// A temporary file is private; the result should be as readable as any new file, or as the file it
/// replaces was.
#[cfg(unix)]
fn keep_mode(path: &Path, file: &fs::File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    let mode = match fs::metadata(path) {
        Ok(old) => old.permissions().mode(),
        Err(_) => 0o644,
    };
    file.set_permissions(fs::Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn keep_mode(_: &Path, _: &fs::File) -> io::Result<()> {
    Ok(())
}

/// Whether the reader of standard output has gone, which is success: it has seen enough.
pub fn is_closed_pipe(error: &anyhow::Error) -> bool {
    error
        .chain()
        .filter_map(|cause| cause.downcast_ref::<io::Error>())
        .any(|cause| cause.kind() == io::ErrorKind::BrokenPipe)
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
    fn a_file_appears_whole_and_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("new/x.json");
        make_folder_of(&path).unwrap();
        deliver(Some(&path), b"{}", &mut Vec::new()).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"{}");
        let beside = fs::read_dir(path.parent().unwrap()).unwrap().count();
        assert_eq!(beside, 1);
    }

    #[test]
    #[cfg(unix)]
    fn a_link_is_followed_and_stays_a_link() {
        let folder = tempfile::tempdir().unwrap();
        let (real, link) = (folder.path().join("real"), folder.path().join("link"));
        fs::write(&real, "old").unwrap();
        std::os::unix::fs::symlink(&real, &link).unwrap();
        deliver(Some(&link), b"new", &mut Vec::new()).unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read(&real).unwrap(), b"new");
    }

    #[test]
    #[cfg(target_os = "linux")]
    fn a_device_is_written_to_and_not_replaced() {
        let full = Path::new("/dev/full");
        let refused = deliver(Some(full), b"new", &mut Vec::new());
        assert!(refused.is_err());
        assert!(!fs::metadata(full).unwrap().is_file());
    }

    #[test]
    #[cfg(unix)]
    fn what_grows_takes_the_place_of_no_device() {
        assert!(AtomicFile::begin(Path::new("/dev/null")).is_err());
        assert!(!fs::metadata("/dev/null").unwrap().is_file());
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
