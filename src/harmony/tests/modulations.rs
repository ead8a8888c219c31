//! Where tunes leave their key, held against [`tunes`].

use super::tunes::{TaughtTune, tunes};
use super::{TONICS, everywhere};
use crate::chord::Chord;
use crate::harmony::{Analysis, analyses, home};
use crate::pitch::{Interval, Key, Mode, PitchClass};

impl TaughtTune {
    fn symbols(&self) -> String {
        let symbols = self.regions.iter().map(|[_, symbols, _]| *symbols);
        symbols.collect::<Vec<_>>().join(" ")
    }

    /// The tonic's pitch class, the mode and the numeral of each chord, with the tune's tonic moved up.
    fn expected(&self, up: Interval) -> Vec<(PitchClass, Mode, &'static str)> {
        let of_region = |[key, symbols, numerals]: &[&'static str; 3]| {
            let key: Key = key.parse().unwrap();
            let tonic = key.tonic().class().plus(up.semitones());
            let numerals: Vec<&str> = numerals.split(' ').collect();
            assert_eq!(numerals.len(), symbols.split(' ').count(), "{}", self.name);
            numerals.into_iter().map(move |n| (tonic, key.mode(), n))
        };
        self.regions.iter().flat_map(of_region).collect()
    }

    fn is_read(&self, chords: &[Chord], key: Option<Key>, tonic: &str) -> Result<(), String> {
        let row: Vec<Option<&Chord>> = chords.iter().map(Some).collect();
        let found = analyses(&row, key, self.looped);
        let found: Vec<Analysis> = found.into_iter().map(Option::unwrap).collect();
        let up = Interval::between("C".parse().unwrap(), tonic.parse().unwrap());
        let told = self.key.parse::<Key>().unwrap();
        let own = home(&row, key, self.looped).unwrap();
        let at_home = own.tonic().class() == told.tonic().class().plus(up.semitones());
        let as_expected = at_home
            && own.mode() == told.mode()
            && found.iter().zip(self.expected(up)).all(|(s, expected)| {
                let (tonic, mode) = (s.region.tonic().class(), s.region.mode());
                (tonic, mode, s.numeral.to_string().as_str()) == expected
            });
        let shown = chords.iter().zip(&found);
        let shown = shown.map(|(c, s)| format!("{} {}:{}", c.symbol(), s.region, s.numeral));
        let shown: Vec<String> = shown.collect();
        match as_expected {
            true => Ok(()),
            false => Err(format!(
                "{} on {tonic}, at home in {own}: {}",
                self.name,
                shown.join(", ")
            )),
        }
    }
}

/// Tunes whose chords alone don't tell the relative keys apart, or the key of a held chord.
const NEED_THEIR_KEY: [&str; 3] = [
    "an ending on vi",
    "an ending in the relative major",
    "a modal tune with its bridge a half step up",
];

/// Reads the tunes in every key; those that are misread are shown in the first key they are.
fn assert_read(tunes: &[&TaughtTune], told: bool) {
    let mut misread = Vec::new();
    for tune in tunes {
        let everywhere = everywhere(&tune.symbols(), tune.key);
        let read = everywhere
            .iter()
            .zip(TONICS)
            .map(|((chords, key), tonic)| tune.is_read(chords, key.filter(|_| told), tonic));
        misread.extend(read.filter_map(Result::err).take(1));
    }
    assert!(misread.is_empty(), "{}", misread.join("\n"));
}

#[test]
fn tunes_are_read_as_a_teacher_would() {
    assert_read(&tunes().collect::<Vec<_>>(), true);
}

#[test]
fn most_are_read_so_without_being_told_their_key() {
    let rest = tunes().filter(|t| !NEED_THEIR_KEY.contains(&t.name));
    let rest: Vec<&TaughtTune> = rest.collect();
    assert_eq!(rest.len() + NEED_THEIR_KEY.len(), tunes().count());
    assert_read(&rest, false);
}
