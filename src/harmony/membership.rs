//! Which sounds a chord takes above itself.
//!
//! For each family a row of semitones above the root. The rows follow from the available tensions
//! and avoid notes of the chord scales (Nettles, *Harmony 3*, and Nettles & Graf, *The Chord Scale
//! Theory and Jazz Harmony*, as quoted; Berklee HARM 121 sheet, 2008); that they are put together
//! thus is from memory. Sounds marked * are taken only where they belong to the key.
//!
//! | chord | takes |
//! |---|---|
//! | major, major seventh, sixth | 1 9 3 #11* 5 13 7; a triad also b7, where that is in a key that is known |
//! | minor, minor seventh | 1 9 b3 11 5 13* b7; a triad also 7 |
//! | minor with a 6 or a major seventh | 1 9 b3 11 5 13 7 |
//! | dominant | 1 9 3 #11 5 13 b7, and altered: b9 #9 b13 |
//! | altered | 1 b9 #9 3 #11 b13 b7 |
//! | suspended | 1 9 4 5 13 b7 |
//! | half-diminished | 1 9* b3 11 b5 b13 b7 |
//! | diminished | 1 9 b3 11 b5 b13 bb7 7 |
//! | augmented | 1 9 3 #11 #5 7; from memory |
//! | power | all but b9, #11, b13 and 7: both thirds are open; common practice, no source |
//!
//! These are not the tensions of [`Scale`](super::Scale), and can't be: a scale says what the hand may
//! add in one place, and what it must leave out there, so each of its rows is one mode. Here the
//! question is what a melody may have over a chord wherever it is put, so a row is the union of those
//! modes, in which an avoided note that is no half step above a chord tone may be sung, and a
//! dominant has all of its alterations, one of which the melody then picks.
//!
//! What a symbol names replaces its neighbours: beside b9 or #9 there is no 9, beside b13 no 13,
//! beside a written 9 no b9 or #9, beside a written 13 no b13.

use super::passage::is_diatonic;
use crate::chord::{Chord, Family};
use crate::pitch::{Degree, Key, PitchClass};

/// How a sound belongs to a chord.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Membership {
    /// A tone of the symbol, or its bass.
    Tone,
    /// An extension.
    Tension,
    /// A b9, #9 or b13 of a dominant.
    Altered,
}

/// How a sound belongs to the chord in a region of this key, if it does.
pub(crate) fn membership(chord: &Chord, key: Option<Key>, class: PitchClass) -> Option<Membership> {
    let above = above(chord, class);
    if has(chord, above) || chord.bass().is_some_and(|bass| bass.class() == class) {
        return Some(Membership::Tone);
    }
    if chord.family() == Family::Dominant {
        return over_dominant(chord, above);
    }
    let in_key = || key.is_none_or(|key| is_diatonic(key, class));
    let (always, sometimes) = taken(chord);
    let taken = always.contains(&above)
        || sometimes.contains(&above) && in_key()
        || above == 10 && is_dominant_triad(chord, key);
    taken.then_some(Membership::Tension)
}

/// Whether a bare major triad is the dominant of its key, so that the melody may have the b7 that makes it a
/// seventh chord: D in G, but not C in C (common practice, no source).
fn is_dominant_triad(chord: &Chord, key: Option<Key>) -> bool {
    let bare = chord.family() == Family::Major && chord.seventh().is_none();
    let seventh = chord.root().class().plus(Degree::FLAT_SEVENTH.semitones());
    bare && key.is_some_and(|key| is_diatonic(key, seventh))
}

/// What a sound is called over the chord: by the chord's own tone if it has one.
pub(crate) fn degree_over(chord: &Chord, class: PitchClass) -> Degree {
    let above = above(chord, class);
    let mut tones = chord.tones().iter().map(|tone| tone.degree);
    let usual = || Degree::usual(PitchClass::of(i32::from(above)));
    tones
        .find(|tone| tone.class() == above)
        .unwrap_or_else(usual)
}

fn above(chord: &Chord, class: PitchClass) -> u8 {
    // Never out of range: 0 to 11.
    u8::try_from(chord.root().class().up_to(class).0).unwrap_or(0)
}

fn has(chord: &Chord, above: u8) -> bool {
    chord
        .tones()
        .iter()
        .any(|tone| tone.degree.class() == above)
}

fn over_dominant(chord: &Chord, above: u8) -> Option<Membership> {
    let altered = chord.is_altered();
    let bent_ninth = altered || has(chord, 1) || has(chord, 3);
    let bent_thirteenth = altered || has(chord, 8);
    match above {
        2 if !bent_ninth => Some(Membership::Tension),
        9 if !bent_thirteenth => Some(Membership::Tension),
        6 => Some(Membership::Tension),
        1 | 3 if !has(chord, 2) => Some(Membership::Altered),
        8 if !has(chord, 9) => Some(Membership::Altered),
        _ => None,
    }
}

/// Semitones always taken, and those taken in the key.
fn taken(chord: &Chord) -> (&'static [u8], &'static [u8]) {
    let seventh = chord.seventh().map(Degree::class);
    match chord.family() {
        Family::Major if chord.fifth() == Some(Degree::FLAT_FIFTH) => (&[0, 2, 4, 9, 11], &[]),
        Family::Major => (&[0, 2, 4, 7, 9, 11], &[6]),
        Family::Minor => match seventh {
            Some(10) => (&[0, 2, 3, 5, 7], &[9]),
            Some(_) => (&[0, 2, 3, 5, 7, 9, 11], &[]),
            None => (&[0, 2, 3, 5, 7, 10, 11], &[9]),
        },
        Family::Suspended => (&[0, 2, 5, 7, 9, 10], &[]),
        Family::HalfDiminished => (&[0, 3, 5, 6, 8, 10], &[2]),
        Family::Diminished => (&[0, 2, 3, 5, 6, 8, 9, 11], &[]),
        Family::Augmented => (&[0, 2, 4, 6, 8, 11], &[]),
        Family::Power => (&[0, 2, 3, 4, 5, 7, 9, 10], &[]),
        // Dominants have their own rule above.
        Family::Dominant => (&[], &[]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The twelve sounds above a chord: T tone, t tension, a altered, - refused.
    fn row(symbol: &str, key: &str) -> String {
        let chord = Chord::read(symbol).unwrap();
        let letter = |above| {
            let class = PitchClass::of(i32::from(chord.root().class().number()) + above);
            match membership(&chord, key.parse().ok(), class) {
                Some(Membership::Tone) => 'T',
                Some(Membership::Tension) => 't',
                Some(Membership::Altered) => 'a',
                None => '-',
            }
        };
        (0..12).map(letter).collect()
    }

    #[test]
    fn every_family_takes_its_published_sounds() {
        for (symbol, key, sounds) in [
            ("Cmaj7", "", "T-t-T-tT-t-T"),
            ("Cmaj7", "C", "T-t-T--T-t-T"),
            ("Fmaj7", "C", "T-t-T-tT-t-T"),
            ("Dm7", "C", "T-tT-t-T-tT-"),
            ("Em7", "C", "T-tT-t-T--T-"),
            ("CmMaj7", "", "T-tT-t-T-t-T"),
            ("G7", "C", "TataT-tTatT-"),
            ("G7alt", "C", "TT-TT-T-T-T-"),
            ("G7b9", "C", "TT-aT-tTatT-"),
            ("G9", "C", "T-T-T-tTatT-"),
            ("G13", "C", "T-T-T-tT-TT-"),
            ("G7sus", "C", "T-t--T-T-tT-"),
            ("Bm7b5", "C", "T--T-tT-t-T-"),
            ("Dm7b5", "C", "T-tT-tT-t-T-"),
            ("C#dim7", "", "T-tT-tT-tT-t"),
            ("F/G", "", "T-T-T-tT-t-t"),
            ("D", "", "T-t-T-tT-t-t"),
            ("D", "G", "T-t-T--T-ttt"),
            ("C", "C", "T-t-T--T-t-t"),
        ] {
            assert_eq!(row(symbol, key), sounds, "{symbol} in {key}");
        }
    }
}
