//! A chord symbol that has been read, and everything one can ask of it.

use std::fmt;

use super::grammar::WrittenName;
use super::{Family, Reading, Tone};
use crate::pitch::{Degree, Name, PitchClass};

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

impl Symbol {
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
    /// Third, fifth and seventh among these: asked for more often than anything else.
    pub(super) frame: [Option<Degree>; 3],
    pub(super) family: Family,
    pub(super) altered: bool,
    pub(super) reading: Option<Reading>,
}

impl Chord {
    /// Exactly what was read.
    pub fn symbol(&self) -> &str {
        &self.symbol
    }

    /// Whether another chord is written in the same letters, and so is equal. A chart has one chord for all
    /// places where a symbol stands, which is seen at once.
    pub(crate) fn is_written_like(&self, other: &Self) -> bool {
        std::ptr::eq(self, other) || self.symbol == other.symbol
    }

    /// The root; of a polychord, the lower chord's.
    pub const fn root(&self) -> Name {
        self.root
    }

    /// The note after the slash, if any.
    pub const fn bass(&self) -> Option<Name> {
        self.bass
    }

    /// The note it stands over: the one after the slash, or else the root.
    pub fn lowest(&self) -> Name {
        self.bass.unwrap_or(self.root)
    }

    /// Whether it is a major triad with nothing else, over any bass.
    pub(crate) fn is_major_triad(&self) -> bool {
        self.family() == Family::Major && self.tones.len() == 3
    }

    /// Whether it is a bare triad over a bass that is not its root.
    pub(crate) fn is_triad_over_bass(&self) -> bool {
        let foreign = self.lowest().class() != self.root.class();
        let full = self.third().is_some() && self.fifth().is_some();
        foreign && self.tones.len() == 3 && full && self.seventh().is_none()
    }

    /// The tones the symbol asks for, by rising degree number. The bass is not among them unless
    /// the chord itself has it.
    pub fn tones(&self) -> &[Tone] {
        &self.tones
    }

    /// The pitch classes of these tones, in the same order.
    pub fn classes(&self) -> impl Iterator<Item = PitchClass> + '_ {
        let tones = self.tones.iter();
        tones.map(|tone| self.spell(tone.degree).class())
    }

    /// 3 or b3, or the 4 or 2 of a suspended chord; `None` in a power chord.
    pub const fn third(&self) -> Option<Degree> {
        self.frame[0]
    }

    /// 5, b5 or #5; `None` where the symbol leaves it out, as `alt` does.
    pub const fn fifth(&self) -> Option<Degree> {
        self.frame[1]
    }

    /// 7, b7 or bb7, or the 6 of a sixth chord.
    pub const fn seventh(&self) -> Option<Degree> {
        self.frame[2]
    }

    /// Root, third, fifth and seventh, as far as the chord has them.
    ///
    /// ```
    /// # use compline::chord::Chord;
    /// let basic: Vec<String> = Chord::read("C9sus").unwrap().basic_tones().map(|d| d.to_string()).collect();
    /// assert_eq!(basic, ["1", "4", "5", "b7"]);
    /// ```
    pub fn basic_tones(&self) -> impl Iterator<Item = Degree> + use<> {
        [Some(Degree::ROOT)].into_iter().chain(self.frame).flatten()
    }

    /// The tones that the symbol names beyond its third and seventh, by rising degree number.
    ///
    /// ```
    /// # use compline::chord::Chord;
    /// let named = |symbol: &str| -> Vec<String> {
    ///     let chord = Chord::read(symbol).unwrap();
    ///     chord.named_beyond_frame().map(|degree| degree.to_string()).collect()
    /// };
    /// assert_eq!(named("C7b9"), ["b9"]);
    /// assert!(named("C7").is_empty());
    /// ```
    pub fn named_beyond_frame(&self) -> impl Iterator<Item = Degree> + '_ {
        let frame = [self.third(), self.seventh()];
        let named = self.tones.iter().filter(|tone| tone.named);
        let named = named.map(|tone| tone.degree);
        named.filter(move |degree| !frame.contains(&Some(*degree)))
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

    /// Which of two readings in use was taken, if there are two.
    pub const fn reading(&self) -> Option<Reading> {
        self.reading
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

impl fmt::Display for Chord {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.symbol)
    }
}
