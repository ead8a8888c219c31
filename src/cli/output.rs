//! Where results go: standard output, one file, or a folder. The only place that writes files.
//!
//! A file is written whole or not at all: it is filled under another name beside its place and
//! renamed when complete. A reader that closes the pipe early has seen what it wanted.

use std::collections::BTreeMap;
use std::fs;
use std::io::{self, Write};
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
    /// path that ends in a slash, or any path for several charts, is a folder.
    pub fn of(path: Option<&Path>, sources: &[Source]) -> Self {
        match path {
            None => Self::Stdout,
            Some(path) if path == Path::new("-") => Self::Stdout,
            Some(path) if sources.len() > 1 || looks_like_folder(path) => {
                Self::Folder(path.to_owned())
            }
            Some(path) => Self::File(path.to_owned()),
        }
    }

    /// The file for each chart, in order; `None` for standard output.
    ///
    /// # Errors
    ///
    /// Two charts that would be written to the same file.
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

/// Writes one result: to its file, or on to standard output.
///
/// # Errors
///
/// The file or its folder can't be written; nothing is left behind then. A closed pipe is reported
/// as [`io::ErrorKind::BrokenPipe`], for [`is_closed_pipe`] to tell apart.
pub fn deliver(place: Option<&Path>, bytes: &[u8], stdout: &mut dyn Write) -> Result<()> {
    match place {
        None => stdout.write_all(bytes).map_err(Into::into),
        Some(path) => {
            write_whole(path, bytes).with_context(|| format!("can't write {}", path.display()))
        }
    }
}

fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    fs::create_dir_all(folder)?;
    let mut file = tempfile::NamedTempFile::new_in(folder)?;
    file.write_all(bytes)?;
    keep_mode(path, file.as_file())?;
    file.persist(path)?;
    Ok(())
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
        let output = Output::of(Some(Path::new("out")), &sources);
        assert_eq!(output, Output::Folder("out".into()));
        let refused = output.places(&sources, "json").unwrap_err().to_string();
        assert!(refused.contains("a/x.chart and b/x.chart"), "{refused}");
    }

    #[test]
    fn a_file_appears_whole_and_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("new/x.json");
        deliver(Some(&path), b"{}", &mut Vec::new()).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"{}");
        let beside = fs::read_dir(path.parent().unwrap()).unwrap().count();
        assert_eq!(beside, 1);
    }
}
