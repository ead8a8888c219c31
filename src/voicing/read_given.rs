//! Reading a voicing somebody wrote: what its notes are in the chord, and whether it is a shape we
//! know. Whether it may be played is the hand's question, not asked here.

use crate::chord::{Chord, Family};
use crate::pitch::{Degree, Interval, Name, Note, Pitch, PitchClass, Semitones};

use super::admitted::every;
use super::{Surcharges, VoicedNote, Voicing};

/// What the shape of a voicing is called that is in none of the program's.
pub const FREE: &str = "free";

/// The voicing these notes are over this chord, lowest first whatever their order.
///
/// Each keeps its spelling. If together they are one of the program's shapes, their degrees are that
/// shape's. Otherwise a degree is the chord's own tone of that sound, or else what the program calls that
/// sound wherever it plays it, or else what the spelling says over the root (a D# over C is a #9), or else what
/// the sound usually is. `None` when a note lies off the MIDI range, two are the same key, or there is none.
///
/// ```
/// use compline::chord::Chord;
/// use compline::voicing::read_given;
///
/// let chord = Chord::read("Ebmaj7").unwrap();
/// let notes: Vec<_> = ["G3", "Bb3", "D4", "F4"].iter().map(|n| n.parse().unwrap()).collect();
/// let voicing = read_given(&chord, &notes).unwrap();
/// assert_eq!((voicing.shape_name(), voicing.lowest.to_string().as_str()), ("rootless", "3"));
/// ```
pub fn read_given(chord: &Chord, notes: &[Note]) -> Option<Voicing> {
    let mut voiced = rising(chord, notes)?;
    // Under a melody on the root or on the 11, and on the minor third of a blues, more is admitted; whether it
    // is sung here is not asked.
    let root = Pitch::MIDDLE_C.next_of(chord.root().class());
    let eleventh = Pitch::MIDDLE_C.next_of(chord.root().class().plus(Semitones(5)));
    let blue_third = Pitch::MIDDLE_C.next_of(chord.root().class().plus(Semitones(3)));
    let blue_third = (chord.family() == Family::Dominant).then_some(blue_third);
    // The next melody is only looked at where the one before admits no such shape.
    let melodies: Vec<Option<Pitch>> = [None, root, eleventh]
        .into_iter()
        .chain(blue_third)
        .collect();
    let known = melodies
        .iter()
        .flat_map(|melody| {
            every(chord, melody.as_slice(), |layout| {
                is_layout(layout, &voiced, chord)
            })
        })
        .next();
    if let Some(known) = &known {
        // The shape knows better: in colour natural the A over C is the 6 of its six-nine.
        for (note, degree) in voiced.iter_mut().zip(known.layout.degrees()) {
            note.degree = degree;
        }
    }
    let lowest = voiced.first()?.degree;
    let turned = known.as_ref().is_some_and(|known| known.layout.turned);
    let (shape, form) = known.map_or((None, None), |a| (Some(a.shape), a.form()));
    Some(Voicing {
        notes: voiced.into(),
        shape,
        form,
        turned,
        lowest,
        thinned: false,
        surcharges: Surcharges::default(),
    })
}

/// The notes from the lowest to the highest, with their degrees; `None` without any, with the same key
/// twice, or beyond the keyboard.
fn rising(chord: &Chord, notes: &[Note]) -> Option<Vec<VoicedNote>> {
    let voiced = notes.iter().map(|note| {
        Some(VoicedNote {
            note: *note,
            pitch: note.pitch()?,
            degree: degree_of(chord, note.name()),
        })
    });
    let mut voiced = voiced.collect::<Option<Vec<_>>>()?;
    stand_in(
        chord,
        &mut voiced,
        chord.third(),
        (Degree::ELEVENTH, Degree::FOURTH),
    );
    if chord
        .seventh()
        .is_none_or(|seventh| seventh == Degree::SEVENTH)
    {
        stand_in(
            chord,
            &mut voiced,
            Some(Degree::SEVENTH),
            (Degree::THIRTEENTH, Degree::SIXTH),
        );
    }
    voiced.sort_by_key(|note| note.pitch);
    let rising = voiced.is_sorted_by(|low, high| low.pitch < high.pitch);
    (rising && !voiced.is_empty()).then_some(voiced)
}

/// Calls a tone by its other name where it stands for one of the chord that doesn't sound, as under a tune that
/// holds it: a 4 for the third, a 6 for the major seventh or where there is none.
fn stand_in(
    chord: &Chord,
    voiced: &mut [VoicedNote],
    place: Option<Degree>,
    (tension, other): (Degree, Degree),
) {
    let place = place.map(Degree::class);
    let is_there = voiced.iter().any(|note| Some(note.degree.class()) == place);
    let is_own = chord.tones().iter().any(|tone| tone.degree == tension);
    if place.is_some() && !is_there && !is_own {
        let standing = voiced.iter_mut().filter(|note| note.degree == tension);
        standing.for_each(|note| note.degree = other);
    }
}

/// What a note of this name is over the chord.
fn degree_of(chord: &Chord, name: Name) -> Degree {
    let above = chord.root().class().up_to(name.class());
    let sounds_so = |degree: &Degree| i32::from(degree.class()) == above.0;
    let mut tones = chord.tones().iter().map(|tone| tone.degree);
    tones
        .find(sounds_so)
        .or_else(|| settled(above.0))
        .or_else(|| chord.tensions().into_iter().find(sounds_so))
        .or_else(|| spelled(chord, name))
        .unwrap_or_else(|| Degree::usual(PitchClass::of(above.0)))
}

/// The degrees that don't go by spelling, since everyday names don't tell them: the tritone and the minor sixth
/// are a #11 and a b13 unless they are the chord's own.
const fn settled(above: i32) -> Option<Degree> {
    match above {
        6 => Some(Degree::SHARP_ELEVENTH),
        8 => Some(Degree::FLAT_THIRTEENTH),
        _ => None,
    }
}

/// The degree the spelling says, raised to 9, 11 or 13 where 2, 4 or 6 is no tone of the chord;
/// `None` for a spelling that no chord uses, such as a b4.
fn spelled(chord: &Chord, name: Name) -> Option<Degree> {
    let interval = Interval::between(chord.root(), name);
    let number = u8::try_from(interval.steps()).ok()? + 1;
    let natural = Degree::new(number, 0)?.semitones();
    let alter = i8::try_from(interval.semitones().0 - natural.0).ok()?;
    let number = if number % 2 == 0 { number + 7 } else { number };
    let usual = match number {
        1 => alter == 0,
        3 => alter == 0 || alter == -1 && chord.third().is_none(),
        5 | 9 => alter.abs() <= 1,
        7 => (-2..=0).contains(&alter),
        11 => alter == 0 || alter == 1,
        _ => alter == 0 || alter == -1,
    };
    usual.then(|| Degree::new(number, alter)).flatten()
}

/// Whether the notes are this layout in some octave.
fn is_layout(layout: &super::Layout, notes: &[VoicedNote], chord: &Chord) -> bool {
    let root = chord.root().class();
    let same_count = layout.tones.len() == notes.len();
    let starts = layout.semitones().next().zip(notes.first());
    let Some((first, lowest)) = starts.filter(|_| same_count) else {
        return false;
    };
    let base = i32::from(lowest.pitch.midi()) - i32::from(first);
    let on_root = PitchClass::of(base) == root;
    let mut pairs = layout.semitones().zip(notes);
    on_root && pairs.all(|(above, note)| i32::from(note.pitch.midi()) == base + i32::from(above))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn degrees(symbol: &str, notes: &str) -> String {
        let chord = Chord::read(symbol).unwrap();
        let notes: Vec<Note> = notes.split('.').map(|note| note.parse().unwrap()).collect();
        let voicing = read_given(&chord, &notes).unwrap();
        let degrees = voicing.notes.iter().map(|note| note.degree.to_string());
        degrees.collect::<Vec<_>>().join(".")
    }

    #[test]
    fn everyday_names_do_not_change_a_degree() {
        // F# over B#, A over D# and G# over C are a b5 and a #5 by their letters.
        assert_eq!(degrees("B#7/Ab", "A#3.C#4.E4.F#4"), "b7.b9.3.#11");
        assert_eq!(degrees("D#7no5", "G3.A3.C#4"), "3.#11.b7");
        assert_eq!(degrees("C9", "G#3.Bb3.D4"), "b13.b7.9");
        // What the symbol says is what it is.
        assert_eq!(degrees("C7b5", "E3.Gb3.Bb3.C4"), "3.b5.b7.1");
        assert_eq!(degrees("C7#5", "Bb3.D4.G#4"), "b7.9.#5");
    }

    #[test]
    fn what_stands_for_a_tone_of_the_chord_is_called_so() {
        // A 4 for the third, a 6 for the seventh.
        assert_eq!(degrees("C9", "F3.G3.Bb3"), "4.5.b7");
        assert_eq!(degrees("Fmaj9", "D3.G3.A3"), "6.9.3");
        assert_eq!(degrees("F", "D3.A3.B3"), "6.3.#11");
        // Where that tone sounds, or the symbol names the other, it is not.
        assert_eq!(degrees("Cm7", "Eb3.F3.Bb3"), "b3.11.b7");
        assert_eq!(degrees("Fmaj13", "D3.G3.A3"), "13.9.3");
        assert_eq!(degrees("C7", "A3.D4.E4"), "13.9.3");
    }
}
