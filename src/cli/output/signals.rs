//! No temporary file is left behind by a signal: those that are being filled are known here, and taken
//! away before the program ends as the signal wants it.

use std::collections::BTreeSet;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, Once, PoisonError};

use tempfile::NamedTempFile;

/// The temporary files there are.
static FILES: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

static WATCHED: Once = Once::new();

fn files() -> MutexGuard<'static, BTreeSet<PathBuf>> {
    FILES.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Makes a temporary file and remembers it.
///
/// # Errors
///
/// Those of `make`.
pub fn begin(make: impl FnOnce() -> io::Result<NamedTempFile>) -> io::Result<NamedTempFile> {
    WATCHED.call_once(watch);
    // The lock is held until the file is known, so that no signal comes in between.
    let mut files = files();
    let file = make()?;
    files.insert(file.path().to_owned());
    Ok(file)
}

/// Puts a temporary file in its place.
///
/// # Errors
///
/// It can't be put there.
pub fn put(file: NamedTempFile, path: &Path) -> io::Result<()> {
    let mut files = files();
    files.remove(file.path());
    let put = file.persist(path);
    put.map(|_| ())
        .map_err(|error| super::reason::reason(&error.error))
}

#[cfg(unix)]
fn watch() {
    use signal_hook::consts::{SIGINT, SIGTERM};
    use signal_hook::iterator::Signals;
    use signal_hook::low_level::emulate_default_handler;
    // Where there is no watching, a signal ends the program at once, and a file may be left.
    let Ok(mut signals) = Signals::new([SIGINT, SIGTERM]) else {
        return;
    };
    let wait = move || {
        for signal in signals.forever() {
            // The lock is kept: nothing is begun any more.
            let files = files();
            for file in files.iter() {
                let _ = std::fs::remove_file(file);
            }
            let _ = emulate_default_handler(signal);
        }
    };
    let _ = std::thread::Builder::new().spawn(wait);
}

#[cfg(not(unix))]
fn watch() {}
