//! Which of two readings of a symbol was taken, in words.

use std::fmt;

use crate::chord::Reading;

impl fmt::Display for Reading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Eleventh => {
                "read as 9sus4, without the third; the literal stack keeps the third under the 11"
            }
            Self::MajorEleventh => {
                "read as the literal stack, with a natural 11; players usually raise it: maj9#11"
            }
            Self::CircleTriad => {
                "read as the diminished triad; many mean the diminished seventh: write dim7"
            }
            Self::Triangle => {
                "read as the major seventh; some use the triangle for the plain major triad"
            }
            Self::Two => "read as add9, with the third; some mean sus2, without it",
            Self::AugmentedSeventh => {
                "read as 7#5; in some countries a plus beside the 7 means the major seventh"
            }
            Self::MinorPlusSeven => {
                "read as a minor chord with a major seventh; the other reading is m7#5"
            }
            Self::BracketedNumber => {
                "read as this one tone added to the triad; some mean the dominant chord up to it"
            }
            Self::Four => {
                "read as sus4, without the third; some mean the 11 beside it: write add11"
            }
            Self::BracketedAlteration => {
                "read as this one tone added to the triad; some mean a seventh chord with it: write the 7"
            }
            Self::DoubleAccidental => {
                "read as a root with two accidentals; an altered tone is written in brackets: Bb(b5)"
            }
            Self::CircleMajorSeventh => {
                "read as the diminished triad with a major seventh; some keep the diminished seventh too: write dim7(maj7)"
            }
            Self::AddSeven => "read as the flat seventh; the major seventh is written maj7",
            Self::SmallLetter => "read as a minor triad, since its letter is small",
            Self::GermanH => "read with H as B natural, as in German",
            Self::OldDiminished => "read as the diminished triad, as old tune collections write it",
            Self::OldAugmented => "read as an augmented chord, as old tune collections write it",
            Self::OldSharp => {
                "read with the plus after the bass as a sharp, as in old tune collections"
            }
            Self::Bracketed => {
                "read as a chord that is played; some write brackets where it may be left out"
            }
        })
    }
}
