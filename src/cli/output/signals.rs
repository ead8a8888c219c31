//! No temporary file is left behind by a signal: those that are being filled are known here, and taken
//! away before the program ends as the signal wants it.

use std::collections::BTreeSet;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, Once, PoisonError};

use tempfile::{NamedTempFile, TempPath};

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
pub fn put(file: TempPath, path: &Path) -> io::Result<()> {
    let mut files = files();
    files.remove::<Path>(&file);
    let put = file.persist(path);
    put.map_err(|error| super::reason::reason(&error.error))
}

#[cfg(unix)]
fn watch() {
    use signal_hook::iterator::Signals;
    use signal_hook::low_level::emulate_default_handler;
    // Where there is no watching, a signal ends the program at once, and a file may be left.
    let Ok(mut signals) = Signals::new(watched()) else {
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

/// The signals that end the program: those of a user, of a terminal that is closed, and of a shell's limits.
/// One that the program was started to ignore, as under `nohup`, stays ignored; where that can't be known,
/// only those of a user are watched for.
#[cfg(unix)]
fn watched() -> Vec<i32> {
    use signal_hook::consts::{SIGALRM, SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGXCPU};
    let status = std::fs::read_to_string("/proc/self/status").ok();
    match status.as_deref().and_then(ignored) {
        None => vec![SIGINT, SIGTERM],
        Some(ignored) => [SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGXCPU, SIGALRM]
            .into_iter()
            .filter(|signal| ignored >> (signal - 1) & 1 == 0)
            .collect(),
    }
}

/// The signals that a process ignores, a bit each, from what the kernel says of it.
#[cfg(unix)]
fn ignored(status: &str) -> Option<u64> {
    let mut lines = status.lines();
    let mask = lines.find_map(|line| line.strip_prefix("SigIgn:"))?;
    u64::from_str_radix(mask.trim(), 16).ok()
}

/// Lets a write that passes the shell's limit for files fail, with an error that is told, where else the
/// program would end without a word.
#[cfg(unix)]
pub fn fail_at_file_limit() {
    use signal_hook::consts::SIGXFSZ;
    let seen = std::sync::Arc::default();
    // Where it can't be had, the program ends as it would without.
    let _ = signal_hook::flag::register(SIGXFSZ, seen);
}

#[cfg(not(unix))]
fn watch() {}

#[cfg(not(unix))]
pub fn fail_at_file_limit() {}
