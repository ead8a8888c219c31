//! A bare triad beside a chord over the triad's own root (G and A/G) begins or ends a pedal: the bass stays,
//! triads move over it, and this one takes no colour (common practice, no source).

use crate::chord::Chord;
use crate::pitch::Degree;

use super::lines::LineTone;

/// For each slot, in played order, the tones of a bare triad that begins or ends a pedal; `None` for most.
///
/// Repeats of a symbol and slots without a chord are looked through.
pub(crate) fn pedals(slots: &[Option<&Chord>]) -> Vec<Option<LineTone>> {
    let sounding = slots.iter().enumerate();
    let sounding = sounding.filter_map(|(slot, chord)| Some((slot, (*chord)?)));
    let sounding: Vec<(usize, &Chord)> = sounding.collect();
    let runs: Vec<&[(usize, &Chord)]> = sounding
        .chunk_by(|(_, one), (_, other)| one.symbol() == other.symbol())
        .collect();
    let chord = |at: usize| runs.get(at).and_then(|run| run.first()).map(|(_, c)| *c);
    let mut found = vec![None; slots.len()];
    for (at, run) in runs.iter().enumerate() {
        let here = chord(at).and_then(|chord| Some((chord, bare_triad(chord)?)));
        let beside = [at.checked_sub(1), Some(at + 1)].into_iter().flatten();
        let mut beside = beside.filter_map(chord);
        let triad = here.filter(|(triad, _)| beside.any(|one| stands_over(one, triad)));
        for (slot, _) in run.iter().filter(|_| triad.is_some()) {
            if let Some(found) = found.get_mut(*slot) {
                *found = triad.map(|(_, tones)| tones);
            }
        }
    }
    found
}

/// The tones of a triad with nothing else, over its own root.
fn bare_triad(chord: &Chord) -> Option<LineTone> {
    let third = chord.third().filter(|third| third.number() == 3)?;
    let bare = chord.tones().len() == 3 && chord.fifth() == Some(Degree::FIFTH);
    (bare && chord.lowest().class() == chord.root().class()).then_some(LineTone {
        moves: Degree::FIFTH,
        stays: [Degree::ROOT, third],
    })
}

/// Whether a chord on another root has the root of `below` for its bass.
fn stands_over(chord: &Chord, below: &Chord) -> bool {
    let root = below.root().class();
    chord.root().class() != root && chord.lowest().class() == root
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pitch::{Interval, Name};

    #[test]
    fn a_bare_triad_beside_a_chord_over_its_root_stays_one() {
        let from: Name = "G".parse().unwrap();
        for root in [
            "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
        ] {
            let by = Interval::between(from, root.parse().unwrap());
            for (row, plain) in [
                ("G A/G", "x-"),
                ("G G A/G D", "xx--"),
                ("F/G G C", "-x-"),
                ("G Am7/G Gm", "x-x"),
                ("Gmaj7 A/G", "--"),
                ("G D/F# Em", "---"),
                ("G A/C# D", "---"),
                ("G G/D", "--"),
            ] {
                let read = |text| Chord::read(text).unwrap().transposed(by).unwrap();
                let chords: Vec<Chord> = row.split(' ').map(read).collect();
                let row_of: Vec<Option<&Chord>> = chords.iter().map(Some).collect();
                let found = pedals(&row_of).into_iter();
                let told: String = found.map(|l| l.map_or('-', |_| 'x')).collect();
                assert_eq!(told, plain, "{row} on {root}");
            }
        }
    }
}
