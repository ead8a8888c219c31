//! A chord symbol that has been read, and everything one can ask of it.

use std::fmt;
use std::str::FromStr;

use super::grammar::{self, WrittenName};
use super::{Family, Reading, Unread, build, tension};
use crate::pitch::{Degree, Key, KeyNames, Mode, Name, PitchClass, Spelling};

/// What may stand where a chart has a chord: a chord, or the sign that there is none.
///
/// ```
/// # use compline::chord::Symbol;
/// assert_eq!(Symbol::read("N.C.").unwrap().chord(), None);
/// assert_eq!(Symbol::read("Fm7").unwrap().text(), "Fm7");
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Symbol {
    /// A chord.
    Chord(Chord),
    /// `N.C.`: nothing sounds.
    NoChord,
}

/// How charts say that there is no chord; upper and lower case, but a lone N only as a capital.
const NO_CHORD: [&str; 4] = ["n.c.", "n.c", "nc", "no chord"];

impl Symbol {
    /// The symbol written in `text`.
    ///
    /// # Errors
    ///
    /// When `text` is neither a chord nor one of the signs for no chord.
    pub fn read(text: &str) -> Result<Self, Unread> {
        if text == "N" || NO_CHORD.iter().any(|sign| sign.eq_ignore_ascii_case(text)) {
            Ok(Self::NoChord)
        } else {
            Chord::read(text).map(Self::Chord)
        }
    }

    /// The chord, if there is one.
    pub const fn chord(&self) -> Option<&Chord> {
        match self {
            Self::Chord(chord) => Some(chord),
            Self::NoChord => None,
        }
    }

    /// The symbol as written; a missing chord as `N.C.`.
    pub fn text(&self) -> &str {
        self.chord().map_or("N.C.", Chord::symbol)
    }
}

impl fmt::Display for Symbol {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.text())
    }
}

/// A tone a symbol asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Tone {
    /// Where it stands above the root.
    pub degree: Degree,
    /// Whether it must sound before anything merely implied: the third (or the fourth or second in
    /// its place), the seventh or sixth, an altered fifth, the fifth of a power chord, and every
    /// extension that is written. The root, any other natural fifth, and the 9 that C13 only implies
    /// are not named.
    pub named: bool,
}

/// A chord symbol with its tones.
///
/// Two chords are equal when they are written alike.
///
/// ```
/// # use compline::chord::Chord;
/// let chord = Chord::read("Bbm7b5/Ab").unwrap();
/// assert_eq!(chord.root().to_string(), "Bb");
/// assert_eq!(chord.bass().unwrap().to_string(), "Ab");
/// assert_eq!(chord.fifth().unwrap().to_string(), "b5");
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Chord {
    pub(super) symbol: String,
    /// The names in the symbol and how they are written, for transposing: the root first.
    pub(super) names: Vec<WrittenName>,
    pub(super) root: Name,
    pub(super) bass: Option<Name>,
    pub(super) tones: Vec<Tone>,
    pub(super) family: Family,
    pub(super) altered: bool,
    pub(super) reading: Option<Reading>,
}

impl Chord {
    /// The chord written in `text`: the whole of it, nothing before or after.
    ///
    /// # Errors
    ///
    /// When a part of `text` is not understood, says two things at once (`C9b9`), or is longer than
    /// a hundred bytes.
    pub fn read(text: &str) -> Result<Self, Unread> {
        let parts = grammar::parts(text)?;
        build::chord(text, &parts)
    }

    /// Exactly what was read.
    pub fn symbol(&self) -> &str {
        &self.symbol
    }

    /// The root; of a polychord, the lower chord's.
    pub const fn root(&self) -> Name {
        self.root
    }

    /// The note after the slash, if any.
    pub const fn bass(&self) -> Option<Name> {
        self.bass
    }

    /// The tones the symbol asks for, by rising degree number. The bass is not among them unless
    /// the chord itself has it.
    pub fn tones(&self) -> &[Tone] {
        &self.tones
    }

    /// 3 or b3, or the 4 or 2 of a suspended chord; `None` in a power chord.
    pub fn third(&self) -> Option<Degree> {
        third(&self.tones)
    }

    /// 5, b5 or #5; `None` where the symbol leaves it out, as `alt` does.
    pub fn fifth(&self) -> Option<Degree> {
        fifth(&self.tones)
    }

    /// 7, b7 or bb7, or the 6 of a sixth chord.
    pub fn seventh(&self) -> Option<Degree> {
        seventh(&self.tones)
    }

    /// Every further degree the symbol asks for, named or implied: all tones but the root, third,
    /// fifth and seventh.
    pub fn extensions(&self) -> Vec<Degree> {
        let basic = [self.third(), self.fifth(), self.seventh()];
        self.tones
            .iter()
            .map(|tone| tone.degree)
            .filter(|degree| degree.number() > 1 && !basic.contains(&Some(*degree)))
            .collect()
    }

    /// The family.
    pub const fn family(&self) -> Family {
        self.family
    }

    /// Whether `alt` is written: which alterations sound is then the player's choice.
    pub const fn is_altered(&self) -> bool {
        self.altered
    }

    /// What the chord can take beyond its tones, seen on its own, without a key. `alt` lists the
    /// four it leaves to choose from.
    pub fn tensions(&self) -> Vec<Degree> {
        tension::available(self)
    }

    /// Notes of the chord's usual scale that lie a half step above a chord tone.
    pub fn avoid(&self) -> Vec<Degree> {
        tension::avoid(self)
    }

    /// Which of two readings in use was taken, if there are two.
    pub const fn reading(&self) -> Option<Reading> {
        self.reading
    }

    /// The name of a degree as it is printed in a key with these names of its own. The root keeps
    /// the name the symbol has.
    ///
    /// ```
    /// # use compline::chord::Chord;
    /// # use compline::pitch::{Degree, KeyNames, Spelling};
    /// let chord = Chord::read("B7#9").unwrap();
    /// let name = chord.name(Degree::SHARP_NINTH, Spelling::Practical, KeyNames::NONE);
    /// assert_eq!(name.to_string(), "D");
    /// ```
    pub fn name(&self, degree: Degree, spelling: Spelling, key: KeyNames) -> Name {
        match degree.number() {
            1 => self.root,
            _ => spelling.name(self.spell(degree), key),
        }
    }

    /// The names of its own that the key on the chord's root has, for a chord that stands alone.
    pub fn key_names(&self) -> KeyNames {
        let mode = match self.third() {
            Some(Degree::MINOR_THIRD) => Mode::Minor,
            _ => Mode::Major,
        };
        Key::new(self.root, mode).map_or(KeyNames::NONE, KeyNames::of)
    }

    /// The same of a sound: the chord's own tone of it, else its tension, else its usual degree.
    pub fn name_of(&self, class: PitchClass, spelling: Spelling, key: KeyNames) -> Name {
        let above = PitchClass::of(self.root.class().up_to(class).0);
        let tones = self.tones.iter().map(|tone| tone.degree);
        let own = tones
            .chain(self.tensions())
            .find(|degree| degree.class() == above.number());
        self.name(own.unwrap_or(Degree::usual(above)), spelling, key)
    }

    /// The name of a degree over the root by theory, with at most two accidentals: a bb7 over Cb, which would
    /// need three, is respelled.
    pub fn spell(&self, degree: Degree) -> Name {
        match degree.above(self.root) {
            Some(name) if name.alter().abs() <= 2 => name,
            Some(name) => name.simplest(),
            None => self.root,
        }
    }
}

impl FromStr for Chord {
    type Err = Unread;

    fn from_str(text: &str) -> Result<Self, Unread> {
        Self::read(text)
    }
}

impl fmt::Display for Chord {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.symbol)
    }
}

/// The third, or what is in its place. A suspended chord may have an added third beside the 4.
pub(super) fn third(tones: &[Tone]) -> Option<Degree> {
    [4, 2, 3]
        .into_iter()
        .find_map(|number| numbered(tones, number))
}

/// The fifth; the lowered one where both are written.
pub(super) fn fifth(tones: &[Tone]) -> Option<Degree> {
    numbered(tones, 5)
}

/// The seventh, or the sixth where there is none.
pub(super) fn seventh(tones: &[Tone]) -> Option<Degree> {
    [7, 6]
        .into_iter()
        .find_map(|number| numbered(tones, number))
}

fn numbered(tones: &[Tone], number: u8) -> Option<Degree> {
    tones
        .iter()
        .map(|tone| tone.degree)
        .find(|degree| degree.number() == number)
}
