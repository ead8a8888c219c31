//! The tests of the library and the program from outside, in one binary.
//!
//! | module | what belongs there |
//! |---|---|
//! | `chords` | chord symbols: the readable table, real spellings, properties over all of them |
//! | `goldens` | our chord readings held against published ones and other libraries |
//!
//! A test that needs real-world data takes the folder from the variable `COMPLINE_DATA` and says so
//! on stderr when it is not set.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr,
    reason = "this whole crate is tests, shared functions included: a failure is a panic"
)]

mod chords;
mod goldens;
