//! The local look at where a chord comes from and where it goes.
//!
//! Only the neighbours and the key are looked at, no function is named. A ii-V needs no special
//! case: the V is judged by the root that follows it, as every dominant is.

use crate::chord::{Chord, Family};
use crate::pitch::{Key, Mode};

/// How a chord moves on to the next one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Resolution {
    /// Down a fifth to a chord with a major third, another dominant included: V7/IV and V7/V take 9
    /// and 13 (Berklee HARM 121 sheet, 2008).
    FifthIntoMajor,
    /// Down a fifth to a chord with a minor third: V7/iii and V7/vi take b9, #9 and b13, and many
    /// players treat V7/ii the same (same sheet).
    FifthIntoMinor,
    /// Down a half step, as a tritone substitute does: 9, #11, 13 (from memory, Nettles & Graf).
    HalfStepDown,
    /// Any other way, or nowhere.
    #[default]
    Elsewhere,
}

/// A chord's place among its neighbours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Place {
    /// Where it goes.
    pub resolution: Resolution,
    /// Whether it is a point of rest: the key's tonic, or the goal of its own dominant.
    pub tonic: bool,
}

/// The place of `chord` between the chord before it and the chord after it.
///
/// The neighbours are the previous and next *different* chords; [`places`] finds them in a row.
/// A chord is a tonic when it stands on the key's tonic in the key's mode, or when its own V7 comes
/// just before it and it does not go on as the ii of a ii-V.
///
/// ```
/// use compline::chord::Chord;
/// use compline::harmony::{Resolution, place};
///
/// let chord = |text| Chord::read(text).unwrap();
/// let (ii, v, i) = (chord("Dm7b5"), chord("G7"), chord("Cm"));
/// assert_eq!(place(Some(&ii), &v, Some(&i), None).resolution, Resolution::FifthIntoMinor);
/// assert!(place(Some(&v), &i, None, None).tonic);
/// ```
pub fn place(prev: Option<&Chord>, chord: &Chord, next: Option<&Chord>, key: Option<Key>) -> Place {
    Place {
        resolution: next.map_or(Resolution::Elsewhere, |next| resolution(chord, next)),
        tonic: is_tonic_of(chord, key) || is_goal(prev, chord, next),
    }
}

/// The places of a row of slots (`None`: no chord), each between its different neighbours.
///
/// Repeats of a symbol and bars without a chord are looked through. So are chords on the same root
/// when a dominant looks ahead: G7sus G7 C resolves from the first. With `looped`, the last chord
/// goes on to the first.
pub fn places(slots: &[Option<&Chord>], key: Option<Key>, looped: bool) -> Vec<Place> {
    let chords: Vec<&Chord> = slots.iter().copied().flatten().collect();
    // A loop is the tune played twice: the second time round knows what comes before each chord, the
    // first time what comes after.
    let (played, second) = match looped {
        true => (chords.repeat(2), chords.len()),
        false => (chords.clone(), 0),
    };
    let prev = before(&played).into_iter().skip(second);
    let next = after(&played);
    let mut placed = chords
        .iter()
        .zip(prev.zip(next))
        .map(|(chord, (prev, next))| place(prev, chord, next, key));
    slots
        .iter()
        .map(|slot| slot.and_then(|_| placed.next()).unwrap_or_default())
        .collect()
}

/// For each chord the nearest earlier one with another symbol.
fn before<'a>(chords: &[&'a Chord]) -> Vec<Option<&'a Chord>> {
    let mut other = None;
    let mut earlier: Option<&Chord> = None;
    let mut row = Vec::with_capacity(chords.len());
    for chord in chords {
        if earlier.is_some_and(|earlier| earlier.symbol() != chord.symbol()) {
            other = earlier;
        }
        earlier = Some(chord);
        row.push(other);
    }
    row
}

/// For each chord the nearest later one with another symbol or, for a dominant, on another root.
fn after<'a>(chords: &[&'a Chord]) -> Vec<Option<&'a Chord>> {
    let (mut other_root, mut other) = (None, None);
    let mut later: Option<&Chord> = None;
    let mut row = vec![None; chords.len()];
    for (slot, chord) in row.iter_mut().zip(chords).rev() {
        if later.is_some_and(|later| later.root() != chord.root()) {
            other_root = later;
        }
        if later.is_some_and(|later| later.symbol() != chord.symbol()) {
            other = later;
        }
        later = Some(chord);
        *slot = match is_dominant(chord) {
            true => other_root,
            false => other,
        };
    }
    row
}

fn resolution(chord: &Chord, next: &Chord) -> Resolution {
    let up = chord.root().class().up_to(next.root().class()).0;
    match up {
        5 if has_minor_third(next) => Resolution::FifthIntoMinor,
        5 => Resolution::FifthIntoMajor,
        11 => Resolution::HalfStepDown,
        _ => Resolution::Elsewhere,
    }
}

fn has_minor_third(chord: &Chord) -> bool {
    chord.third().is_some_and(|third| third.class() == 3)
}

fn is_dominant(chord: &Chord) -> bool {
    let seventh = chord.seventh().is_some_and(|seventh| seventh.class() == 10);
    seventh && !has_minor_third(chord)
}

fn is_tonic_of(chord: &Chord, key: Option<Key>) -> bool {
    key.is_some_and(|key| {
        let minor = has_minor_third(chord);
        key.tonic().class() == chord.root().class()
            && minor == (key.mode() == Mode::Minor)
            && !is_dominant(chord)
    })
}

fn is_goal(prev: Option<&Chord>, chord: &Chord, next: Option<&Chord>) -> bool {
    let rests = matches!(chord.family(), Family::Major | Family::Minor);
    let falls = |from: &Chord, to: &Chord| from.root().class().up_to(to.root().class()).0 == 5;
    let own_fifth = prev.is_some_and(|prev| is_dominant(prev) && falls(prev, chord));
    let goes_on = next.is_some_and(|next| is_dominant(next) && falls(chord, next));
    rests && own_fifth && !goes_on
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(symbols: &str, key: &str, looped: bool) -> Vec<Place> {
        let chords: Vec<Option<Chord>> = symbols
            .split_whitespace()
            .map(|text| (text != "-").then(|| Chord::read(text).unwrap()))
            .collect();
        let slots: Vec<_> = chords.iter().map(Option::as_ref).collect();
        places(&slots, key.parse().ok(), looped)
    }

    fn goes(symbols: &str) -> Vec<Resolution> {
        row(symbols, "", false)
            .iter()
            .map(|p| p.resolution)
            .collect()
    }

    #[test]
    fn a_dominant_is_judged_by_the_third_it_resolves_to() {
        use Resolution::{Elsewhere, FifthIntoMajor, FifthIntoMinor, HalfStepDown};
        assert_eq!(goes("G7 Cmaj7"), [FifthIntoMajor, Elsewhere]);
        assert_eq!(
            goes("G7 C7 F7"),
            [FifthIntoMajor, FifthIntoMajor, Elsewhere]
        );
        assert_eq!(
            goes("A7 Dm7 G7"),
            [FifthIntoMinor, FifthIntoMajor, Elsewhere]
        );
        assert_eq!(goes("E7 Am7b5")[0], FifthIntoMinor);
        assert_eq!(goes("Db7 Cmaj7")[0], HalfStepDown);
        assert_eq!(goes("Bb7 Cmaj7")[0], Elsewhere);
    }

    #[test]
    fn repeats_and_silence_are_looked_through() {
        use Resolution::FifthIntoMinor;
        assert_eq!(
            goes("G7 - G7 G7sus G7 Cm7")[..5]
                .iter()
                .filter(|r| **r == FifthIntoMinor)
                .count(),
            4
        );
        assert_eq!(goes("G7")[0], Resolution::Elsewhere);
    }

    #[test]
    fn a_loop_goes_on_to_the_top() {
        assert_eq!(
            row("Cm G7", "", true)[1].resolution,
            Resolution::FifthIntoMinor
        );
        assert_eq!(row("Cm G7", "", false)[1].resolution, Resolution::Elsewhere);
        assert_eq!(row("Cm Cm", "", true)[1].resolution, Resolution::Elsewhere);
    }

    #[test]
    fn a_minor_chord_rests_on_the_tonic_or_after_its_own_fifth() {
        let tonics = |symbols, key| -> Vec<bool> {
            row(symbols, key, false).iter().map(|p| p.tonic).collect()
        };
        assert_eq!(tonics("Cm Fm", "Cm"), [true, false]);
        assert_eq!(tonics("G7 Cm Ab7", ""), [false, true, false]);
        assert_eq!(tonics("G7 Cm F7", ""), [false, false, false]);
        assert_eq!(tonics("Am Dm", ""), [false, false]);
    }
}
