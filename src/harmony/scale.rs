//! The scale a chord belongs to in its place: which tensions it offers and which notes it avoids.
//!
//! | scale | where | offers | avoids | source |
//! |---|---|---|---|---|
//! | Ionian | I | 9 13 | 11 | Berklee HARM 121 sheet, 2008 |
//! | Dorian | ii | 9 11 | | the same; its 13 is conditional: no half step, but the tritone of the V |
//! | Phrygian | iii | 11 | b9 b13 | the same |
//! | Lydian | IV | 9 #11 13 | | the same |
//! | Mixolydian | V7, V7/IV, V7/V | 9 13 | 11 | the same |
//! | Aeolian | vi | 9 11 | b13 | the same |
//! | Locrian | vii, ii of a minor key | 11 b13 | b9 | the same |
//! | melodic minor | a minor tonic | 9 11 13 | | the same |
//! | Mixolydian b13 | V7/ii | b9 9 b13 | 11 | the same: 9 and b13, "many players" b9 |
//! | Phrygian dominant | V7/iii, V7/vi | b9 #9 b13 | 11 | the same |
//! | harmonic minor's fifth | V7 in minor | b9 b13 | 11 | from memory |
//! | Lydian dominant | subV7, bVII7 | 9 #11 13 | | from memory, Nettles & Graf |
//! | suspended | 7sus | 9 13 | | from memory |
//! | Phrygian, suspended | V7sus in minor | b9 b13 | | from memory |

use std::fmt;

use crate::chord::Chord;
use crate::pitch::Degree;

/// The scale a chord belongs to in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Scale {
    /// The usual scale of the chord's family, seen on its own: without a key, and for chords whose
    /// place makes no difference (diminished, augmented).
    #[default]
    Usual,
    /// I
    Ionian,
    /// ii
    Dorian,
    /// iii
    Phrygian,
    /// IV
    Lydian,
    /// V7
    Mixolydian,
    /// vi
    Aeolian,
    /// vii
    Locrian,
    /// A minor tonic with 6 or major seventh
    MelodicMinor,
    /// V7/ii
    MixolydianFlat13,
    /// V7/iii and V7/vi
    PhrygianDominant,
    /// V7 of a minor key
    HarmonicMinorFifth,
    /// A tritone substitute, a backdoor dominant
    LydianDominant,
    /// A suspended dominant
    SuspendedMixolydian,
    /// A suspended dominant of a minor key
    SuspendedPhrygian,
}

impl Scale {
    /// Every one.
    pub const ALL: [Self; 15] = [
        Self::Usual,
        Self::Ionian,
        Self::Dorian,
        Self::Phrygian,
        Self::Lydian,
        Self::Mixolydian,
        Self::Aeolian,
        Self::Locrian,
        Self::MelodicMinor,
        Self::MixolydianFlat13,
        Self::PhrygianDominant,
        Self::HarmonicMinorFifth,
        Self::LydianDominant,
        Self::SuspendedMixolydian,
        Self::SuspendedPhrygian,
    ];

    /// Its name in output.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Usual => "usual",
            Self::Ionian => "Ionian",
            Self::Dorian => "Dorian",
            Self::Phrygian => "Phrygian",
            Self::Lydian => "Lydian",
            Self::Mixolydian => "Mixolydian",
            Self::Aeolian => "Aeolian",
            Self::Locrian => "Locrian",
            Self::MelodicMinor => "melodic minor",
            Self::MixolydianFlat13 => "Mixolydian b13",
            Self::PhrygianDominant => "Phrygian dominant",
            Self::HarmonicMinorFifth => "fifth of harmonic minor",
            Self::LydianDominant => "Lydian dominant",
            Self::SuspendedMixolydian => "suspended Mixolydian",
            Self::SuspendedPhrygian => "suspended Phrygian",
        }
    }

    /// The tensions it offers, before a symbol is looked at; `None` for [`Scale::Usual`], where the
    /// chord says.
    pub const fn offers(self) -> Option<&'static [Degree]> {
        use Degree as D;
        Some(match self {
            Self::Usual => return None,
            Self::Ionian | Self::Mixolydian | Self::SuspendedMixolydian => {
                &[D::NINTH, D::THIRTEENTH]
            }
            Self::Dorian | Self::Aeolian => &[D::NINTH, D::ELEVENTH],
            Self::Phrygian => &[D::ELEVENTH],
            Self::Lydian | Self::LydianDominant => &[D::NINTH, D::SHARP_ELEVENTH, D::THIRTEENTH],
            Self::Locrian => &[D::ELEVENTH, D::FLAT_THIRTEENTH],
            Self::MelodicMinor => &[D::NINTH, D::ELEVENTH, D::THIRTEENTH],
            Self::MixolydianFlat13 => &[D::FLAT_NINTH, D::NINTH, D::FLAT_THIRTEENTH],
            Self::PhrygianDominant => &[D::FLAT_NINTH, D::SHARP_NINTH, D::FLAT_THIRTEENTH],
            Self::HarmonicMinorFifth | Self::SuspendedPhrygian => {
                &[D::FLAT_NINTH, D::FLAT_THIRTEENTH]
            }
        })
    }

    /// The notes it avoids, before a symbol is looked at; `None` for [`Scale::Usual`].
    pub const fn avoids(self) -> Option<&'static [Degree]> {
        use Degree as D;
        Some(match self {
            Self::Usual => return None,
            Self::Ionian
            | Self::Mixolydian
            | Self::MixolydianFlat13
            | Self::PhrygianDominant
            | Self::HarmonicMinorFifth => &[D::ELEVENTH],
            Self::Phrygian => &[D::FLAT_NINTH, D::FLAT_THIRTEENTH],
            Self::Aeolian => &[D::FLAT_THIRTEENTH],
            Self::Locrian => &[D::FLAT_NINTH],
            _ => &[],
        })
    }

    /// The tensions the chord can take in this scale beyond its own tones; an altered chord keeps the
    /// four it leaves to choose from.
    pub fn tensions(self, chord: &Chord) -> Vec<Degree> {
        let Some(offers) = self.offers().filter(|_| !chord.is_altered()) else {
            return chord.tensions();
        };
        let free = |tension: &Degree| !is_taken(chord, *tension);
        offers.iter().copied().filter(free).collect()
    }

    /// The notes the chord avoids in this scale, unless the symbol asks for them.
    pub fn avoid(self, chord: &Chord) -> Vec<Degree> {
        let Some(avoids) = self.avoids().filter(|_| !chord.is_altered()) else {
            return chord.avoid();
        };
        let tones = || chord.tones().iter().map(|tone| tone.degree);
        let written = |note: &Degree| tones().any(|tone| tone.class() == note.class());
        let bent = |note: &Degree| {
            // A raised eleventh or an altered fifth takes the natural fourth out of the scale.
            *note == Degree::ELEVENTH && tones().any(|t| t.class() == 6 || t == Degree::SHARP_FIFTH)
        };
        let open = |note: &Degree| !written(note) && !bent(note);
        avoids.iter().copied().filter(open).collect()
    }
}

/// Whether the symbol has the tension already, another of its number, or one that cancels it.
fn is_taken(chord: &Chord, tension: Degree) -> bool {
    chord.tones().iter().any(|tone| {
        let degree = tone.degree;
        let same_number = tension.number() > 7 && degree.number() == tension.number();
        let fifth = tension == Degree::FLAT_THIRTEENTH && degree == Degree::FIFTH && tone.named;
        same_number || fifth || degree.class() == tension.class()
    })
}

impl fmt::Display for Scale {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}
