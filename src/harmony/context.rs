//! A chord's harmonic context: what decides its tensions.
//!
//! It is found from the chord, the key of its region and the next different chord, and from
//! nothing else, so that a chord can be put in another's stead without looking at the whole tune again.
//! Only a line on one root is found from a whole row of chords ([`lines`]); a chord that takes another's
//! place is in none.

use crate::chord::{Chord, Family};
use crate::pitch::{Degree, Key, KeyNames};

use super::Function;
use super::blues::is_blues;
use super::chord_kind::{ChordKind, RootAndKind};
use super::lines::{LineTone, lines_of_runs};
use super::local_key::LocalKey;
use super::neighbours::nexts;
use super::plain_triads::plain_triads;
use super::resolution::Resolution;
use super::role::{Role, Situation};
use super::scale::Scale;
use super::suspension::resolved_sevenths;
use super::symbol_runs::SymbolRuns;

/// What a chord's neighbours and the key of its region say about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct HarmonicContext {
    /// Where it goes.
    pub resolution: Resolution,
    /// Whether it is the tonic of its region, in the region's mode.
    pub tonic: bool,
    /// Whether it is the I7 or IV7 of a blues, over which a minor third in the melody is idiom.
    pub blues: bool,
    /// The scale it belongs to, which says what colours it takes.
    pub scale: Scale,
    /// The line on one root that the chord is part of, where its neighbours spell one; all the tones of a
    /// triad that takes no colour for the sake of its neighbours.
    pub line: Option<LineTone>,
    /// Whether it is a dominant that resolves the suspended seventh chord on its own root: the 4 falls to the 3,
    /// and the rest may stay.
    pub after_suspension: bool,
    /// The names that the region's key and the melody over the chord have for notes.
    pub names: KeyNames,
}

/// The context of `chord` in a region of this key, before the next *different* chord.
///
/// Without a region, only a dominant's way on is known: its scale follows from what it resolves to.
///
/// ```
/// use compline::chord::Chord;
/// use compline::harmony::{Resolution, Scale, context};
///
/// let chord = |text| Chord::read(text).unwrap();
/// let in_c = "C".parse().ok();
/// let of_two = context(&chord("A7"), in_c, Some(&chord("Dm7")));
/// assert_eq!(of_two.resolution, Resolution::FifthIntoMinor);
/// assert_eq!(of_two.scale, Scale::MixolydianFlat13);
/// assert_eq!(context(&chord("Em7"), in_c, None).scale, Scale::Phrygian);
/// assert!(context(&chord("Cmaj7"), in_c, None).tonic);
/// ```
pub fn context(chord: &Chord, region: Option<Key>, next: Option<&Chord>) -> HarmonicContext {
    let kind = RootAndKind::of(chord);
    let next_kind = next.map(RootAndKind::of);
    let resolution = Resolution::between(kind, next_kind);
    let Some(local_key) = region.map(LocalKey::of) else {
        return HarmonicContext {
            resolution,
            tonic: false,
            blues: false,
            scale: lone_scale(chord, kind, resolution),
            line: None,
            after_suspension: false,
            names: KeyNames::NONE,
        };
    };
    let situation = Situation {
        chord: kind,
        local_key,
        next: next_kind,
    };
    let role = situation.role();
    HarmonicContext {
        resolution,
        tonic: local_key.is_tonic(kind),
        blues: is_blues(role),
        scale: scale(chord, next, &situation, role),
        line: None,
        after_suspension: false,
        names: region.map_or(KeyNames::NONE, KeyNames::of),
    }
}

/// The contexts of a row of slots (`None`: no chord) in their regions, each before its next different
/// chord. With `looped`, the last chord goes on to the first.
///
/// Repeats of a symbol and slots without a chord are looked through. So are chords on the same root
/// when a dominant looks ahead: G7sus G7 C resolves from the first.
pub fn contexts(
    slots: &[Option<&Chord>],
    regions: &[Option<Key>],
    looped: bool,
) -> Vec<HarmonicContext> {
    let regions = regions.iter().copied().chain(std::iter::repeat(None));
    let placed = slots.iter().zip(nexts(slots, looped)).zip(regions);
    let placed = placed.map(|((slot, next), region)| {
        slot.map_or_else(HarmonicContext::default, |c| context(c, region, next))
    });
    let runs = SymbolRuns::of(slots);
    let lines = lines_of_runs(&runs.chords).into_iter();
    let lines = lines.zip(plain_triads(&runs.chords));
    let lines: Vec<Option<LineTone>> = lines.map(|(line, plain)| line.or(plain)).collect();
    let lines = runs.each_slot(&lines).into_iter();
    let beside = lines.zip(runs.each_slot(&resolved_sevenths(&runs.chords)));
    placed
        .zip(beside)
        .map(|(context, (line, after_suspension))| HarmonicContext {
            line: line.flatten(),
            after_suspension: after_suspension.unwrap_or(false),
            ..context
        })
        .collect()
}

/// The scale of a chord without a key.
fn lone_scale(chord: &Chord, kind: RootAndKind, resolution: Resolution) -> Scale {
    if !kind.is_dominant() || chord.family() == Family::Suspended {
        return Scale::Usual;
    }
    match resolution {
        Resolution::FifthIntoMajor => Scale::Mixolydian,
        Resolution::FifthIntoMinor => Scale::HarmonicMinorFifth,
        Resolution::HalfStepDown => Scale::LydianDominant,
        Resolution::Elsewhere => Scale::Usual,
    }
}

fn scale(chord: &Chord, next: Option<&Chord>, situation: &Situation, role: Role) -> Scale {
    let minor_key = situation.local_key.minor;
    match (situation.chord.kind, situation.degree()) {
        (ChordKind::Dominant, _) if chord.family() == Family::Suspended => suspended(situation),
        (ChordKind::Dominant, _) => dominant(situation, role),
        (ChordKind::Triad, _) if role.function == Function::SecondaryDominant => {
            dominant(situation, role)
        }
        (ChordKind::Triad, 7) if minor_key => dominant(situation, role),
        (ChordKind::Triad | ChordKind::Major | ChordKind::MajorSeventh, degree) => {
            major(minor_key, degree, role)
        }
        (ChordKind::Minor, _) if is_two_of_a_thirteenth(next, role) => Scale::Dorian,
        (ChordKind::Minor, degree) => minor(chord, minor_key, degree, role),
        (ChordKind::HalfDiminished, _) => Scale::Locrian,
        _ => Scale::Usual,
    }
}

/// A suspended dominant takes the colour of a minor key where it is that key's V.
fn suspended(situation: &Situation) -> Scale {
    let of_minor = situation.local_key.minor && situation.degree() == 7;
    match of_minor && situation.resolution() != Resolution::FifthIntoMajor {
        true => Scale::SuspendedPhrygian,
        false => Scale::SuspendedMixolydian,
    }
}

/// The secondary dominants are the Berklee HARM 121 sheet's, 2008, whose rule is that tensions are
/// notes of the key. By that rule V7/V of a minor key takes b9, #9 and b13 although it goes to a
/// major third, and V7/iv in minor, which is V7/ii of the relative major, takes what that takes. A
/// secondary dominant that does not resolve keeps the colour of its expected goal.
fn dominant(situation: &Situation, role: Role) -> Scale {
    let minor_key = situation.local_key.minor;
    let way = situation.resolution();
    match (role.function, role.goal) {
        (Function::Dominant, _) => match (minor_key, way) {
            (true, Resolution::FifthIntoMajor) if !situation.next_is_dominant() => {
                Scale::Mixolydian
            }
            (true, _) | (false, Resolution::FifthIntoMinor) => Scale::HarmonicMinorFifth,
            (false, _) => Scale::Mixolydian,
        },
        (Function::SecondaryDominant | Function::ExtendedDominant, Some(goal)) => {
            let into_minor = match way {
                Resolution::FifthIntoMinor => true,
                Resolution::FifthIntoMajor => minor_key && goal == 7,
                _ if minor_key => matches!(goal, 5 | 7),
                _ => matches!(goal, 2 | 4 | 9),
            };
            match (into_minor, minor_key, goal) {
                (true, false, 2) | (true, true, 5) => Scale::MixolydianFlat13,
                (true, _, _) => Scale::PhrygianDominant,
                (false, _, _) => Scale::Mixolydian,
            }
        }
        (Function::TritoneSubstitute | Function::Backdoor | Function::Borrowed, _) => {
            Scale::LydianDominant
        }
        _ => Scale::Mixolydian,
    }
}

/// Major chords, borrowed ones by the scale they are borrowed from: bVI and bII are Lydian (from
/// memory, Nettles & Graf).
fn major(minor_key: bool, degree: u8, role: Role) -> Scale {
    match (minor_key, degree) {
        (false, 5) | (_, 1 | 8) => Scale::Lydian,
        _ if role.function == Function::Chromatic => Scale::Usual,
        _ => Scale::Ionian,
    }
}

/// Whether the chord is the ii of a dominant that names its 13. That is this chord's 9, which is held
/// from the ii to the V (G. Lui, "Left Hand Four Note Voicings"), whatever the key.
fn is_two_of_a_thirteenth(next: Option<&Chord>, role: Role) -> bool {
    let names = |next: &Chord| next.tones().iter().any(|t| t.degree == Degree::THIRTEENTH);
    role.function == Function::RelatedTwo && next.is_some_and(names)
}

/// Minor chords. A minor key is read like its relative major: i as vi, iv as ii, v as iii. A ii of
/// another dominant is Dorian unless it is the key's iii, whose 9 is foreign to the key
/// (Nettles, *Harmony 3*, p. 17, as quoted: tensions are diatonic).
fn minor(chord: &Chord, minor_key: bool, degree: u8, role: Role) -> Scale {
    let flat_seventh = chord.seventh().is_some_and(|seventh| seventh.class() == 10);
    let related = role.function == Function::RelatedTwo;
    match (minor_key, degree) {
        _ if chord.seventh().is_some() && !flat_seventh => Scale::MelodicMinor,
        (true, 0) if !flat_seventh => Scale::MelodicMinor,
        (false, 4) => Scale::Phrygian,
        (true, 7) if !related => Scale::Phrygian,
        (false, 9) | (true, 0) => Scale::Aeolian,
        _ => Scale::Dorian,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the chords before say is not known of a chord alone.
    #[test]
    fn a_chord_alone_follows_no_suspension_and_is_in_no_line() {
        for symbol in ["C", "Dm7", "G7", "Gsus", "Bm7b5", "F6"] {
            let chord = Chord::read(symbol).unwrap();
            for region in [None, "C".parse().ok(), "Am".parse().ok()] {
                let context = context(&chord, region, None);
                assert!(
                    !context.after_suspension && context.line.is_none(),
                    "{symbol}"
                );
            }
        }
    }
}
