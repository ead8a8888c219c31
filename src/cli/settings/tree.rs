//! What a settings file may name: files and folders in its own folder and below, nothing else. A
//! songbook comes from somewhere; its settings must not lead to the files of whoever checks it.

use std::fs;
use std::path::{Component, Path, PathBuf};

/// The path of something below a folder, without needless parts; `None` for what leads elsewhere.
pub fn inside(name: &str) -> Option<PathBuf> {
    let parts = Path::new(name).components();
    parts
        .filter(|part| *part != Component::CurDir)
        .map(|part| match part {
            Component::Normal(part) => Some(part),
            _ => None,
        })
        .collect()
}

/// Whether a part of a path is hidden, as what belongs to no songbook is: the keys and records of programs.
fn is_hidden(path: &Path) -> bool {
    let mut parts = path.components();
    parts.any(|part| part.as_os_str().as_encoded_bytes().starts_with(b"."))
}

/// A file below a folder, by links as well; `None` for what leads elsewhere, is hidden or is no plain file.
/// It need not be there.
pub fn own_file(folder: &Path, name: &str) -> Option<PathBuf> {
    let below = inside(name).filter(|below| !is_hidden(below))?;
    let path = folder.join(below);
    let home = fs::canonicalize(folder).ok()?;
    match fs::canonicalize(&path) {
        Ok(real) => {
            let shown = real.strip_prefix(home).is_ok_and(|below| !is_hidden(below));
            (shown && real.is_file()).then_some(path)
        }
        Err(_) => {
            let real = fs::canonicalize(path.parent()?);
            let gone = real.is_err() || real.is_ok_and(|real| real.starts_with(home));
            (gone && !path.is_symlink()).then_some(path)
        }
    }
}

/// Whether a settings file is a plain file of its own folder, and no link out of it.
pub fn is_at_home(path: &Path) -> bool {
    let real = fs::canonicalize(path);
    let home = path
        .parent()
        .and_then(|folder| fs::canonicalize(folder).ok());
    let home = real.ok().zip(home);
    home.is_some_and(|(real, home)| real.starts_with(home) && real.is_file())
}

/// Whether a file belongs to somebody who is neither the owner of a folder nor the superuser.
#[cfg(unix)]
pub fn is_foreign(file: &Path, folder: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let owner = |path: &Path| fs::metadata(path).map(|there| there.uid()).ok();
    let owners = owner(file).zip(owner(folder));
    owners.is_some_and(|(file, folder)| are_foreign(file, folder))
}

/// Whether a file of the first user is foreign in a folder of the second.
#[cfg(unix)]
const fn are_foreign(file: u32, folder: u32) -> bool {
    const SUPERUSER: u32 = 0;
    file != folder && file != SUPERUSER
}

#[cfg(not(unix))]
pub fn is_foreign(_: &Path, _: &Path) -> bool {
    false
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_foreign_unless_the_folders_owner_or_the_superuser_owns_it() {
        assert!(are_foreign(1001, 1000) && are_foreign(1001, 0));
        assert!(!are_foreign(1000, 1000) && !are_foreign(0, 1000) && !are_foreign(0, 0));
    }
}
