//! The `compline` program.

fn main() {}
