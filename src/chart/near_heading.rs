//! Header names that nobody knows, and that are nearly one that means something.

use super::nearest::nearest;
use super::{Diagnostic, Entry, Field};

/// The names that mean something, each with other words that musicians use for it. Common practice, no
/// source.
const KNOWN: [(&str, &[&str]); 7] = [
    ("title", &["name", "tune", "song"]),
    ("key", &["tonality", "key-signature", "keysig", "tonart"]),
    (
        "meter",
        &["time", "metre", "time-signature", "timesig", "signature"],
    ),
    ("tempo", &["bpm", "speed"]),
    ("play", &["form", "order", "roadmap"]),
    ("middle-c", &["middlec", "octaves"]),
    ("spelling", &["accidentals"]),
];

/// The names that mean nothing to the music and are printed on the page.
const PRINTED: [&str; 2] = ["style", "composer"];

/// The question about an entry whose name is nearly one that means something.
pub(super) fn warning(entry: &Entry) -> Option<Diagnostic> {
    let Field::Other { name, value } = &entry.field else {
        return None;
    };
    let meant = meant(&name.to_lowercase())?;
    let message = format!("`{name}` is kept, but means nothing here; did you mean `{meant}`?");
    let label = format!("not taken as the {}", meant.replace('-', " "));
    let warning = Diagnostic::warning(entry.span.range(), message, label);
    Some(warning.help(format!("write `{meant}: {value}` if that is meant")))
}

/// The known name that a word stands for, or that it misspells.
fn meant(word: &str) -> Option<&'static str> {
    let same = KNOWN.iter().find(|(_, others)| others.contains(&word));
    same.map(|(name, _)| *name)
        .or_else(|| nearest(word, KNOWN.map(|(name, _)| name)))
        .or_else(|| nearest(word, PRINTED).filter(|name| *name != word))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::read;

    #[test]
    fn what_is_nearly_a_name_is_asked_about() {
        for (word, name) in [
            ("time", Some("meter")),
            ("metre", Some("meter")),
            ("tonality", Some("key")),
            ("temop", Some("tempo")),
            ("titel", Some("title")),
            ("spellings", Some("spelling")),
            ("stlye", Some("style")),
            ("compsoer", Some("composer")),
            ("band", None),
            ("style", None),
            ("composer", None),
            ("arranger", None),
        ] {
            assert_eq!(meant(word), name, "{word}");
        }
    }

    #[test]
    fn the_entry_is_kept_and_the_question_names_the_heading() {
        let chart = read("Time: 3/4\nband: the Quay Trio\n| C |").unwrap();
        let [warning] = &chart.warnings()[..] else {
            panic!("{:?}", chart.warnings());
        };
        assert_eq!(
            warning.message,
            "`Time` is kept, but means nothing here; did you mean `meter`?"
        );
        assert_eq!(warning.span, 6..9);
        assert_eq!(
            warning.help.as_deref(),
            Some("write `meter: 3/4` if that is meant")
        );
        assert!(chart.tidy().starts_with("Time: 3/4\n"));
    }
}
