//! Keys from a signature and a mode.

use crate::pitch::{Key, Mode, Name};

/// The seven modes, by the first three letters of their names: how many fifths the tonic lies above that
/// of the major key with the same signature, and whether its third is minor.
const MODES: [(&str, i32, Mode); 10] = [
    ("maj", 0, Mode::Major),
    ("ion", 0, Mode::Major),
    ("", 0, Mode::Major),
    ("mix", 1, Mode::Major),
    ("lyd", -1, Mode::Major),
    ("min", 3, Mode::Minor),
    ("aeo", 3, Mode::Minor),
    ("dor", 2, Mode::Minor),
    ("phr", 4, Mode::Minor),
    ("loc", 5, Mode::Minor),
];

/// A mode by its name, as [`MODES`] has it. `m` is minor.
fn mode_of(name: &str) -> Option<(&'static str, i32, Mode)> {
    let name = name.trim().to_ascii_lowercase();
    let head: String = name.chars().take(3).collect();
    let head = if name == "m" { "min".to_owned() } else { head };
    MODES.into_iter().find(|(known, _, _)| *known == head)
}

/// The key on the tonic of a signature in a mode, and whether that is all there is to say: a chart's key
/// is major or minor, so the other modes lose their sixth or seventh.
pub(in crate::formats) fn key_of_signature(fifths: i32, mode: &str) -> Option<(Key, bool)> {
    let (name, above, third) = mode_of(mode)?;
    let key = Key::new(Name::at_fifths(fifths + above)?, third)?;
    Some((key, is_plain(name)))
}

/// The key on a tonic in a mode, and whether that is all there is to say.
pub(in crate::formats) fn key_of_tonic(tonic: Name, mode: &str) -> Option<(Key, bool)> {
    let (name, _, third) = mode_of(mode)?;
    Some((Key::new(tonic, third)?, is_plain(name)))
}

/// How many fifths the signature of a tonic in a mode has.
pub(in crate::formats) fn signature_of(tonic: Name, mode: &str) -> Option<i32> {
    let (_, above, _) = mode_of(mode)?;
    Some(tonic.fifths() - above)
}

fn is_plain(mode: &str) -> bool {
    matches!(mode, "" | "maj" | "ion" | "min" | "aeo")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signatures_and_modes_make_keys() {
        for (fifths, mode, key, plain) in [
            (0, "major", "C", true),
            (-3, "minor", "Cm", true),
            (0, "dorian", "Dm", false),
            (2, "Mixolydian", "A", false),
            (6, "", "F#", true),
            (-7, "maj", "Cb", true),
        ] {
            let found = key_of_signature(fifths, mode).unwrap();
            assert_eq!(
                (found.0.to_string().as_str(), found.1),
                (key, plain),
                "{fifths} {mode}"
            );
            assert_eq!(signature_of(found.0.tonic(), mode), Some(fifths));
        }
        assert_eq!(key_of_signature(0, "whole-tone"), None);
    }
}
