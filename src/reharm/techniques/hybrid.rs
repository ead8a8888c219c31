//! A chord as a triad over a bass that is no part of it, and without its third.
//!
//! A hybrid chord has a bass that belongs to no tone of the triad above it; IV/V and ii/V are the
//! everyday ones (lesson on hybrid slash chords, read), and the triad a half step above the bass is the
//! suspended V of a minor key (lesson on triads over bass notes, read: Db/C into Fm). That none has the
//! third of what it stands for, and the other rows of the table, are from memory. D/C for Cmaj7 and
//! G/F for Fmaj7 are left out: they are heard as a D7 and a G7 on their sevenths.

use super::idea::{Idea, higher, over, whole};
use super::{Example, Technique};
use crate::chart::{Beats, MelodyNote};
use crate::chord::{Chord, Family};
use crate::harmony::ChordTime;
use crate::harmony::chord_kind::RootAndKind;
use crate::harmony::passage::{Passage, Spot, is_diatonic, is_minor, up};
use crate::pitch::{Degree, Semitones};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "hybrid",
    rule: "A chord becomes a triad over its root that leaves its third open: the triad on the b7 of a dominant that does not step down a half tone (F/G), a minor one on its 5 (Dm/G) or, into minor, the one on its b9 (Ab/G); on the 5 of a major seventh (G/C) or of a minor chord with a raised seventh; on the 5 or b7 of a minor seventh (Gm/C, Bb/C).",
    taught: "lessons on hybrid slash chords and triads over bass notes (read); Felts, Reharmonization Techniques, chapter on hybrid voicings (contents read); the rows for major and minor chords from memory",
    melody: "not the third that is left open, for a beat or more; no alteration that a dominant has not got, nor the root of a major seventh",
    example: Example {
        key: "C",
        before: "| Dm7 | G7 | Cmaj7 |",
        after: "| Dm7 | F/G | Cmaj7 |",
    },
    find,
};

/// A triad above a bass: so many letters and half steps above it, minor or major.
struct Upper {
    letters: i32,
    semitones: i32,
    ending: &'static str,
    /// The sounds of the melody it takes, above the triad's own root.
    only: &'static [u8],
    /// What of the chord it has.
    has: &'static str,
}

const FLAT_SEVEN: Upper = Upper {
    letters: 6,
    semitones: 10,
    ending: "",
    only: &[0, 2, 4, 7, 9, 11],
    has: "b7, 9 and 11",
};

const MINOR_FIVE: Upper = Upper {
    letters: 4,
    semitones: 7,
    ending: "m",
    only: &[0, 2, 3, 5, 7, 10],
    has: "5, b7 and 9",
};

/// The triad on the b9: over it the melody may have 1, 11, b13 and b7 of the bass. The b9 itself would be
/// a minor ninth over the bass, which only a dominant that says so may be.
const FLAT_NINE: Upper = Upper {
    letters: 1,
    semitones: 1,
    ending: "",
    only: &[4, 7, 9, 11],
    has: "b9, 11 and b13",
};

const FIVE: Upper = Upper {
    letters: 4,
    semitones: 7,
    ending: "",
    only: &[0, 2, 4, 7, 9],
    has: "5, 7 and 9",
};

/// The same over a minor chord.
const FIVE_OF_MINOR: Upper = Upper {
    only: &[0, 2, 4, 7, 10],
    ..FIVE
};

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    ideas(passage, at).unwrap_or_default()
}

fn ideas(passage: &Passage<'_>, at: usize) -> Option<Vec<Idea>> {
    let spot = passage
        .spot(at)
        .filter(|spot| spot.chord.bass().is_none())?;
    let spots = passage.moving(at).filter(|_| !passage.is_blues(at))?;
    let next = passage.after(spots.end - 1);
    let root = spot.chord.root();
    // Both triads over a minor seventh have its 9, which the key's iii has not got.
    let ninth = root.class().plus(Semitones(2));
    let foreign = spot.chord.family() == Family::Minor
        && spot.key.is_some_and(|key| !is_diatonic(key, ninth));
    let mut sung = passage.spots.get(spots.clone())?.iter();
    // A chord that a dominant comes to is heard with its third, and so is a borrowed one, whose third is what is
    // borrowed (a pianist's marks).
    let rests = matches!(spot.chord.family(), Family::Minor | Family::Major);
    let comes_home = rests && (passage.is_goal(at) || has_borrowed_third(spot));
    if foreign || comes_home || sung.any(sounds_third) {
        return None;
    }
    let uppers = uppers(spot.chord, next).into_iter();
    let ideas = uppers.filter_map(|upper| {
        let on = higher(root, upper.letters, upper.semitones);
        let triad = over(on, upper.ending, root, spot.key, spot.beats)?;
        let idea = whole(passage, spots.clone(), triad.only(upper.only));
        Some(idea.because(format!(
            "over the same bass it has {} and leaves the third of {} open",
            upper.has, spot.chord
        )))
    });
    Some(ideas.collect())
}

/// Whether the third of a chord is outside its key.
fn has_borrowed_third(spot: &Spot<'_>) -> bool {
    let third = spot.chord.third().zip(spot.key);
    third.is_some_and(|(third, key)| !is_diatonic(key, spot.chord.spell(third).class()))
}

/// Whether the melody sounds the third of a chord for a beat or more: then it isn't open, and it rubs the tone
/// of the triad that lies a half step below it (common practice, no source).
fn sounds_third(spot: &Spot<'_>) -> bool {
    let third = spot.chord.third().filter(|degree| degree.number() == 3);
    let third = third.map(|degree| spot.chord.spell(degree).class());
    let time = ChordTime::of(spot);
    let sounds = |note: &MelodyNote| {
        Some(note.note.name().class()) == third && time.heard(note) >= Beats::whole(1)
    };
    spot.melody_notes.iter().any(sounds)
}

/// The triads that may stand for a chord over its own root.
fn uppers(chord: &Chord, next: Option<&Chord>) -> Vec<&'static Upper> {
    let falls = next.filter(|next| up(chord, next) == 5);
    let seventh = chord.seventh();
    match chord.family() {
        Family::Suspended if RootAndKind::of(chord).is_dominant() => vec![&FLAT_SEVEN],
        Family::Dominant if falls.is_some_and(is_minor) => vec![&FLAT_NINE],
        // A dominant that steps down a half tone has the #11: both triads have the 11 instead.
        Family::Dominant if next.is_some_and(|next| up(chord, next) == 11) => Vec::new(),
        Family::Dominant if !is_bent(chord) => vec![&FLAT_SEVEN, &MINOR_FIVE],
        Family::Major if seventh == Some(Degree::SEVENTH) => vec![&FIVE],
        Family::Minor if seventh == Some(Degree::SEVENTH) => vec![&FIVE_OF_MINOR],
        // Bb/C down a fifth would be heard as the dominant that Cm7 is not.
        Family::Minor if seventh == Some(Degree::FLAT_SEVENTH) => match falls {
            Some(_) => vec![&MINOR_FIVE],
            None => vec![&MINOR_FIVE, &FLAT_SEVEN],
        },
        _ => Vec::new(),
    }
}

/// Whether a dominant names an alteration, which these triads would take from it.
fn is_bent(chord: &Chord) -> bool {
    let bent = |class| {
        chord
            .tones()
            .iter()
            .any(|tone| tone.degree.class() == class)
    };
    chord.is_altered() || [1, 3, 6, 8].into_iter().any(bent)
}
