//! The suite: whole modules held against published tables, exhaustive search and independent code.

// Clippy's leave for tests does not reach helpers outside a test function.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod independent;
mod voicings;
