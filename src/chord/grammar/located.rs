//! A part of a symbol with the text it was read from.

/// Something read, with the text it was read from.
#[derive(Debug, Clone, Copy)]
pub(in crate::chord) struct Located<'a, T> {
    pub text: &'a str,
    pub what: T,
}
