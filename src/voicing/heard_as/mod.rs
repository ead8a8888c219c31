//! What else the notes of a voicing would be taken for.
//!
//! Without its root a chord is often another one: a minor ninth is the relative major seventh, a
//! dominant with a flat ninth is four diminished sevenths. [`heard_as`] lists the chords on other roots
//! that these very notes are, most likely first. What to do about it is [`super::grounding`]'s matter.
//!
//! A chord counts when every note is a tone of it, and everything that makes it this chord sounds: its
//! third and seventh, and each extension its symbol names. Only kinds in everyday use are looked for
//! (`kinds`). The order is a rule of ours, not a measurement of what people hear:
//!
//! 1. a plain chord with all its tones, then one whose root sounds, then one without its root;
//! 2. the one whose root is the lowest note;
//! 3. the one with fewer silent tones;
//! 4. the more everyday kind;
//! 5. the root that lies nearest above the lowest note.

mod kinds;

use std::fmt;

use crate::chart::lone_root;
use crate::chord::Chord;
use crate::pitch::{Degree, Key, Mode, Name, Pitch, PitchClass};

use super::Voicing;
use kinds::{ChordQuality, KINDS};

/// A chord that some notes would be taken for. Prints its symbol.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HeardAs {
    /// Its root.
    pub root: Name,
    /// Its symbol.
    pub symbol: String,
    /// How much of it sounds.
    pub how: Completeness,
    /// What each note is in it, lowest note first.
    pub degrees: Vec<Degree>,
}

impl fmt::Display for HeardAs {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.symbol)
    }
}

/// How much of a chord sounds, the most convincing first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Completeness {
    /// A triad, sixth or seventh chord with all its tones.
    Whole,
    /// The root sounds; some other tone is silent, or there are extensions.
    Rooted,
    /// The root is silent.
    Rootless,
}

impl fmt::Display for Completeness {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Whole => "whole",
            Self::Rooted => "rooted",
            Self::Rootless => "rootless",
        })
    }
}

/// The chords on other roots than `chord`'s that the voicing's notes are, most likely first; see the
/// rule that orders them in this module's opening.
///
/// Roots go by their everyday names in `key`; without one, in the key of `chord`'s root.
///
/// ```
/// use compline::chord::Chord;
/// use compline::voicing::{heard_as, read_given};
///
/// let chord = Chord::read("Dm9").unwrap();
/// let notes = ["F3", "A3", "C4", "E4"].map(|note| note.parse().unwrap());
/// let voicing = read_given(&chord, &notes).unwrap();
/// let heard = heard_as(&chord, &voicing, Some("C".parse().unwrap()));
/// assert_eq!(heard[0].to_string(), "Fmaj7");
/// ```
pub fn heard_as(chord: &Chord, voicing: &Voicing, key: Option<Key>) -> Vec<HeardAs> {
    let pitches: Vec<Pitch> = voicing.pitches().collect();
    readings(&pitches)
        .into_iter()
        .filter(|reading| reading.root != chord.root().class())
        .map(|reading| {
            let root = reading.spelled(chord, voicing, key);
            HeardAs {
                root,
                symbol: format!("{root}{}", reading.kind.suffix),
                how: reading.how,
                degrees: reading.degrees,
            }
        })
        .collect()
}

/// A chord the notes are, before its root has a name.
#[derive(Debug, PartialEq, Eq)]
struct UnnamedChord {
    root: PitchClass,
    kind: &'static ChordQuality,
    how: Completeness,
    /// How many of its tones are silent.
    silent: usize,
    degrees: Vec<Degree>,
}

/// Every chord these notes are, in order. Roots are tried from the lowest note up and kinds from the
/// everyday on, and the sort is stable: that is what the last two points of the rule come to.
fn readings(pitches: &[Pitch]) -> Vec<UnnamedChord> {
    let Some(lowest) = pitches.iter().min().map(|pitch| pitch.class()) else {
        return Vec::new();
    };
    let mut found: Vec<UnnamedChord> = KINDS
        .iter()
        .flat_map(|kind| (0..12).map(move |up| (kind, up)))
        .filter_map(|(kind, up)| {
            UnnamedChord::of(
                kind,
                PitchClass::of(i32::from(lowest.number()) + up),
                pitches,
            )
        })
        .collect();
    found.sort_by_key(|reading| (reading.how, reading.root != lowest, reading.silent));
    found
}

impl UnnamedChord {
    fn of(kind: &'static ChordQuality, root: PitchClass, pitches: &[Pitch]) -> Option<Self> {
        let place = |pitch: &Pitch| PitchClass::of(root.up_to(pitch.class()).0).number();
        let above: Vec<u8> = pitches.iter().map(place).collect();
        let degrees = kind.degrees(&above)?;
        let silent = kind.silent(&above);
        Some(Self {
            root,
            kind,
            how: match () {
                () if kind.plain && silent == 0 => Completeness::Whole,
                () if above.contains(&0) => Completeness::Rooted,
                () => Completeness::Rootless,
            },
            silent,
            degrees,
        })
    }

    /// The root's name: the note's own where it sounds, else as a degree of the chord that is meant,
    /// and then as the key calls it. A root a tritone away is the flat fifth: Db over G.
    fn spelled(&self, chord: &Chord, voicing: &Voicing, key: Option<Key>) -> Name {
        let mut notes = voicing.notes.iter();
        let sounding = notes.find(|note| note.pitch.class() == self.root);
        let name = sounding.map_or_else(|| over(chord, self.root), |note| note.note.name());
        match key.or_else(|| Key::new(chord.root(), Mode::Major)) {
            Some(key) => lone_root(name, self.kind.family(), key),
            None => name.simplest(),
        }
    }
}

/// How a class that doesn't sound is named over a chord.
fn over(chord: &Chord, class: PitchClass) -> Name {
    let above = PitchClass::of(chord.root().class().up_to(class).0);
    let tones = chord.tones().iter().map(|tone| tone.degree);
    let own = tones
        .chain(chord.tensions())
        .find(|degree| degree.class() == above.number());
    chord.spell(match (above.number(), own) {
        (6, _) => Degree::FLAT_FIFTH,
        (3, None) => Degree::MINOR_THIRD,
        (_, own) => own.unwrap_or(Degree::usual(above)),
    })
}

#[cfg(test)]
mod tests;
