//! ABC: tune books in plain text, read.
//!
//! The format is that of *The ABC Music Standard 2.1* (Walshaw, 2011), read at its source; where books
//! of real tunes have older habits, such as `D/f+` for a bass, those are read as well.

mod bar_line;
mod body;
mod book;
mod chord;
mod fields;
mod key;
mod length;
mod order;
mod read;

pub use book::{BookEntry, alone, book, is_abc};
pub use read::read;
