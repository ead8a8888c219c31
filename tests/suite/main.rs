//! The suite: whole modules held against published tables, exhaustive search and independent code.

// Clippy's leave for tests does not reach functions that are no test themselves.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod independent;
mod voicings;
