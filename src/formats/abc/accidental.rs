//! Accidentals as ABC writes them before a letter.

/// By how many half steps a sign alters its letter; `None` for what is no accidental.
pub(super) fn alteration(sign: &str) -> Option<i8> {
    match sign {
        "=" => Some(0),
        "^" => Some(1),
        "^^" => Some(2),
        "_" => Some(-1),
        "__" => Some(-2),
        _ => None,
    }
}
