//! Roman numerals.
//!
//! Capitals are chords with a major third, small letters those with a minor one. Flats and sharps
//! count from the major scale on the tonic, in minor keys too: the chord on Ab in C minor is bVI
//! (jazz habit, common practice). How the symbol is spelled doesn't matter, since in Gb an Amaj7 is
//! written for the bIII: chromatic degrees are flat but for #IV, and a diminished chord is sharp
//! on its way up. A chord's sixth or seventh is written, further tensions are not.

use std::fmt;

use crate::chord::{Chord, Family};
use crate::pitch::{Degree, Key};

use super::Function;
use super::chord_kind::{ChordKind, RootAndKind};
use super::local_key::LocalKey;

/// A degree of a key, large or small.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct ScaleStep {
    degree: Degree,
    small: bool,
}

/// What a degree is usually called, by semitones above the tonic.
const USUAL: [(u8, i8); 12] = [
    (1, 0),
    (2, -1),
    (2, 0),
    (3, -1),
    (3, 0),
    (4, 0),
    (4, 1),
    (5, 0),
    (6, -1),
    (6, 0),
    (7, -1),
    (7, 0),
];

const ROMAN: [&str; 7] = ["I", "II", "III", "IV", "V", "VI", "VII"];

impl ScaleStep {
    /// The degree a chord stands on.
    pub fn of(chord: &Chord, key: Key) -> Self {
        let small = matches!(
            RootAndKind::of(chord).kind,
            ChordKind::Minor | ChordKind::HalfDiminished | ChordKind::Diminished
        );
        let semitones = LocalKey::of(key).degree(RootAndKind::of(chord));
        Self {
            degree: usual(semitones),
            small,
        }
    }

    /// A chromatic degree as the one below it, raised.
    fn raised(self) -> Self {
        let number = self.degree.number().saturating_sub(1);
        match self.degree.alter() {
            -1 => Self {
                degree: Degree::known(number, 1),
                ..self
            },
            _ => self,
        }
    }

    /// The degree so many semitones above the tonic, as the key's own chord there.
    pub(crate) fn expected(semitones: u8, local_key: LocalKey) -> Self {
        Self {
            degree: usual(semitones),
            small: local_key.has(semitones, true) && !local_key.has(semitones, false),
        }
    }

    /// The degree, counted from the major scale.
    pub const fn degree(self) -> Degree {
        self.degree
    }

    /// Whether it is written in small letters: its chord has a minor third.
    pub(super) const fn is_small(self) -> bool {
        self.small
    }

    /// The degree a text begins with, as [`fmt::Display`] writes it, and what stands behind it.
    pub(super) fn read(text: &str) -> Option<(Self, &str)> {
        let signs = [("b", -1), ("♭", -1), ("#", 1), ("♯", 1)].into_iter();
        let mut signs = signs.filter_map(|(sign, alter)| Some((alter, text.strip_prefix(sign)?)));
        let (alter, rest) = signs.next().unwrap_or((0, text));
        // Backwards, every numeral comes before those it begins with.
        (1..=7).zip(ROMAN).rev().find_map(|(number, roman)| {
            let large = rest.strip_prefix(roman);
            let behind = large.or_else(|| rest.strip_prefix(roman.to_lowercase().as_str()))?;
            let step = Self {
                degree: Degree::known(number, alter),
                small: large.is_none(),
            };
            Some((step, behind))
        })
    }
}

fn usual(semitones: u8) -> Degree {
    let (number, alter) = USUAL
        .get(usize::from(semitones % 12))
        .copied()
        .unwrap_or((1, 0));
    Degree::known(number, alter)
}

impl fmt::Display for ScaleStep {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self.degree.alter() {
            ..0 => "b",
            0 => "",
            1.. => "#",
        })?;
        let at = usize::from(self.degree.number().saturating_sub(1));
        let roman = ROMAN.get(at).copied().unwrap_or("I");
        match self.small {
            true => f.write_str(&roman.to_lowercase()),
            false => f.write_str(roman),
        }
    }
}

/// A chord's Roman numeral: `ii7`, `V7/ii`, `subV7/V`, `bVII7`, `#io7`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Numeral {
    form: NumeralForm,
    quality: &'static str,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum NumeralForm {
    /// By its own degree.
    Plain(ScaleStep),
    /// The V of something.
    FiveOf(ScaleStep),
    /// The tritone substitute of something's V.
    SubstituteOf(ScaleStep),
    /// The ii of something.
    TwoOf(ScaleStep),
}

impl Numeral {
    pub(crate) fn of(chord: &Chord, key: Key, function: Function, goal: Option<ScaleStep>) -> Self {
        let own = match (function, goal) {
            (Function::PassingDiminished, Some(goal)) if rises(chord, key, goal) => {
                ScaleStep::of(chord, key).raised()
            }
            _ => ScaleStep::of(chord, key),
        };
        let class = own.degree.class();
        let of_key = match function {
            Function::MinorTwo => matches!(class, 2 | 11),
            _ => LocalKey::of(key).has(class, own.small),
        };
        let form = match (function, goal) {
            (Function::SecondaryDominant, Some(goal)) => NumeralForm::FiveOf(goal),
            (Function::TritoneSubstitute, Some(goal)) => NumeralForm::SubstituteOf(goal),
            (Function::RelatedTwo | Function::MinorTwo, Some(goal))
                if !of_key && is_two_of(own, goal) =>
            {
                NumeralForm::TwoOf(goal)
            }
            _ => NumeralForm::Plain(own),
        };
        let quality = quality(chord);
        Self { form, quality }
    }
}

/// Whether the chord lies a half step below its goal.
fn rises(chord: &Chord, key: Key, goal: ScaleStep) -> bool {
    let own = LocalKey::of(key).degree(RootAndKind::of(chord));
    (own + 1) % 12 == goal.degree.class()
}

/// Whether the one lies a whole step above the other.
fn is_two_of(two: ScaleStep, goal: ScaleStep) -> bool {
    (12 + two.degree.class() - goal.degree.class()) % 12 == 2
}

/// The chord's sixth or seventh, and what is special about its triad.
fn quality(chord: &Chord) -> &'static str {
    let seventh = chord
        .seventh()
        .map(|seventh| (seventh.number(), seventh.alter()));
    match (chord.family(), seventh) {
        (Family::HalfDiminished, _) => "ø7",
        (Family::Diminished, Some((7, -2))) => "o7",
        (Family::Diminished, Some((7, 0))) => "o(maj7)",
        (Family::Diminished, _) => "o",
        (Family::Augmented, Some((7, 0))) => "+maj7",
        (Family::Augmented, _) => "+",
        (Family::Suspended, Some((7, -1))) => "7sus",
        (Family::Suspended, _) => "sus",
        (Family::Power, None) => "5",
        (_, Some((7, 0))) => "maj7",
        (_, Some((7, _))) => "7",
        (_, Some(_)) => "6",
        (_, None) => "",
    }
}

impl fmt::Display for Numeral {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let quality = self.quality;
        match self.form {
            NumeralForm::Plain(step) => write!(f, "{step}{quality}"),
            NumeralForm::FiveOf(goal) => write!(f, "V{quality}/{goal}"),
            NumeralForm::SubstituteOf(goal) if goal.degree == Degree::ROOT => {
                write!(f, "subV{quality}")
            }
            NumeralForm::SubstituteOf(goal) => write!(f, "subV{quality}/{goal}"),
            NumeralForm::TwoOf(goal) => write!(f, "ii{quality}/{goal}"),
        }
    }
}
