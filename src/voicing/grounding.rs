//! What would make a progression heard although the voicing alone is ambiguous: a root and a guide
//! tone for the right hand, or the bass, to touch.
//!
//! The root tells chords with the same notes apart, and third and seventh, the guide tones, carry a
//! progression from chord to chord (the method books; which of them to touch is a rule of ours):
//!
//! - the root, unless it is the lowest note already;
//! - the bass that the symbol puts under the chord, unless it sounds;
//! - the third and the seventh (or what stands for them) that are silent; if both sound, those that
//!   the chord before did not have as its third or seventh. The first chord has none before it.

use crate::chord::Chord;
use crate::pitch::{Degree, Key, KeyNames, Name, PitchClass, Spelling};

use super::Voicing;
use super::heard_as::{HeardAs, heard_as};

/// What a voicing would be taken for, and what to touch so that it is not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Grounding {
    /// The chords on other roots that have these notes, most likely first.
    pub heard_as: Vec<HeardAs>,
    /// The notes to touch, the root first; empty where the voicing says all there is to say.
    pub touch: Vec<Touch>,
}

/// A note that makes the chord clear, in any octave over the left hand or under it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Touch {
    /// Its degree in the chord.
    pub degree: Degree,
    /// Its name.
    pub name: Name,
    /// What for.
    pub reason: Grounds,
}

/// Why a note is to be touched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grounds {
    /// It is the root, and silent.
    SilentRoot,
    /// It is the root, and sounds, but not as the lowest note.
    RootAbove,
    /// The symbol puts it in the bass.
    Bass,
    /// It is a guide tone, and silent.
    Silent,
    /// It is a guide tone that the chord before did not have as one.
    Changes,
}

/// What `voicing` would be taken for, and what to touch so that `chord` is heard after the chord
/// `before`. Names are spelled over the chord; other chords go by their everyday names in
/// `key`, the one the chord stands in.
///
/// ```
/// use compline::chord::Chord;
/// use compline::voicing::{Grounds, grounding, read_given};
///
/// let [before, chord] = ["Dm7", "G7"].map(|symbol| Chord::read(symbol).unwrap());
/// let notes = ["F3", "A3", "B3", "E4"].map(|note| note.parse().unwrap());
/// let voicing = read_given(&chord, &notes).unwrap();
/// let touch = grounding(&chord, &voicing, Some(&before), None, Default::default()).touch;
/// let names: Vec<String> = touch.iter().map(|touch| touch.name.to_string()).collect();
/// assert_eq!(names, ["G", "B"]); // Dm7 had the F already
/// assert_eq!(touch[1].reason, Grounds::Changes);
/// ```
pub fn grounding(
    chord: &Chord,
    voicing: &Voicing,
    before: Option<&Chord>,
    key: Option<Key>,
    spelling: Spelling,
) -> Grounding {
    let root = root(chord, voicing).into_iter();
    let names = key.map_or(KeyNames::NONE, KeyNames::of);
    Grounding {
        heard_as: heard_as(chord, voicing, key),
        touch: root
            .chain(bass(chord, voicing))
            .chain(guides(chord, voicing, before, |degree| {
                chord.name(degree, spelling, names)
            }))
            .collect(),
    }
}

fn root(chord: &Chord, voicing: &Voicing) -> Option<Touch> {
    let class = chord.root().class();
    let lowest = voicing.pitches().min().map(|pitch| pitch.class());
    (lowest != Some(class)).then(|| Touch {
        degree: Degree::ROOT,
        name: chord.root(),
        reason: if sounds(voicing, class) {
            Grounds::RootAbove
        } else {
            Grounds::SilentRoot
        },
    })
}

fn bass(chord: &Chord, voicing: &Voicing) -> Option<Touch> {
    let name = chord.bass()?;
    let under = name.class() != chord.root().class() && !sounds(voicing, name.class());
    let above = PitchClass::of(chord.root().class().up_to(name.class()).0);
    let mut tones = chord.tones().iter().map(|tone| tone.degree);
    let own = tones.find(|degree| degree.class() == above.number());
    under.then(|| Touch {
        degree: own.unwrap_or(Degree::usual(above)),
        name,
        reason: Grounds::Bass,
    })
}

/// The guide tones to touch: the silent ones, or else the ones that change. None is named twice when
/// the bass has it already.
fn guides(
    chord: &Chord,
    voicing: &Voicing,
    before: Option<&Chord>,
    name: impl Fn(Degree) -> Name,
) -> Vec<Touch> {
    let silent = |degree: &Degree| !sounds(voicing, class(chord, *degree));
    let told: Vec<PitchClass> = before
        .into_iter()
        .flat_map(|before| guide_tones(before).map(|degree| class(before, degree)))
        .collect();
    let changes = |degree: &Degree| before.is_some() && !told.contains(&class(chord, *degree));
    let (wanted, reason): (Vec<Degree>, _) = if guide_tones(chord).any(|degree| silent(&degree)) {
        (guide_tones(chord).filter(silent).collect(), Grounds::Silent)
    } else {
        (
            guide_tones(chord).filter(changes).collect(),
            Grounds::Changes,
        )
    };
    let bass = bass(chord, voicing).map(|touch| touch.name.class());
    wanted
        .into_iter()
        .filter(|degree| bass != Some(class(chord, *degree)))
        .map(|degree| Touch {
            degree,
            name: name(degree),
            reason,
        })
        .collect()
}

fn guide_tones(chord: &Chord) -> impl Iterator<Item = Degree> + use<> {
    chord.third().into_iter().chain(chord.seventh())
}

fn class(chord: &Chord, degree: Degree) -> PitchClass {
    chord.root().class().plus(degree.semitones())
}

fn sounds(voicing: &Voicing, class: PitchClass) -> bool {
    voicing.pitches().any(|pitch| pitch.class() == class)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pitch::Note;
    use crate::voicing::read_given;

    /// What to touch over these notes, as "degree name reason".
    fn touch(symbol: &str, notes: &str, before: Option<&str>) -> Vec<String> {
        let chord = Chord::read(symbol).unwrap();
        let notes: Vec<Note> = notes.split(' ').map(|note| note.parse().unwrap()).collect();
        let voicing = read_given(&chord, &notes).unwrap();
        let before = before.map(|symbol| Chord::read(symbol).unwrap());
        let touch = grounding(&chord, &voicing, before.as_ref(), None, Spelling::Strict).touch;
        touch
            .iter()
            .map(|t| format!("{} {} {:?}", t.degree, t.name, t.reason))
            .collect()
    }

    #[test]
    fn a_two_five_one_is_told_by_its_roots_and_what_moves() {
        assert_eq!(touch("Dm7", "F3 A3 C4 E4", None), ["1 D SilentRoot"]);
        let five = touch("G7", "F3 A3 B3 E4", Some("Dm7"));
        assert_eq!(five, ["1 G SilentRoot", "3 B Changes"]);
        let one = touch("Cmaj7", "E3 G3 B3 D4", Some("G7"));
        assert_eq!(one, ["1 C SilentRoot", "3 E Changes"]);
    }

    #[test]
    fn silent_guide_tones_come_before_changing_ones() {
        let triad = touch("Gbmaj7", "Gb3 Bb3 Db4", Some("Abm7"));
        assert_eq!(triad, ["7 F Silent"]);
        let fifth = touch("Ab7", "Eb3 Ab3", Some("Eb7"));
        assert_eq!(fifth, ["1 Ab RootAbove", "3 C Silent", "b7 Gb Silent"]);
        assert_eq!(touch("Fsus4", "F3 C4", None), ["4 Bb Silent"]);
    }

    #[test]
    fn nothing_is_touched_where_nothing_is_missing() {
        assert_eq!(touch("C7", "C3 E3 Bb3", Some("C7")), [""; 0]);
        // The tritone substitute has the same guide tones: only the root tells them apart.
        let substitute = touch("Db7", "F3 Cb4", Some("G7"));
        assert_eq!(substitute, ["1 Db SilentRoot"]);
        assert_eq!(touch("C6", "C3 E3 A3", None), [""; 0]);
    }

    #[test]
    fn a_written_bass_is_touched_and_no_note_twice() {
        let over_c = touch("Fm7/C", "Ab3 Eb4 G4", None);
        assert_eq!(over_c, ["1 F SilentRoot", "5 C Bass"]);
        let over_third = touch("Gm7/Bb", "F3 A3 D4", None);
        assert_eq!(over_third, ["1 G SilentRoot", "b3 Bb Bass"]);
        assert_eq!(touch("C/C", "C3 E3 G3", None), [""; 0]);
        assert_eq!(touch("Bb/C", "Bb3 D4 F4", None), ["9 C Bass"]);
    }
}
