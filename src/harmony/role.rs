//! What a chord does in a key, from the chord, the key and the next chord alone.
//!
//! Each kind of chord has one function below; the first line that fits speaks. With the function goes
//! a *price*: how far-fetched that reading is, from 0 for a chord of the key to [`FOREIGN`]. The
//! regions of a tune are the keys in which its chords cost least ([`super::regions`]), so what a chord
//! is called and where it is thought to belong can't disagree.
//!
//! Degrees are semitones above the tonic. The readings are those of Nettles and Graf, *The Chord Scale
//! Theory and Jazz Harmony*, as taught generally (from memory); the five targets of secondary
//! dominants are the Berklee HARM 121 sheet's, 2008; the prices are this program's own.

use super::Function as F;
use super::chord_kind::{ChordKind, RootAndKind};
use super::local_key::LocalKey;
use super::resolution::Resolution;

/// The price of a chord that nothing explains.
pub(super) const FOREIGN: u8 = 5;

/// What a chord does in a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Role {
    pub function: F,
    /// The degree it leads to, or would lead to, where its function has a goal.
    pub goal: Option<u8>,
    /// How far-fetched the reading is.
    pub price: u8,
}

const fn plain(function: F, price: u8) -> Role {
    Role {
        function,
        goal: None,
        price,
    }
}

const fn towards(function: F, goal: u8, price: u8) -> Role {
    Role {
        function,
        goal: Some(goal % 12),
        price,
    }
}

/// One chord in one key before one chord.
pub(super) struct Situation {
    pub chord: RootAndKind,
    pub local_key: LocalKey,
    pub next: Option<RootAndKind>,
}

impl Situation {
    /// What the chord does.
    pub fn role(&self) -> Role {
        match self.chord.kind {
            ChordKind::Dominant => self.dominant(),
            ChordKind::Triad => self.triad(),
            ChordKind::Augmented => self.augmented(),
            ChordKind::Major | ChordKind::MajorSeventh => self.major(),
            ChordKind::Minor => self.minor(),
            ChordKind::HalfDiminished => self.half_diminished(),
            ChordKind::Diminished => self.diminished(),
            ChordKind::Suspended | ChordKind::Power => self.open(),
        }
    }

    pub fn degree(&self) -> u8 {
        self.local_key.degree(self.chord)
    }

    pub fn resolution(&self) -> Resolution {
        Resolution::between(self.chord, self.next)
    }

    /// The semitones up to the next root.
    fn step(&self) -> Option<u8> {
        self.next.map(|next| self.chord.up_to(next))
    }

    pub fn next_is_dominant(&self) -> bool {
        self.next.is_some_and(RootAndKind::is_dominant)
    }

    /// Whether a chord of the key stands on this degree.
    fn is_known(&self, degree: u8) -> bool {
        self.local_key.has(degree, true) || self.local_key.has(degree, false)
    }

    /// Whether the next chord is a dominant a fifth below: this one is then its ii.
    fn is_two(&self) -> bool {
        self.step() == Some(5) && self.next_is_dominant()
    }

    fn dominant(&self) -> Role {
        let degree = self.degree();
        if degree == 7 {
            return plain(F::Dominant, 0);
        }
        let way = self.resolution();
        if way.falls() {
            return self.falling_dominant(way == Resolution::FifthIntoMinor);
        }
        if way == Resolution::HalfStepDown && (degree != 0 || self.next_is_dominant()) {
            return towards(F::TritoneSubstitute, degree + 11, 1);
        }
        self.hanging_dominant()
    }

    /// A dominant that goes down a fifth.
    fn falling_dominant(&self, into_minor: bool) -> Role {
        let degree = self.degree();
        let goal = (degree + 5) % 12;
        let minor_key = self.local_key.minor;
        match goal {
            5 if self.next_is_dominant() && !minor_key => towards(F::BluesTonic, goal, 1),
            // F7 Bb7 in C: the IV7 of a blues on its way to the backdoor.
            10 if self.next_is_dominant() && !minor_key => plain(F::BluesSubdominant, 1),
            7 if !into_minor => towards(F::SecondaryDominant, goal, 1),
            _ if self.next_is_dominant() => towards(F::ExtendedDominant, goal, 2),
            _ if self.local_key.has(goal, into_minor) => towards(F::SecondaryDominant, goal, 1),
            _ if self.local_key.has(goal, !into_minor) => towards(F::SecondaryDominant, goal, 2),
            // Eb7 Abmaj7 in C: the goal is borrowed as a whole.
            3 | 8 if !minor_key && !into_minor => towards(F::SecondaryDominant, goal, 2),
            _ => towards(F::SecondaryDominant, goal, 3),
        }
    }

    /// A dominant that goes neither down a fifth nor down a half tone.
    fn hanging_dominant(&self) -> Role {
        let degree = self.degree();
        let next = self.next.map(|next| self.local_key.degree(next));
        // Ab7 Dm7 G7: the G7 that the Ab7 stepped down to has its own ii before it.
        let before_ii = self.step() == Some(6)
            && self.next.is_some_and(|next| {
                matches!(next.kind, ChordKind::Minor | ChordKind::HalfDiminished)
            });
        match (self.local_key.minor, degree) {
            (_, 10) if matches!(next, Some(0 | 4)) => plain(F::Backdoor, 1),
            (false, 0) => plain(F::BluesTonic, 1),
            (false, 5) => plain(F::BluesSubdominant, 0),
            // i7 IV7 i7 is a vamp of the key.
            (true, 5) if next == Some(0) => plain(F::BluesSubdominant, 0),
            (true, 5) => plain(F::BluesSubdominant, 1),
            _ if before_ii && self.is_known((degree + 11) % 12) => {
                towards(F::TritoneSubstitute, degree + 11, 2)
            }
            (false, 2 | 4 | 9 | 11) | (true, 0 | 2 | 3) => {
                towards(F::SecondaryDominant, degree + 5, 2)
            }
            (true, 10) => towards(F::SecondaryDominant, degree + 5, 1),
            (false, 10) => plain(F::Borrowed, 2),
            (_, 1 | 8) => towards(F::TritoneSubstitute, degree + 11, 2),
            _ => plain(F::Chromatic, FOREIGN),
        }
    }

    fn triad(&self) -> Role {
        let degree = self.degree();
        let falls = self.resolution().falls();
        match (self.local_key.minor, degree) {
            (_, 7) => plain(F::Dominant, 0),
            (false, 0) | (true, 3) => plain(F::Tonic, 0),
            (false, 5) | (true, 8) => plain(F::Subdominant, 0),
            (true, 10) => plain(F::Dominant, 0),
            (true, 0) => plain(F::Tonic, 1),
            (true, 5) | (false, 10) => plain(F::Borrowed, 1),
            (false, 1 | 3 | 8) | (true, 1) => plain(F::Borrowed, 2),
            _ if falls => self.falling_dominant(self.resolution() == Resolution::FifthIntoMinor),
            (_, 2) => towards(F::SecondaryDominant, 7, 2),
            _ => plain(F::Chromatic, 4),
        }
    }

    fn augmented(&self) -> Role {
        match (self.local_key.minor, self.degree()) {
            (_, 7) => plain(F::Dominant, 0),
            (false, 0) | (true, 3) => plain(F::Tonic, 1),
            _ if self.resolution().falls() => {
                self.falling_dominant(self.resolution() == Resolution::FifthIntoMinor)
            }
            _ => plain(F::Chromatic, 4),
        }
    }

    fn major(&self) -> Role {
        match (self.local_key.minor, self.degree()) {
            (false, 0) | (true, 3) => plain(F::Tonic, 0),
            (false, 5) | (true, 8) => plain(F::Subdominant, 0),
            (true, 0) => plain(F::Tonic, 1),
            (true, 10) => plain(F::Dominant, 1),
            // The 7 of a Vmaj7 is the #4 of the key: nothing in it wants to fall.
            (false, 7) if self.chord.kind == ChordKind::MajorSeventh => plain(F::Borrowed, 3),
            (false, 7) => plain(F::Dominant, 2),
            (false, 1 | 3 | 8 | 10) | (true, 1 | 5) => plain(F::Borrowed, 2),
            _ => plain(F::Chromatic, FOREIGN),
        }
    }

    fn minor(&self) -> Role {
        let degree = self.degree();
        let two = self.is_two();
        let goal = degree + 10;
        match (self.local_key.minor, degree) {
            (false, 2) => plain(F::Subdominant, 0),
            (false, 4 | 9) if two => towards(F::RelatedTwo, goal, 0),
            (false, 4 | 9) | (true, 0) => plain(F::Tonic, 0),
            (false, 5) => plain(F::Borrowed, if two { 1 } else { 2 }),
            (true, 5) if !two => plain(F::Subdominant, 0),
            (true, 2) if two => plain(F::Subdominant, 1),
            (true, 7) if !two => plain(F::Dominant, 1),
            _ if two => self.related_two(),
            (false, 0 | 7) => plain(F::Borrowed, 2),
            (true, 2) => plain(F::Subdominant, 1),
            _ => plain(F::Chromatic, FOREIGN),
        }
    }

    /// A minor seventh chord before the dominant a fifth below. Where that dominant's own goal is no
    /// degree of the key it is taken for a tritone substitute (Abm7 Db7 in C).
    fn related_two(&self) -> Role {
        let degree = self.degree();
        let goal = (degree + 10) % 12;
        let known = self.is_known(goal);
        match (known, degree) {
            (true, 5) => towards(F::RelatedTwo, goal, 0),
            (true, _) => towards(F::RelatedTwo, goal, 1),
            (false, 0) => towards(F::RelatedTwo, goal, 2),
            (false, _) => towards(F::RelatedTwo, degree + 4, 2),
        }
    }

    fn half_diminished(&self) -> Role {
        let degree = self.degree();
        let goal = (degree + 10) % 12;
        let known = self.is_known(goal);
        match (self.local_key.minor, degree) {
            (_, 2) if self.is_two() => plain(F::MinorTwo, 0),
            (false, 11) if self.is_two() => towards(F::MinorTwo, goal, 0),
            _ if self.is_two() => towards(F::MinorTwo, goal, if known { 1 } else { 2 }),
            (true, 2) => plain(F::Subdominant, 0),
            (false, 11) => plain(F::Dominant, 0),
            (false, 6) => plain(F::Subdominant, 1),
            (true, 9) => plain(F::Tonic, 1),
            (false, 2) => plain(F::Borrowed, 2),
            _ => plain(F::Chromatic, 4),
        }
    }

    fn diminished(&self) -> Role {
        let degree = self.degree();
        let next = self.next.map(|next| self.local_key.degree(next));
        match (degree, self.step()) {
            (_, Some(0)) => towards(F::AuxiliaryDiminished, degree, 1),
            (11, Some(1)) => plain(F::Dominant, 0),
            (_, Some(up @ (1 | 11))) => towards(F::PassingDiminished, degree + up, 1),
            // Over the 5 in the bass: #IV°7 I/5.
            (6, _) if next == Some(0) => towards(F::PassingDiminished, 0, 1),
            (2, _) if self.local_key.minor => plain(F::Subdominant, 0),
            (11, _) => plain(F::Dominant, 1),
            _ => plain(F::Chromatic, 3),
        }
    }

    /// A chord that leaves its third open: its degree speaks.
    fn open(&self) -> Role {
        match (self.local_key.minor, self.degree()) {
            (_, 0) => plain(F::Tonic, 0),
            (_, 7) => plain(F::Dominant, 0),
            (_, 5) | (false, 2) | (true, 8) => plain(F::Subdominant, 0),
            (false, 4 | 9) | (true, 3) => plain(F::Tonic, 0),
            (true, 10) => plain(F::Dominant, 0),
            (false, 10) => plain(F::Borrowed, 1),
            _ => plain(F::Chromatic, 4),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chord::Chord;

    /// What a chord does in C, or in C minor, before another.
    fn role(chord: &str, next: &str, minor: bool) -> Role {
        let of = |symbol| RootAndKind::of(&Chord::read(symbol).unwrap());
        let situation = Situation {
            chord: of(chord),
            local_key: LocalKey { tonic: 0, minor },
            next: Some(of(next)),
        };
        situation.role()
    }

    #[test]
    fn a_dominant_is_told_by_what_it_goes_to() {
        for (chord, next, minor, wanted) in [
            ("C7", "F7", false, towards(F::BluesTonic, 5, 1)),
            ("C7", "Fmaj7", false, towards(F::SecondaryDominant, 5, 1)),
            ("F7", "Bb7", false, plain(F::BluesSubdominant, 1)),
            ("A7", "D7", false, towards(F::ExtendedDominant, 2, 2)),
            // A I7 is a substitute only before another dominant.
            ("C7", "B7", false, towards(F::TritoneSubstitute, 11, 1)),
            ("C7", "Bmaj7", false, plain(F::BluesTonic, 1)),
            // The dominant a half step below has its own ii before it.
            ("Eb7", "Am7", false, towards(F::TritoneSubstitute, 2, 2)),
            ("Eb7", "Amaj7", false, plain(F::Chromatic, FOREIGN)),
            // In minor the bVII7 that waits is the relative major's V.
            ("Bb7", "Fm7", true, towards(F::SecondaryDominant, 3, 1)),
            ("Bb7", "Cm7", true, plain(F::Backdoor, 1)),
        ] {
            assert_eq!(role(chord, next, minor), wanted, "{chord} {next}");
        }
    }

    #[test]
    fn a_borrowed_four_is_nearer_as_the_ii_of_the_backdoor() {
        assert_eq!(role("Fm7", "Bb7", false), plain(F::Borrowed, 1));
        assert_eq!(role("Fm7", "Cmaj7", false), plain(F::Borrowed, 2));
        assert_eq!(role("Fm7", "Bbmaj7", false), plain(F::Borrowed, 2));
    }
}
