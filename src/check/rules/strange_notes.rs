//! Notes of a given voicing that its symbol has no place for, and what they are all the same.
//!
//! The slash bass belongs to the chord, and so does whatever some shape, in some colour and place, makes
//! of the symbol: the 6 of a bare triad, the raised tone of a diminished chord. What the hand's own rules
//! have found is not found again.

use crate::check::context::Context;
use crate::chord::Chord;
use crate::hand::Violation;
use crate::harmony::{HarmonicContext, Scale};
use crate::pitch::{Degree, Name};
use crate::voicing::{VoicedNote, Voicing};

/// What a note is that the symbol has no place for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Strange {
    /// Foreign to the chord.
    Foreign,
    /// A note that the chord avoids where it stands, as `harmony` lists it.
    Avoided,
    /// A colour that players give the chord, though the symbol doesn't say it: the major seventh on a triad
    /// or a sixth chord, major or minor, and the b7 that makes a seventh chord of a triad on I or IV outside a
    /// blues (common practice, no source). The natural 9 of a half-diminished chord is in the program's own
    /// shapes of it, and so no strange note.
    Colour,
}

/// The strange notes of the voicing given in a slot, lowest first.
pub(super) fn strange_notes<'a>(
    context: &'a Context<'_>,
    slot: usize,
    voicing: &'a Voicing,
) -> Vec<(&'a VoicedNote, Strange)> {
    let chord = context.voiced.problem.slots.get(slot);
    let chord = chord.and_then(|slot| slot.symbol.chord());
    // What the planner itself would take here, under this melody and these settings, is at home.
    let choices = context.voiced.choices(slot).iter();
    let mut planned = choices.filter(|choice| choice.by_pitches(voicing).is_eq());
    let own = planned.next().is_some();
    let Some(chord) = chord.filter(|_| !own) else {
        return Vec::new();
    };
    let here = context.voiced.problem.contexts.get(slot);
    let bare = here.is_some_and(|here| is_bare_at_rest(chord, here));
    // A shape has only what the chord takes, but a triad's b7 is in the shapes it has where it is a dominant.
    if voicing.shape.is_some() && !bare {
        return Vec::new();
    }
    let avoided = here.map_or_else(Vec::new, |here| here.scale.avoid(chord));
    let kind = |note: &VoicedNote| {
        let class = note.degree.class();
        if is_colour(chord, class) || is_seventh_of(bare, class) {
            Strange::Colour
        } else if avoided.iter().any(|degree| degree.class() == class) {
            Strange::Avoided
        } else {
            Strange::Foreign
        }
    };
    let notes = outside(context, (chord, bare), voicing, context.violations(slot));
    notes.into_iter().map(|note| (note, kind(note))).collect()
}

/// Whether players give the chord this tone unasked.
fn is_colour(chord: &Chord, class: u8) -> bool {
    let third = chord.third().map(|third| third.class());
    let fifth = chord.fifth().map(|fifth| fifth.class());
    let seventh = chord.seventh().map(|seventh| seventh.class());
    class == 11
        && matches!(third, Some(3 | 4))
        && fifth == Some(7)
        && matches!(seventh, None | Some(9))
}

/// Whether a chord is a bare major triad where it is no dominant: I or IV of its key, and not in a blues.
fn is_bare_at_rest(chord: &Chord, here: &HarmonicContext) -> bool {
    chord.is_major_triad() && !here.blues && (here.tonic || here.scale == Scale::Lydian)
}

/// Whether a tone is the b7 that a triad at rest doesn't have.
fn is_seventh_of(bare: bool, class: u8) -> bool {
    bare && class == Degree::FLAT_SEVENTH.class()
}

/// The notes that the chord has no place for and that nothing was said about yet.
fn outside<'a>(
    context: &Context<'_>,
    (chord, bare): (&Chord, bool),
    voicing: &'a Voicing,
    judged: &[Violation],
) -> Vec<&'a VoicedNote> {
    let said = |note: &VoicedNote| {
        judged.iter().any(|violation| match violation {
            Violation::Avoid(degree) | Violation::RubsBass { degree, .. } => *degree == note.degree,
            Violation::EleventhOverThird => note.degree.class() == 5,
            // It stands for the silent tone, and is named with it.
            Violation::Silent(silent) => stands_for(*silent, note),
            _ => false,
        })
    };
    let strange: Vec<&VoicedNote> = voicing
        .notes
        .iter()
        .filter(|note| !is_own(chord, note) && !said(note))
        .collect();
    if strange.is_empty() {
        return strange;
    }
    let in_shapes = context.classes_in_shapes(chord);
    strange
        .into_iter()
        .filter(|note| {
            let class = note.degree.class();
            !in_shapes.contains(&class) || is_seventh_of(bare, class)
        })
        .collect()
}

/// Whether a note is a tone of the chord, one of its tensions, or its bass.
fn is_own(chord: &Chord, note: &VoicedNote) -> bool {
    let class = note.degree.class();
    let above_root = |bass: Name| chord.root().class().up_to(bass.class()).0;
    let tones = chord.tones().iter().map(|tone| tone.degree);
    let mut degrees = tones.chain(chord.tensions());
    degrees.any(|degree| degree.class() == class)
        || chord.bass().map(above_root) == Some(i32::from(class))
}

/// Whether a note stands for a silent tone: the 6 for the major seventh, or the major seventh for the 6
/// (common practice, no source: C6, Cmaj7 and C stand for one another at rest).
pub(super) fn stands_for(silent: Degree, note: &VoicedNote) -> bool {
    match (silent.class(), note.degree.class()) {
        (11, 9) => true,
        // Not for the diminished seventh, which is the same key.
        (9, 11) => silent.number() == 6,
        _ => false,
    }
}
