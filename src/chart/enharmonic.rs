//! Keys that no signature can name, under the name that one can.

use crate::pitch::{Key, Letter, Mode, Name, PitchClass};

/// The key on this class that has a signature: naturals first, then flats, then sharps.
pub(super) fn key(tonic: PitchClass, mode: Mode) -> Option<Key> {
    let names = [0, -1, 1].map(|alter| Letter::ALL.map(|letter| Name::new(letter, alter)));
    let names = names.into_iter().flatten().flatten();
    let same = names.filter(|name| name.class() == tonic);
    same.filter_map(|name| Key::new(name, mode)).next()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_class_has_a_key_of_either_mode() {
        for class in 0..12 {
            for mode in [Mode::Major, Mode::Minor] {
                let key = key(PitchClass::of(class), mode).unwrap();
                assert_eq!(key.tonic().class(), PitchClass::of(class));
            }
        }
    }
}
