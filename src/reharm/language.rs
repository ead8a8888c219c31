//! What a tune is written in: triads or chords with sevenths, and which bent chords it has itself.
//!
//! An arranger speaks a tune's own language. A folk song or a hymn in triads takes relative minors, a iv, the V
//! of its degrees, a passing diminished chord; a dominant a tritone away is from another world there, where a
//! tune that is written in sevenths is at home with it (common practice, no source; a pianist marked such a
//! chord in a plain tune wrong, and the same in a tune of sevenths good).

use crate::chart::Slot;
use crate::chord::{Chord, Family};
use crate::harmony::passage::is_diatonic;
use crate::pitch::{Key, Semitones};

/// What of chords a tune has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Language {
    /// How many of its chords are triads.
    pub triads: TriadShare,
    /// Which chords it has that a tune in triads mostly has not.
    has: BentChords,
}

/// How many of a tune's chords are triads, with or without an added tone, over any bass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum TriadShare {
    /// Less than a quarter: a tune of sevenths.
    #[default]
    Few,
    /// A quarter or more.
    Some,
    /// Half or more: a tune of triads.
    Most,
}

/// Which bent chords a tune has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct BentChords {
    slides: bool,
    alterations: bool,
    half_diminished: bool,
}

/// What makes a chord foreign to a tune in triads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Foreign {
    /// A dominant that is the V of no degree of the key, or a minor seventh on a root outside the key: the sound
    /// of a tritone substitute and its ii.
    Slide,
    /// A dominant with a bent tone, or a major seventh on a root outside the key.
    Alteration,
    /// A half-diminished seventh that is not the key's own.
    HalfDiminished,
}

impl Language {
    /// That of a page, each written chord counted once, in the key it stands in.
    pub(crate) fn of(slots: &[Slot], keys: &[Option<Key>]) -> Self {
        let keys = keys.iter().copied().chain(std::iter::repeat(None));
        let chords = slots.iter().zip(keys);
        let chords: Vec<(&Chord, Option<Key>)> = chords
            .filter_map(|(slot, key)| Some((slot.symbol.chord()?, key)))
            .collect();
        let triads = chords.iter().filter(|(chord, _)| is_triad(chord)).count();
        let triads = match triads {
            few if 4 * few < chords.len() => TriadShare::Few,
            some if 2 * some < chords.len() => TriadShare::Some,
            _ => TriadShare::Most,
        };
        let has = |what| {
            let mut chords = chords.iter();
            chords.any(|(chord, key)| foreign(chord, *key) == Some(what))
        };
        Self {
            triads,
            has: BentChords {
                slides: has(Foreign::Slide),
                alterations: has(Foreign::Alteration),
                half_diminished: has(Foreign::HalfDiminished),
            },
        }
    }

    /// What makes a chord in this key foreign to a tune in triads, unless the tune has such chords itself.
    pub(super) fn foreign(&self, chord: &Chord, key: Option<Key>) -> Option<Foreign> {
        foreign(chord, key).filter(|what| match what {
            Foreign::Slide => !self.has.slides,
            Foreign::Alteration => !self.has.alterations,
            Foreign::HalfDiminished => !self.has.half_diminished,
        })
    }
}

fn foreign(chord: &Chord, key: Option<Key>) -> Option<Foreign> {
    let is_outside = |class| key.is_some_and(|key| !is_diatonic(key, class));
    let root = chord.root().class();
    let outside = is_outside(root) && chord.seventh().is_some();
    match chord.family() {
        // F7 in C is the V of a Bb that C hasn't got: it slides into Em.
        Family::Dominant if outside || is_outside(root.plus(Semitones(5))) => Some(Foreign::Slide),
        Family::Minor if outside => Some(Foreign::Slide),
        Family::Dominant if is_bent(chord) => Some(Foreign::Alteration),
        Family::Major if outside => Some(Foreign::Alteration),
        Family::HalfDiminished if chord.classes().any(is_outside) => Some(Foreign::HalfDiminished),
        _ => None,
    }
}

/// Whether a chord names a b9, #9, b5, #11, #5 or b13.
fn is_bent(chord: &Chord) -> bool {
    let bent = |class: u8| matches!(class, 1 | 3 | 6 | 8);
    let mut tones = chord.tones().iter();
    chord.is_altered() || tones.any(|tone| bent(tone.degree.class()))
}

fn is_triad(chord: &Chord) -> bool {
    let family = matches!(
        chord.family(),
        Family::Major | Family::Minor | Family::Suspended | Family::Power
    );
    family && chord.seventh().is_none()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::read;

    fn language(rows: &str) -> Language {
        let chart = read(rows).unwrap();
        let slots = chart.slots();
        let keys = vec![chart.key(); slots.len()];
        Language::of(&slots, &keys)
    }

    #[test]
    fn a_tune_of_triads_is_told_from_one_of_sevenths() {
        for (rows, wanted) in [
            ("| G | D/F# | Em7 | Cadd9 | G | Dsus4 |", TriadShare::Most),
            ("| C | F | G7 | C |", TriadShare::Most),
            ("| Dm7 | G7 | C | Am7 |", TriadShare::Some),
            ("| Dm7 | G7 | Cmaj7 | A7 | C6 |", TriadShare::Few),
            ("| C7 | F7 | C7 | G7 |", TriadShare::Few),
        ] {
            assert_eq!(language(rows).triads, wanted, "{rows}");
        }
    }

    #[test]
    fn what_a_tune_has_itself_is_not_foreign_to_it() {
        let key: Option<Key> = "C".parse().ok();
        let told = |rows: &str, symbol: &str| {
            let chord = Chord::read(symbol).unwrap();
            language(&format!("key: C\n{rows}")).foreign(&chord, key)
        };
        let plain = "| C | F | G | C |";
        for (symbol, wanted) in [
            ("Db7", Some(Foreign::Slide)),
            ("Abm7", Some(Foreign::Slide)),
            ("A7b9", Some(Foreign::Alteration)),
            ("Dm7b5", Some(Foreign::HalfDiminished)),
            ("Bm7b5", None),
            ("F7", Some(Foreign::Slide)),
            ("A7", None),
            ("C7", None),
            ("Fm6", None),
            ("C#dim7", None),
            ("Abmaj7", Some(Foreign::Alteration)),
            ("Fmaj7", None),
        ] {
            assert_eq!(told(plain, symbol), wanted, "{symbol}");
        }
        assert_eq!(told("| C | Db7 | C | F |", "Ab7"), None);
        assert_eq!(told("| C | E7b9 | Am | F |", "A7b9"), None);
        assert_eq!(told("| C | Gm7b5 | C | F |", "Dm7b5"), None);
    }
}
