//! What a misspelled name may have been meant for.

/// The name nearest to a word, if one is near: three letters of the name allow for one mistake, which is a
/// letter changed, put in, left out, or swapped with the next. Of names as near the first in the alphabet.
///
/// ```
/// # use compline::chart::nearest;
/// assert_eq!(nearest("temop", ["key", "tempo"]), Some("tempo"));
/// assert_eq!(nearest("colour", ["key", "tempo"]), None);
/// ```
pub fn nearest<'a>(word: &str, names: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let letters = word.chars().count();
    let is_near = |mistakes: usize, name: &str| mistakes * 3 <= name.len();
    // Every letter too many or too few is a mistake: a long word is not measured.
    let names = names.into_iter();
    let names = names.filter(|name| is_near(letters.abs_diff(name.chars().count()), name));
    let near = names.map(|name| (strsim::damerau_levenshtein(word, name), name));
    let near = near.filter(|(mistakes, name)| is_near(*mistakes, name));
    near.min().map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_letters_of_a_name_allow_for_one_mistake() {
        for (word, near) in [
            ("muddy", Some("muddy")),
            ("mudy", Some("muddy")),
            ("mduddy", Some("muddy")),
            ("umddy", Some("muddy")),
            ("mady", None),
            ("waver", Some("waiver")),
            ("wavre", Some("waiver")),
            ("", None),
        ] {
            assert_eq!(nearest(word, ["muddy", "waiver"]), near, "{word}");
        }
        assert_eq!(nearest(&"x".repeat(1 << 20), ["muddy"]), None);
    }
}
