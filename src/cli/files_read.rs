//! The files that this run reads. Whatever reads a file notes it here, so that nothing the run writes can
//! take the place of one.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use super::folder::folder_of;

/// What a file is read as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ReadAs {
    /// A record of known findings, which the same run may write anew.
    Record,
    /// A chart or a file that one is made of, also one that standard input is said to be of.
    Chart,
    /// Settings, a set list, a table of limits.
    Beside,
}

/// A file that is read.
#[derive(Debug, Clone)]
pub struct FileRead {
    /// As it was named.
    pub shown: PathBuf,
    /// What it is read as.
    pub what: ReadAs,
}

/// The files, by what they are behind all links.
static FILES: Mutex<BTreeMap<PathBuf, FileRead>> = Mutex::new(BTreeMap::new());

fn files() -> MutexGuard<'static, BTreeMap<PathBuf, FileRead>> {
    FILES.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Notes that a file is read. What is read twice is what may be written the least.
pub fn note(path: &Path, what: ReadAs) {
    note_real(real_place(path), path, what);
}

/// As [`note`], where it is known what the path names behind all links.
pub fn note_real(real: PathBuf, shown: &Path, what: ReadAs) {
    let mut files = files();
    let known = files.entry(real).or_insert_with(|| FileRead {
        shown: shown.to_owned(),
        what,
    });
    known.what = known.what.max(what);
}

/// The file that is read at a place, as [`real_place`] gives it.
pub fn at(real: &Path) -> Option<FileRead> {
    files().get(real).cloned()
}

/// What a path names behind all links; where nothing is there, what it would name.
pub fn real_place(path: &Path) -> PathBuf {
    if let Ok(real) = fs::canonicalize(path) {
        return real;
    }
    match path.file_name() {
        Some(name) => real_place(folder_of(path)).join(name),
        None => path.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_file_has_one_place_however_it_is_written_and_whether_it_is_there() {
        let folder = tempfile::tempdir().unwrap();
        let home = fs::canonicalize(folder.path()).unwrap();
        fs::create_dir(home.join("a")).unwrap();
        let plain = real_place(&home.join("x.chart"));
        assert_eq!(real_place(&home.join("a/../x.chart")), plain);
        let new = real_place(&home.join("new/deep/x.chart"));
        assert_eq!(new, home.join("new/deep/x.chart"));
        fs::write(home.join("x.chart"), "").unwrap();
        assert_eq!(real_place(&home.join("a/../x.chart")), plain);
    }

    #[test]
    fn what_is_read_as_two_things_is_the_one_that_is_kept() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("k.json");
        note(&path, ReadAs::Beside);
        note(&path, ReadAs::Record);
        assert_eq!(at(&real_place(&path)).unwrap().what, ReadAs::Beside);
    }
}
