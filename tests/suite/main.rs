//! Tests of the library from outside, in one binary.

/// Form: the order in which written bars are played.
mod form;
