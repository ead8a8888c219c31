//! What a misspelled name may have been meant for.

/// What a word may have been meant for, or else what was expected.
pub fn meant<'a>(word: &str, names: impl Iterator<Item = &'a str>, what: &str) -> String {
    match nearest(word, names) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("a {what}"),
    }
}

/// The name nearest to a word, if one is near.
pub fn nearest<'a>(word: &str, names: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let near = names.map(|name| (strsim::damerau_levenshtein(word, name), name));
    let near = near.filter(|(distance, name)| distance * 3 <= name.len());
    near.min().map(|(_, name)| name)
}
