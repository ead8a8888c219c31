//! The symbols that are read in two ways, and which way was taken.

use serde::{Serialize, Serializer};

/// Which of two readings in use was taken. Its `Display`, in `explain`, is a sentence for the player.
///
/// A symbol that everybody reads alike has none.
///
/// ```
/// # use compline::chord::Chord;
/// let reading = Chord::read("C11").unwrap().reading().unwrap();
/// assert_eq!(
///     reading.to_string(),
///     "read as 9sus4, without the third; the literal stack keeps the third under the 11"
/// );
/// assert_eq!(Chord::read("C9sus4").unwrap().reading(), None);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum Reading {
    /// `C11`: MusicXML's kind keeps the third, charts mean 9sus4.
    Eleventh,
    /// `Cmaj11`: the stack as written, though a player raises the 11.
    MajorEleventh,
    /// `C°`: Brandt & Roemer (1976) keep the circle for the seventh chord, MusicXML has both.
    CircleTriad,
    /// `CΔ`: MusicXML's triangle is the major triad, jazz charts mean the major seventh.
    Triangle,
    /// `C2`, `C/2`: the added ninth, or sus2.
    Two,
    /// `C4`, `C7(4)`, `C7/4`: the fourth in the third's place, or beside it.
    Four,
    /// `C7+`, `C+7`: the raised fifth, or in Brazilian and Italian charts the major seventh.
    AugmentedSeventh,
    /// `Cm+7`: the major seventh, or a raised fifth under the flat seventh.
    MinorPlusSeven,
    /// `C(9)`: the tone alone, or the whole dominant stack.
    BracketedNumber,
    /// `C(b9)`, `C(#11)`: the tone alone, or a seventh chord with it.
    BracketedAlteration,
    /// `Bbb5`: a root with two flats, or a flat fifth over one with one.
    DoubleAccidental,
    /// `C°(7M)`: the triad under the major seventh, or the diminished seventh chord with it.
    CircleMajorSeventh,
    /// `C6(add7)`: the flat seventh, as 7 in every symbol, or the seventh of the major scale.
    AddSeven,
    /// `f#`: a small letter for a minor triad, or a slip of the shift key.
    SmallLetter,
    /// `H`: German for B natural.
    GermanH,
    /// `Cd`, `C/dim`: an old tune collection's diminished triad.
    OldDiminished,
    /// `Ca`: an old tune collection's augmented triad.
    OldAugmented,
    /// `D/f+`: an old tune collection's sharp.
    OldSharp,
    /// `(G7)`: a chord that may be left out, or an alternative to the one before.
    Bracketed,
}

impl Serialize for Reading {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::Reading::*;
    use crate::chord::Chord;

    #[test]
    fn each_reading_has_a_symbol_that_shows_it() {
        for (symbol, reading) in [
            ("C11", Eleventh),
            ("Cmaj11", MajorEleventh),
            ("C°", CircleTriad),
            ("Co/E", CircleTriad),
            ("CΔ", Triangle),
            ("C^", Triangle),
            ("C2", Two),
            ("C7+", AugmentedSeventh),
            ("C+7", AugmentedSeventh),
            ("Cm(+7)", MinorPlusSeven),
            ("C/2", Two),
            ("C4", Four),
            ("D7(4)", Four),
            ("D7(4)(9)", Four),
            ("D7/4", Four),
            ("C(9)", BracketedNumber),
            ("C/9", BracketedNumber),
            ("C(#9)", BracketedAlteration),
            ("C(b9)", BracketedAlteration),
            ("C(#11)", BracketedAlteration),
            ("Csus(b9)", BracketedAlteration),
            ("Bbb5", DoubleAccidental),
            ("F##9", DoubleAccidental),
            ("Ao(7M)", CircleMajorSeventh),
            ("C6(add7)", AddSeven),
            ("f#", SmallLetter),
            ("Hm7", GermanH),
            ("Cd", OldDiminished),
            ("G/dim", OldDiminished),
            ("Fa7", OldAugmented),
            ("D/f+", OldSharp),
            ("(G7)", Bracketed),
        ] {
            assert_eq!(
                Chord::read(symbol).unwrap().reading(),
                Some(reading),
                "{symbol}"
            );
        }
    }

    #[test]
    fn what_everybody_reads_alike_has_no_note() {
        for symbol in [
            "C",
            "Cm",
            "C7",
            "Csus",
            "Cdim",
            "C°7",
            "Cø",
            "C13",
            "Cm11",
            "C7(9)",
            "C7#5",
            "Caug7",
            "Cadd9",
            "C6/9",
            "C-5",
            "C7-5",
            "CΔ7",
            "D/f#",
            "Cm(maj7)",
            "C7alt",
            "C11sus",
            "C11no3",
            "C7(b9)",
            "C6(b9)",
            "Cmb6",
            "Cadd#11",
            "C7sus4",
            "C7(11)",
            "Bbb7",
            "Bb(b5)",
            "Cdim(maj7)",
        ] {
            assert_eq!(Chord::read(symbol).unwrap().reading(), None, "{symbol}");
        }
    }
}
