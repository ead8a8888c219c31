//! Note lengths, tuplets and broken rhythms.

use num_rational::Ratio;

/// The length behind a note, in units: `2`, `/2`, `3/2`, `/`, `//`; 1 where there is none. Gives back
/// what follows.
pub(super) fn length(text: &str) -> (Ratio<i64>, &str) {
    let (upper, rest) = number(text);
    let upper = upper.unwrap_or(1);
    let slashes = rest.len() - rest.trim_start_matches('/').len();
    let behind = rest.get(slashes..).unwrap_or_default();
    match (slashes, number(behind)) {
        (0, _) => (Ratio::from(upper), rest),
        (1, (Some(lower), rest)) if lower > 0 => (Ratio::new(upper, lower), rest),
        (many, _) => {
            let lower = 1_i64 << many.min(10);
            (Ratio::new(upper, lower), behind)
        }
    }
}

/// A whole number of at most four digits.
pub(super) fn number(text: &str) -> (Option<i64>, &str) {
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    let (digits, rest) = text.split_at(digits);
    (digits.parse().ok().filter(|n| *n < 10_000), rest)
}

/// What a tuplet does: so many notes in the time of so many.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct AbcTuplet {
    pub factor: Ratio<i64>,
    /// How many notes are still to come.
    pub left: i64,
}

/// A tuplet behind its bracket: `3`, `3:2`, `3:2:4`, `3::4`. What is left out follows from the standard's
/// table: 2 in 3, 3 in 2, 4 in 3, 6 in 2, 8 in 3; 5, 7 and 9 in 3 in compound time, else in 2.
pub(super) fn tuplet(text: &str, compound: bool) -> Option<(AbcTuplet, &str)> {
    let (count, rest) = number(text);
    let count = count.filter(|count| (2..=64).contains(count))?;
    let mut parts = [None, None];
    let mut rest = rest;
    for part in &mut parts {
        if let Some(behind) = rest.strip_prefix(':') {
            (*part, rest) = number(behind);
        }
    }
    let usual = match count {
        3 | 6 => 2,
        2 | 4 | 8 => 3,
        _ if compound => 3,
        _ => 2,
    };
    let time = parts[0].filter(|time| *time > 0).unwrap_or(usual);
    let left = parts[1].filter(|left| *left > 0).unwrap_or(count);
    let factor = Ratio::new(time, count);
    Some((AbcTuplet { factor, left }, rest))
}

/// What a broken rhythm of so many signs, `>` or `<`, makes of the note before and of the note behind.
pub(super) fn broken(sign: char, signs: usize) -> (Ratio<i64>, Ratio<i64>) {
    let parts = 1_i64 << signs.clamp(1, 3);
    let (long, short) = (Ratio::new(2 * parts - 1, parts), Ratio::new(1, parts));
    match sign {
        '>' => (long, short),
        _ => (short, long),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_read_as_the_standard_writes_them() {
        for (text, expected, rest) in [
            ("2A", (2, 1), "A"),
            ("/2", (1, 2), ""),
            ("3/2 ", (3, 2), " "),
            ("/", (1, 2), ""),
            ("//B", (1, 4), "B"),
            ("3/", (3, 2), ""),
            ("A", (1, 1), "A"),
        ] {
            assert_eq!(
                length(text),
                (Ratio::new(expected.0, expected.1), rest),
                "{text}"
            );
        }
    }

    #[test]
    fn tuplets_follow_the_table() {
        for (text, compound, factor, left) in [
            ("3abc", false, (2, 3), 3),
            ("2ab", true, (3, 2), 2),
            ("5", true, (3, 5), 5),
            ("5", false, (2, 5), 5),
            ("3:2:4", false, (2, 3), 4),
            ("3::2", false, (2, 3), 2),
        ] {
            let (tuplet, _) = tuplet(text, compound).unwrap();
            assert_eq!(
                (tuplet.factor, tuplet.left),
                (Ratio::new(factor.0, factor.1), left)
            );
        }
    }

    #[test]
    fn broken_rhythms_dot_one_note_and_cut_the_other() {
        assert_eq!(broken('>', 1), (Ratio::new(3, 2), Ratio::new(1, 2)));
        assert_eq!(broken('<', 2), (Ratio::new(1, 4), Ratio::new(7, 4)));
    }
}
