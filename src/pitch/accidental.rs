//! Sharps and flats as text, typed (`#` `b`) or printed (♯ ♭ ♮ 𝄪 𝄫).

/// The most accidentals a name may carry on one side: more is a slip of the keyboard.
pub(super) const MOST: i8 = 3;

/// Splits the accidentals off the front of `text`: their sum in semitones, and the rest.
///
/// Flats and sharps do not mix; the rest starts at the first sign of the other kind. A natural sign
/// stands alone.
pub(super) fn split(text: &str) -> (i8, &str) {
    let mut alter = 0i8;
    let mut rest = text;
    if let Some(after) = rest.strip_prefix('♮') {
        return (0, after);
    }
    while let Some((sign, after)) = one(rest) {
        if alter.signum() * sign.signum() < 0 || (alter + sign).abs() > MOST {
            break;
        }
        alter += sign;
        rest = after;
    }
    (alter, rest)
}

fn one(text: &str) -> Option<(i8, &str)> {
    let first = text.chars().next()?;
    let value = match first {
        '#' | '♯' => 1,
        'b' | '♭' => -1,
        '𝄪' => 2,
        '𝄫' => -2,
        _ => return None,
    };
    Some((value, &text[first.len_utf8()..]))
}

/// `alter` semitones as `b` or `#`, once for each; no more than [`MOST`].
pub(super) fn text(alter: i8) -> &'static str {
    let signs = if alter < 0 { "bbb" } else { "###" };
    signs
        .get(..usize::from(alter.unsigned_abs()))
        .unwrap_or(signs)
}

#[cfg(test)]
mod tests {
    use super::split;

    #[test]
    fn typed_and_printed_signs_mean_the_same() {
        assert_eq!(split("b7"), (-1, "7"));
        assert_eq!(split("♭7"), (-1, "7"));
        assert_eq!(split("##"), (2, ""));
        assert_eq!(split("𝄪"), (2, ""));
        assert_eq!(split("♮4"), (0, "4"));
    }

    #[test]
    fn signs_do_not_mix() {
        assert_eq!(split("b#9"), (-1, "#9"));
    }

    #[test]
    fn a_fourth_sign_is_left_over() {
        assert_eq!(split("bbbb"), (-3, "b"));
    }
}
