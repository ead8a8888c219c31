//! A chord over a chord: `D//C7`.
//!
//! It is read as the lower chord with the upper one's tones added as named tensions, spelled over the
//! lower root: D over C7 is C7 with 9, #11 and 13. MusicXML writes such a chord as two chords one
//! above the other; the double slash is ours, for a single one is a bass.

use super::Tone;
use crate::pitch::{Degree, Name, PitchClass};

/// The lower chord's tones with those of the upper one.
pub(super) fn merged(lower: &[Tone], root: Name, upper: &[Tone], upper_root: Name) -> Vec<Tone> {
    let mut tones = lower.to_vec();
    for tone in upper {
        let class = upper_root.class().plus(tone.degree.semitones());
        add(&mut tones, root.class().up_to(class).0);
    }
    tones.sort_unstable_by_key(|tone| (tone.degree.number(), tone.degree.alter()));
    tones
}

/// Names the tone this many semitones above the root, or adds it.
fn add(tones: &mut Vec<Tone>, semitones: i32) {
    let class = PitchClass::of(semitones).number();
    let same = |tone: &&mut Tone| tone.degree.class() == class;
    match tones.iter_mut().find(same) {
        Some(tone) => tone.named |= tone.degree.number() > 1 && tone.degree != Degree::known(5, 0),
        None => tones.push(Tone {
            degree: degree(class, tones),
            named: class != 7 && class != 0,
        }),
    }
}

/// What a key of the piano is called over a chord that hasn't got it.
fn degree(class: u8, tones: &[Tone]) -> Degree {
    let third = tones.iter().any(|tone| tone.degree.number() == 3);
    match class {
        // A second third can only be a flat eleventh.
        4 if third => Degree::known(11, -1),
        _ => Degree::usual(PitchClass::of(i32::from(class))),
    }
}

#[cfg(test)]
mod tests {
    use crate::chord::{Chord, Family};

    #[test]
    fn the_upper_triads_of_a_dominant_are_its_tensions() {
        // The standard chart of upper structures: triad, then what it adds over C7.
        for (symbol, added) in [
            ("D//C7", "9 #11 13"),
            ("Eb//C7", "#9"),
            ("Gb//C7", "b9 #11"),
            ("Ab//C7", "#9 b13"),
            ("A//C7", "b9 13"),
            ("F#m//C7", "b9 #11 13"),
        ] {
            let chord = Chord::read(symbol).unwrap();
            let degrees: Vec<String> = chord.extensions().iter().map(ToString::to_string).collect();
            assert_eq!(degrees.join(" "), added, "{symbol}");
            assert_eq!(
                (chord.root().to_string().as_str(), chord.bass()),
                ("C", None)
            );
            assert_eq!(chord.family(), Family::Dominant);
        }
    }
}
