//! What a chord asks of a hand, worked out once so that many voicings can be held against it.
//!
//! Degrees are compared by their class, the semitones above the root within one octave: a 9 that a
//! hand plays as a 2 is still the 9.

use crate::chord::{Chord, Family, Tone};
use crate::pitch::{Degree, Name, Pitch};

use super::Sung;
use super::bass::rubs_bass;

/// Set of classes 0 to 11 as bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Classes(u16);

impl Classes {
    pub(super) fn of(degrees: impl IntoIterator<Item = Degree>) -> Self {
        Self(degrees.into_iter().fold(0, |bits, d| bits | 1 << d.class()))
    }

    pub(super) const fn holds(self, degree: Degree) -> bool {
        self.0 & (1 << degree.class()) != 0
    }

    /// Whether it holds this and nothing else.
    pub(super) const fn is(self, degree: Degree) -> bool {
        self.0 == 1 << degree.class()
    }

    pub(super) const fn with(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }
}

/// A chord's demands: root, frame, what it names, what it avoids.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Requirements {
    pub(super) root: Name,
    pub(super) family: Family,
    pub(super) third: Option<Degree>,
    pub(super) fifth: Option<Degree>,
    pub(super) seventh: Option<Degree>,
    /// Tones with what may sound in their stead under this melody: see [`sixth_for_seventh`] and
    /// [`fourth_for_third`].
    pub(super) stand_ins: [Option<(Degree, Degree)>; 2],
    /// Named tones beyond third and seventh that the melody leaves room for and does not strike itself.
    pub(super) named: Vec<Degree>,
    /// Everything that a whole voicing has beyond third and seventh: what is named, and the 9 that a
    /// suspended thirteenth chord implies, as far as the melody leaves room for it.
    pub(super) wanted: Vec<Degree>,
    /// Whether the symbol is a bare triad over a bass that is not its root. Nobody else plays its tones then,
    /// so the hand keeps all three and adds nothing (common practice, no source).
    pub(super) triad_over_bass: bool,
    /// The tones that the melody holds for long from the start: they need not sound in the hand as well.
    pub(super) sung: Classes,
    /// The tone that the melody suspends and resolves by itself: it need not sound in the hand.
    pub(super) resolved: Option<Degree>,
    /// Whether the root must sound, since the bass plays another tone of the chord.
    pub(super) keeps_root: bool,
    /// Whether the symbol leaves the alterations to the player.
    pub(super) altered: bool,
    /// Third and seventh, or what stands for them.
    pub(super) frame: Classes,
    pub(super) names: Classes,
    pub(super) avoid: Classes,
    /// What would rub against the slash bass, and that bass.
    pub(super) near_bass: Option<(Classes, Name)>,
}

impl Requirements {
    /// The demands of a chord under the melody.
    pub(crate) fn of(
        chord: &Chord,
        Sung {
            held: melody,
            struck,
            lasting,
            resolves_to,
        }: Sung<'_>,
    ) -> Self {
        let (third, seventh) = (chord.third(), chord.seventh());
        let frame = [third, seventh];
        let beyond = |tone: &&Tone| !frame.contains(&Some(tone.degree));
        let struck = sung(chord, struck);
        let wanted = chord.tones().iter().filter(beyond);
        let wanted = wanted.filter(|tone| tone.named || is_implied_ninth(chord, tone));
        let wanted = wanted.filter(|tone| !is_forbidden(chord, tone.degree, melody));
        Self {
            wanted: wanted.map(|tone| tone.degree).collect(),
            triad_over_bass: chord.is_triad_over_bass(),
            sung: sung(chord, lasting),
            resolved: resolves_to,
            keeps_root: keeps_root(chord) && !is_forbidden(chord, Degree::ROOT, melody),
            altered: chord.is_altered(),
            root: chord.root(),
            family: chord.family(),
            third,
            fifth: chord.fifth(),
            seventh,
            stand_ins: [
                seventh.zip(sixth_for_seventh(chord, melody)),
                third.zip(fourth_for_third(chord, melody)),
            ],
            frame: Classes::of(frame.into_iter().flatten()),
            names: Classes::of(chord.named_beyond_frame()),
            avoid: Classes::of(chord.avoid()),
            near_bass: near_bass(chord),
            named: chord
                .named_beyond_frame()
                .filter(|degree| !is_forbidden(chord, *degree, melody))
                .filter(|degree| !struck.holds(*degree))
                .collect(),
        }
    }

    /// Whether the flat ninth may stand over the root: dominants, suspended or not.
    pub(super) fn takes_flat_ninth(&self) -> bool {
        let flat_seventh = self.seventh.is_some_and(|seventh| seventh.class() == 10);
        match self.family {
            Family::Dominant => true,
            Family::Suspended => flat_seventh,
            _ => false,
        }
    }
}

/// Whether a seventh or sixth chord stands over its own third, fifth or seventh. Nobody else plays its root
/// then, so the hand does (common practice, no source). A named b9 stands for the root, as in the diminished
/// chord that it makes of a dominant; where two tones are named four notes have no room for it.
pub(crate) fn keeps_root(chord: &Chord) -> bool {
    let Some(bass) = chord.bass() else {
        return false;
    };
    let frame = [chord.third(), chord.seventh()];
    let own = [chord.third(), chord.fifth(), chord.seventh()];
    let above = chord.root().class().up_to(bass.class()).0;
    let mut own = own.into_iter().flatten();
    let over_own = own.any(|tone| i32::from(tone.class()) == above);
    let mut named = chord.named_beyond_frame();
    let room = match (named.next(), named.next()) {
        (None, _) => true,
        (Some(one), None) => one != Degree::FLAT_NINTH,
        _ => false,
    };
    let seventh = frame.iter().all(Option::is_some) && !chord.is_altered();
    seventh && room && over_own
}

/// These notes of the melody, above the root of the chord.
fn sung(chord: &Chord, melody: &[Pitch]) -> Classes {
    let root = chord.root().class();
    let above = melody
        .iter()
        .map(|melody_note| root.up_to(melody_note.class()).0);
    Classes(above.fold(0, |bits, above| bits | 1 << above))
}

/// Whether the tone is the 9 that a suspended chord implies: a 13sus has its 9.
fn is_implied_ninth(chord: &Chord, tone: &Tone) -> bool {
    chord.family() == Family::Suspended && tone.degree == Degree::NINTH
}

/// Whether the melody lies a half step above a tone: the tone may then be left out, though the symbol
/// names it.
pub(crate) fn is_forbidden(chord: &Chord, degree: Degree, melody: &[Pitch]) -> bool {
    let tone = chord.root().class().plus(degree.semitones());
    let mut notes = melody.iter();
    notes.any(|melody_note| tone.up_to(melody_note.class()).0 == 1)
}

/// The tones that rub against a slash bass.
fn near_bass(chord: &Chord) -> Option<(Classes, Name)> {
    let every = [(1, 0), (9, -1), (9, 0), (9, 1), (3, 0), (11, 0)]
        .into_iter()
        .chain([(11, 1), (5, 0), (13, -1), (13, 0), (7, -1), (7, 0)]);
    let every = every.map(|(number, alter)| Degree::known(number, alter));
    let rubbing = every.filter(|degree| rubs_bass(chord, *degree));
    Some((Classes::of(rubbing), chord.bass()?))
}

/// The 6 that may stand for the major seventh while the melody sings the root.
///
/// The seventh would lie a minor ninth or a minor second below the melody, so players take the sixth:
/// Cmaj7 under a C is played as C6/9, Cm(maj7) as Cm6/9 (common practice, no source). `None` for any
/// other chord and any other melody, for a diminished chord, and where the sixth would lie
/// a half step above a #5 or b13 (Cmaj7#5) or beside a slash bass.
pub(crate) fn sixth_for_seventh(chord: &Chord, melody: &[Pitch]) -> Option<Degree> {
    let sixth = Degree::known(6, 0);
    let root = chord.root().class();
    let sung = melody.iter().any(|melody_note| melody_note.class() == root);
    let major_seventh = chord.seventh().is_some_and(|seventh| seventh.class() == 11);
    let third = chord
        .third()
        .is_some_and(|third| matches!(third.class(), 3 | 4));
    let rubs = chord.tones().iter().any(|tone| tone.degree.class() == 8);
    let fits = major_seventh && third && !rubs && chord.family() != Family::Diminished;
    (sung && fits && !rubs_bass(chord, sixth)).then_some(sixth)
}

/// The 4 that may stand for the major third while the melody sings the 11.
///
/// The third would lie a minor ninth or a minor second below the melody, so players suspend the chord:
/// G7 under a C is played as G7sus (common practice, no source). `None` for any other chord and any
/// other melody, where the melody sings the third as well, where the symbol says what the 11 is, and
/// beside a slash bass.
pub(crate) fn fourth_for_third(chord: &Chord, melody: &[Pitch]) -> Option<Degree> {
    let fourth = Degree::known(4, 0);
    let sings = |class: i32| {
        let mut notes = melody.iter();
        notes.any(|melody_note| chord.root().class().up_to(melody_note.class()).0 == class)
    };
    let open = chord.tones().iter().all(|tone| tone.degree.number() != 11);
    let bent = chord.fifth().is_some_and(|fifth| fifth.alter() != 0) || chord.is_altered();
    let fits = chord.third() == Some(Degree::THIRD) && open && !bent;
    (fits && sings(5) && !sings(4) && !rubs_bass(chord, fourth)).then_some(fourth)
}
