//! Why a file could not be written.

use std::io;

/// The reason alone, without the name of a file.
pub fn reason(error: &io::Error) -> io::Error {
    match error.raw_os_error() {
        Some(code) => io::Error::from_raw_os_error(code),
        None => io::Error::from(error.kind()),
    }
}
