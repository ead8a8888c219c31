//! Tests of the library from outside, in one binary.

#![allow(clippy::expect_used, clippy::panic, clippy::unwrap_used)]

/// Charts: what is read can be printed and read again, whatever it is.
mod charts;
/// Form: the order in which written bars are played.
mod form;
