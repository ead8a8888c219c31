//! What is said about music, in words: why a slot sounds as it does.

pub mod why;
