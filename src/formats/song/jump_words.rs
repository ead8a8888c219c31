//! Words above the staff that send a player somewhere.

use crate::chart::Jump;

/// The jump that words mean, as printed music has them: `D.C. al Fine`, `Dal segno al Coda`, `To Coda`.
pub(in crate::formats) fn jump_of_words(words: &str) -> Option<Jump> {
    let plain: String = words
        .to_lowercase()
        .chars()
        .map(|c| if c.is_alphabetic() { c } else { ' ' })
        .collect();
    let words: Vec<&str> = plain.split_whitespace().collect();
    let text = words.join(" ");
    let text = text.replace("d c", "dc").replace("d s", "ds");
    let text = text
        .replace("da capo", "dc")
        .replace("dal segno", "ds")
        .replace("del segno", "ds");
    Some(match text.as_str() {
        "dc" => Jump::DaCapo,
        "dc al fine" => Jump::DaCapoAlFine,
        "dc al coda" => Jump::DaCapoAlCoda,
        "ds" => Jump::DalSegno,
        "ds al fine" => Jump::DalSegnoAlFine,
        "ds al coda" => Jump::DalSegnoAlCoda,
        "to coda" | "al coda" => Jump::ToCoda,
        "coda" => Jump::Coda,
        "segno" => Jump::Segno,
        "fine" => Jump::Fine,
        _ => return None,
    })
}

/// One jump for what a measure says twice, in words and for playing: the words say more.
pub(in crate::formats) fn merged(jumps: &[Jump]) -> Vec<Jump> {
    let mut merged: Vec<Jump> = Vec::new();
    for jump in jumps {
        let said_better = jumps.iter().any(|other| says_more(*other, *jump));
        if !said_better && !merged.contains(jump) {
            merged.push(*jump);
        }
    }
    merged
}

const fn says_more(one: Jump, other: Jump) -> bool {
    matches!(
        (one, other),
        (Jump::DaCapoAlFine | Jump::DaCapoAlCoda, Jump::DaCapo)
            | (Jump::DalSegnoAlFine | Jump::DalSegnoAlCoda, Jump::DalSegno)
            | (Jump::ToCoda, Jump::Coda)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_understood_as_they_are_printed() {
        for (words, expected) in [
            ("D.C. al Fine", Some(Jump::DaCapoAlFine)),
            ("D. S. al Coda", Some(Jump::DalSegnoAlCoda)),
            ("Da Capo", Some(Jump::DaCapo)),
            ("To Coda", Some(Jump::ToCoda)),
            ("Fine.", Some(Jump::Fine)),
            ("fine tune", None),
            ("Swing", None),
        ] {
            assert_eq!(jump_of_words(words), expected, "{words}");
        }
    }

    #[test]
    fn words_and_playing_are_one_jump() {
        let both = [Jump::DaCapo, Jump::DaCapoAlFine, Jump::DaCapo];
        assert_eq!(merged(&both), [Jump::DaCapoAlFine]);
    }
}
