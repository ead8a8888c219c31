//! A file that appears whole or not at all: it is filled under another name beside its place, and
//! renamed when it is complete. It keeps the mode, the owner and the group of a file it replaces.

use std::fs::{self, File, Metadata};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, anyhow, bail};
use tempfile::{NamedTempFile, TempPath};

use super::reason::reason;
use super::signals;
use crate::cli::folder::folder_of;
use crate::cli::visible::path_in_one_line;

/// Whether a read-only file may be replaced.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Replacing {
    /// Only what may be written.
    Writable,
    /// Any file: `--force`.
    Any,
}

impl Replacing {
    /// What `--force`, given or not, means.
    pub const fn of(force: bool) -> Self {
        match force {
            true => Self::Any,
            false => Self::Writable,
        }
    }
}

/// Whether the file that was replaced had other names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Links {
    /// None.
    Alone,
    /// Hard links, which keep what was there.
    Others,
}

/// A file that is written piece by piece and appears when it is complete.
pub struct AtomicFile {
    /// As it was named.
    shown: PathBuf,
    /// Where it will be: behind all links.
    path: PathBuf,
    /// What is there already.
    old: Option<Metadata>,
    file: BufWriter<NamedTempFile>,
}

impl AtomicFile {
    /// Begins a file.
    ///
    /// # Errors
    ///
    /// Nothing can be written in its folder; a device or a named pipe stands there, which it would
    /// take the place of; a read-only file, unless any may be replaced.
    pub fn begin(shown: &Path, replacing: Replacing) -> Result<Self> {
        let path = target(shown)?;
        let cant = || format!("can't write {}", path_in_one_line(shown));
        if is_device(&path) {
            bail!("{}: it is no plain file", cant());
        }
        let old = fs::metadata(&path).ok();
        let read_only = old.as_ref().is_some_and(|old| old.permissions().readonly());
        if read_only && replacing == Replacing::Writable {
            bail!("{}: it is read-only (--force replaces it)", cant());
        }
        let folder = folder_of(&path);
        if !folder.is_dir() {
            bail!(
                "{}: there is no folder {}",
                cant(),
                path_in_one_line(folder)
            );
        }
        let file = beside(folder).with_context(cant)?;
        Ok(Self {
            shown: shown.to_owned(),
            path,
            old,
            file: BufWriter::new(file),
        })
    }

    /// Writes on.
    ///
    /// # Errors
    ///
    /// It can't be written.
    pub fn write(&mut self, bytes: &[u8]) -> Result<()> {
        let written = self.file.write_all(bytes);
        let written = written.map_err(|error| reason(&error));
        written.with_context(|| format!("can't write {}", path_in_one_line(&self.shown)))
    }

    /// Completes the file, which is then as the old one is.
    ///
    /// # Errors
    ///
    /// It can't be written.
    pub fn complete(self) -> Result<CompleteFile> {
        let cant = format!("can't write {}", path_in_one_line(&self.shown));
        let file = self.file.into_inner();
        let file = file.map_err(|error| reason(error.error()));
        let file = file.with_context(|| cant.clone())?;
        let mut links = Links::Alone;
        if let Some(old) = &self.old {
            links = alike(file.as_file(), old).with_context(|| cant.clone())?;
            // What is lost with the old file must be there in the new one.
            file.as_file().sync_data().with_context(|| cant)?;
        }
        Ok(CompleteFile {
            shown: self.shown,
            path: self.path,
            links,
            // Closed: many of them may wait.
            file: file.into_temp_path(),
        })
    }

    /// Puts the complete file in its place.
    ///
    /// # Errors
    ///
    /// It can't be put there; the old one is left alone then.
    pub fn finish(self) -> Result<Links> {
        self.complete()?.put()
    }
}

/// A file that is complete and not yet in its place. It is gone where it isn't put there.
pub struct CompleteFile {
    /// As it was named.
    pub shown: PathBuf,
    path: PathBuf,
    links: Links,
    file: TempPath,
}

impl CompleteFile {
    /// Puts it in its place.
    ///
    /// # Errors
    ///
    /// It can't be put there; the old one is left alone then.
    pub fn put(self) -> Result<Links> {
        let put = signals::put(self.file, &self.path);
        put.with_context(|| format!("can't write {}", path_in_one_line(&self.shown)))?;
        Ok(self.links)
    }
}

/// An empty file in a folder, with the mode of any new file.
fn beside(folder: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    // The name of the temporary file would only puzzle: say the reason alone.
    signals::begin(|| builder.tempfile_in(folder)).map_err(|error| reason(&error))
}

/// Gives a new file the owner, the group and the mode of the old one. Only the superuser may give a
/// file away; for anybody else it stays their own.
#[cfg(unix)]
fn alike(file: &File, old: &Metadata) -> io::Result<Links> {
    use std::os::unix::fs::{MetadataExt, fchown};
    if fchown(file, Some(old.uid()), Some(old.gid())).is_err() {
        // The group at least may be one of their own.
        let _ = fchown(file, None, Some(old.gid()));
    }
    file.set_permissions(old.permissions())?;
    Ok(match old.nlink() {
        0 | 1 => Links::Alone,
        _ => Links::Others,
    })
}

#[cfg(not(unix))]
fn alike(file: &File, old: &Metadata) -> io::Result<Links> {
    file.set_permissions(old.permissions())?;
    Ok(Links::Alone)
}

/// What a path names behind all links.
///
/// # Errors
///
/// A link that leads nowhere: it isn't known what was meant to be there.
pub fn target(path: &Path) -> Result<PathBuf> {
    match fs::canonicalize(path) {
        Ok(path) => Ok(path),
        // A pipe that a link of the kernel's leads to, such as /dev/stdout, is there and has no path.
        Err(_) if path.exists() => Ok(path.to_owned()),
        Err(_) => match fs::read_link(path) {
            Err(_) => Ok(path.to_owned()),
            Ok(gone) => Err(anyhow!(
                "can't write {}: it is a link to {}, which isn't there",
                path_in_one_line(path),
                path_in_one_line(&gone)
            )),
        },
    }
}

/// Whether there is something that is no plain file, and so is written to as it is.
pub fn is_device(path: &Path) -> bool {
    fs::metadata(path).is_ok_and(|there| !there.is_file())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn put(path: &Path, bytes: &[u8], replacing: Replacing) -> Result<Links> {
        let mut file = AtomicFile::begin(path, replacing)?;
        file.write(bytes)?;
        file.finish()
    }

    #[test]
    fn a_file_appears_whole_and_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("x.json");
        assert_eq!(
            put(&path, b"{}", Replacing::Writable).unwrap(),
            Links::Alone
        );
        assert_eq!(fs::read(&path).unwrap(), b"{}");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    #[cfg(unix)]
    fn a_link_is_followed_and_stays_a_link() {
        let folder = tempfile::tempdir().unwrap();
        let (real, link) = (folder.path().join("real"), folder.path().join("link"));
        fs::write(&real, "old").unwrap();
        std::os::unix::fs::symlink(&real, &link).unwrap();
        put(&link, b"new", Replacing::Writable).unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read(&real).unwrap(), b"new");
    }

    #[test]
    #[cfg(unix)]
    fn what_grows_takes_the_place_of_no_device() {
        assert!(AtomicFile::begin(Path::new("/dev/null"), Replacing::Any).is_err());
        assert!(is_device(Path::new("/dev/null")));
    }
}
