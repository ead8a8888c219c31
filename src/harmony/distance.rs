//! How far a chord of a key lies from its tonic: Lerdahl, *Tonal Pitch Space* (2001), the chord distance
//! rule within one region (the distances of the degrees are quoted in reviews of the book).
//!
//! A chord is a row of levels, each a set of pitch classes: the root; root and fifth; the triad. The
//! distance is the number of steps on the circle of fifths of the key's seven degrees, and the number of
//! pitch classes, level by level, that the other chord has and the tonic has not. The level of the scale
//! and the chromatic one are the same within a region.

use crate::chord::Chord;
use crate::pitch::{Degree, Key, Mode, PitchClass, Semitones};

/// The degrees of a scale in fifths, from the fourth of the major one on, in half steps.
const FIFTHS: [i32; 7] = [5, 0, 7, 2, 9, 4, 11];

/// The distance of a chord's triad from the tonic triad of a key; `None` where the triad is not made of
/// the notes of the scale (in minor, the natural one).
///
/// ```
/// use compline::chord::Chord;
/// use compline::harmony::distance_from_tonic;
/// let from_c = |symbol| distance_from_tonic(&Chord::read(symbol).unwrap(), "C".parse().unwrap());
/// assert_eq!(["Dm7", "Em7", "F", "G7", "Am", "Bm7b5"].map(from_c), [8, 7, 5, 5, 7, 8].map(Some));
/// assert_eq!(from_c("Ab"), None);
/// ```
pub fn distance_from_tonic(chord: &Chord, key: Key) -> Option<u32> {
    let (here, home) = (Levels::of(chord)?, Levels::of_tonic(key));
    let steps = around(place(key, here.root)?, place(key, home.root)?);
    place(key, here.third)?;
    place(key, here.fifth)?;
    let new = here.levels().zip(home.levels());
    let new = new.map(|(here, home)| {
        here.into_iter()
            .filter(|class| !home.contains(class))
            .count()
    });
    u32::try_from(steps + new.sum::<usize>()).ok()
}

/// Where a pitch class stands on the circle of fifths of the key's scale, if it is in it.
fn place(key: Key, class: PitchClass) -> Option<usize> {
    let relative = match key.mode() {
        Mode::Major => 0,
        Mode::Minor => 3,
    };
    let above = key.tonic().class().plus(Semitones(relative)).up_to(class).0;
    FIFTHS.iter().position(|fifth| *fifth == above)
}

/// The steps from one place on the circle to another, the shorter way round.
const fn around(from: usize, to: usize) -> usize {
    let apart = from.abs_diff(to);
    let back = FIFTHS.len() - apart;
    if apart < back { apart } else { back }
}

/// A triad by what weighs most in it.
struct Levels {
    root: PitchClass,
    fifth: PitchClass,
    third: PitchClass,
}

impl Levels {
    fn of(chord: &Chord) -> Option<Self> {
        let class = |degree: Degree| chord.spell(degree).class();
        Some(Self {
            root: class(Degree::ROOT),
            fifth: class(chord.fifth()?),
            third: class(chord.third()?),
        })
    }

    fn of_tonic(key: Key) -> Self {
        let third = match key.mode() {
            Mode::Major => 4,
            Mode::Minor => 3,
        };
        let above = |semitones| key.tonic().class().plus(Semitones(semitones));
        Self {
            root: above(0),
            fifth: above(7),
            third: above(third),
        }
    }

    /// The root; root and fifth; the triad.
    fn levels(&self) -> impl Iterator<Item = Vec<PitchClass>> {
        let Self { root, fifth, third } = *self;
        [vec![root], vec![root, fifth], vec![root, fifth, third]].into_iter()
    }
}

#[cfg(test)]
mod tests {
    use super::distance_from_tonic;
    use crate::chord::Chord;

    fn of(key: &str, symbols: &str) -> Vec<Option<u32>> {
        let key = key.parse().unwrap();
        let chords = symbols
            .split(' ')
            .map(|symbol| Chord::read(symbol).unwrap());
        chords
            .map(|chord| distance_from_tonic(&chord, key))
            .collect()
    }

    /// The distances of Lerdahl's chords from the tonic, in major and in its relative minor.
    #[test]
    fn chords_of_the_key_are_as_far_as_published_and_others_have_no_distance() {
        let major = [0, 8, 7, 5, 5, 7, 8].map(Some);
        assert_eq!(of("C", "C Dm7 Em7 F G7 Am Bm7b5"), major);
        assert_eq!(of("E", "E F#m7 G#m7 A B7 C#m D#m7b5"), major);
        assert_eq!(of("Am", "Am C Dm Em F G"), [0, 7, 5, 5, 7, 8].map(Some));
        assert_eq!(of("C", "Ab F# D Bb"), [None; 4]);
    }
}
