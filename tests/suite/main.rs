//! Tests of the library from outside, in one binary.

/// Charts: what is read can be printed and read again, whatever it is.
mod charts;
