//! A bare triad beside a suspended triad on its own root (Dsus4 and D): the 4 falls to the 3, or rises from
//! it, and nothing else moves (common practice, no source).

use crate::chord::{Chord, Family};

use super::beside::beside;

/// Whether the triad at a place in a row of chords resolves or prepares a suspension.
pub(super) fn is_at_suspension(chords: &[&Chord], at: usize) -> bool {
    let triad = chords.get(at);
    triad.is_some_and(|triad| beside(chords, at).any(|one| suspends(one, triad)))
}

/// Whether the chord at a place in a row of chords resolves a suspension.
pub(super) fn ends_suspension(chords: &[&Chord], at: usize) -> bool {
    let before = at.checked_sub(1).and_then(|before| chords.get(before));
    let pair = before.zip(chords.get(at));
    pair.is_some_and(|(before, chord)| suspends(before, chord))
}

/// For each chord of a row without repeats, in played order, whether it is a dominant that resolves the suspended
/// seventh chord on its own root (D7sus4 D7).
pub(crate) fn resolved_sevenths(chords: &[&Chord]) -> Vec<bool> {
    let first = chords.first().map(|_| false);
    let later = chords.iter().zip(chords.iter().skip(1));
    let resolved = later.map(|(before, chord)| suspends_seventh(before, chord));
    first.into_iter().chain(resolved).collect()
}

/// Whether a chord resolves the suspended one before it: it stands on its root, with a third.
pub(crate) fn resolves(before: &Chord, chord: &Chord) -> bool {
    let same_root = before.root().class() == chord.root().class();
    same_root && before.family() == Family::Suspended && chord.third().is_some()
}

/// Whether a chord is the dominant after it with a 4 for its third.
fn suspends_seventh(chord: &Chord, dominant: &Chord) -> bool {
    let seventh = chord.seventh().is_some_and(|seventh| seventh.class() == 10);
    seventh && dominant.family() == Family::Dominant && resolves(chord, dominant)
}

/// Whether a chord is another with a 4 or a 2 for its third.
fn suspends(chord: &Chord, triad: &Chord) -> bool {
    let bare = chord.family() == Family::Suspended && chord.tones().len() == 3;
    bare && chord.lowest().class() == triad.root().class()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::harmony::symbol_runs::SymbolRuns;

    #[test]
    fn a_dominant_resolves_the_suspended_seventh_chord_on_its_own_root() {
        for (row, resolves) in [
            ("D7sus4 D7 G", "-x-"),
            ("D9sus % D7 % D13", "--xx-"),
            ("D7sus4 - D7", "--x"),
            ("A7sus4 D7", "--"),
            ("Dsus4 D7", "--"),
            ("D7 D7sus4 Dm7", "---"),
        ] {
            let mut chords: Vec<Option<Chord>> = Vec::new();
            for word in row.split(' ') {
                let chord = match word {
                    "%" => chords.last().cloned().flatten(),
                    "-" => None,
                    symbol => Some(Chord::read(symbol).unwrap()),
                };
                chords.push(chord);
            }
            let slots: Vec<Option<&Chord>> = chords.iter().map(Option::as_ref).collect();
            let runs = SymbolRuns::of(&slots);
            let found = runs.each_slot(&resolved_sevenths(&runs.chords)).into_iter();
            let told: String = found
                .map(|found| if found == Some(true) { 'x' } else { '-' })
                .collect();
            assert_eq!(told, resolves, "{row}");
        }
    }
}
