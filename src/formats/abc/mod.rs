//! ABC: tune books in plain text, read.
//!
//! The format is that of *The ABC Music Standard 2.1* (Walshaw, 2011), read at its source; where books
//! of real tunes have older habits, such as `D/f+` for a bass, those are read as well.

mod accidental;
mod bar_line;
mod body;
mod book;
mod chord;
mod decoration;
mod fields;
mod key;
mod length;
mod next_bar;
mod note_times;
mod odd_lengths;
mod open_bar;
mod order;
mod pitches;
mod read;

pub use book::{BookEntry, alone, book, is_abc};
pub use read::read;
