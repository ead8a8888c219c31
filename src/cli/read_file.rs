//! Files read into memory, up to a length.

use std::fs;
use std::io::Read;
use std::path::Path;

use anyhow::{Context, Result, bail};

use super::files_read::{self, ReadAs};
use super::visible::path_in_one_line;

/// The bytes of a file that is no longer than this; what it is read as is noted.
///
/// # Errors
///
/// It can't be read, or is longer.
pub fn read_file(path: &Path, longest: u64, what: ReadAs) -> Result<Vec<u8>> {
    files_read::note(path, what);
    let read = fs::File::open(path).and_then(|file| {
        let mut bytes = Vec::new();
        file.take(longest + 1).read_to_end(&mut bytes)?;
        Ok(bytes)
    });
    let read = read.map_err(anyhow::Error::from);
    let read = read.and_then(|bytes| within(bytes, longest));
    read.with_context(|| format!("can't read {}", path_in_one_line(path)))
}

/// As [`read_file`], for a text.
///
/// # Errors
///
/// It can't be read, is longer, or is no UTF-8.
pub fn read_text(path: &Path, longest: u64, what: ReadAs) -> Result<String> {
    let bytes = read_file(path, longest, what)?;
    String::from_utf8(bytes)
        .with_context(|| format!("can't read {}: it is no UTF-8", path_in_one_line(path)))
}

/// The bytes, unless there are more than may be read.
///
/// # Errors
///
/// There are more.
pub fn within(bytes: Vec<u8>, longest: u64) -> Result<Vec<u8>> {
    match bytes.len() as u64 > longest {
        true if longest < 1 << 20 => bail!("there is more of it than {} KiB", longest >> 10),
        true => bail!("there is more of it than {} MiB", longest >> 20),
        false => Ok(bytes),
    }
}
