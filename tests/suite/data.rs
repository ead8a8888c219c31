//! No tests: real-world data, and how much of it a run tries.
//!
//! What takes long is tried on a sample: every so many-th input, always the same ones, so that a run that
//! passes here passes there. Where `COMPLINE_WHOLE` is set, all of them are tried.

use std::env::var_os;
use std::path::PathBuf;

/// What the folder that `COMPLINE_DATA` names holds by this name. Without the variable the test is left out, and
/// says so on stderr.
pub fn data(name: &str) -> Option<PathBuf> {
    let folder = var_os("COMPLINE_DATA");
    if folder.is_none() {
        eprintln!("SKIPPED: COMPLINE_DATA is not set, so {name} was not read");
    }
    folder.map(|folder| PathBuf::from(folder).join(name))
}

fn whole() -> bool {
    var_os("COMPLINE_WHOLE").is_some()
}

/// Every so many-th of them from the first one on, or all in a whole run.
pub fn every<T>(step: usize, all: impl IntoIterator<Item = T>) -> impl Iterator<Item = T> {
    all.into_iter().step_by(if whole() { 1 } else { step })
}

/// How many random cases are tried: the first figure, or the second in a whole run.
pub fn cases(sample: u32, all: u32) -> u32 {
    if whole() { all } else { sample }
}
