//! What a chord does in its region.

use std::fmt;

/// What a chord does in its region.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Function {
    /// I, iii, vi; in minor i, III
    Tonic,
    /// ii, IV; in minor iv, VI
    Subdominant,
    /// V, vii
    Dominant,
    /// The V of another degree
    SecondaryDominant,
    /// A dominant that goes down a fifth to a further dominant which is not the key's
    ExtendedDominant,
    /// The ii before a dominant that is not the key's
    RelatedTwo,
    /// The half-diminished ii of a minor ii-V
    MinorTwo,
    /// The dominant a tritone from the one expected: it steps down a half tone
    TritoneSubstitute,
    /// bVII7 going to the tonic from below
    Backdoor,
    /// Taken from the parallel minor or major
    Borrowed,
    /// A diminished chord on the way to its neighbour
    PassingDiminished,
    /// A diminished chord on the root it goes to
    AuxiliaryDiminished,
    /// I7 at rest, as in a blues
    BluesTonic,
    /// IV7 as in a blues
    BluesSubdominant,
    /// None of these
    Chromatic,
}

impl Function {
    /// Its name in text.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Tonic => "tonic",
            Self::Subdominant => "subdominant",
            Self::Dominant => "dominant",
            Self::SecondaryDominant => "secondary dominant",
            Self::ExtendedDominant => "extended dominant",
            Self::RelatedTwo => "related ii",
            Self::MinorTwo => "minor ii",
            Self::TritoneSubstitute => "tritone substitute",
            Self::Backdoor => "backdoor dominant",
            Self::Borrowed => "borrowed",
            Self::PassingDiminished => "passing diminished",
            Self::AuxiliaryDiminished => "auxiliary diminished",
            Self::BluesTonic => "blues tonic",
            Self::BluesSubdominant => "blues subdominant",
            Self::Chromatic => "chromatic",
        }
    }

    /// The name shortened for a column under the changes. Where a goal goes with it, the numeral
    /// has that.
    pub const fn short(self) -> &'static str {
        match self {
            Self::Tonic => "tonic",
            Self::Subdominant => "subdom",
            Self::Dominant => "dom",
            Self::SecondaryDominant => "second",
            Self::ExtendedDominant => "extended",
            Self::RelatedTwo => "related",
            Self::MinorTwo => "minor-ii",
            Self::TritoneSubstitute => "tritone",
            Self::Backdoor => "backdoor",
            Self::Borrowed => "borrowed",
            Self::PassingDiminished => "passing",
            Self::AuxiliaryDiminished => "auxiliary",
            Self::BluesTonic => "blues-I",
            Self::BluesSubdominant => "blues-IV",
            Self::Chromatic => "chromatic",
        }
    }
}

impl fmt::Display for Function {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}
