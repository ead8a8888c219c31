//! A bare triad that stays one, where it begins or ends a pedal, resolves or prepares a suspension on its
//! own root, or is part of a bass line that the symbols write, and in a tune written in triads; and a seventh
//! chord that resolves a suspension.
//!
//! A six-nine or a minor ninth is the colour of a chord that stands alone. Here the symbols beside it say
//! what moves, and a tone that is added would be heard as one more move (common practice, no source).

use crate::chord::{Chord, Family};
use crate::pitch::Degree;

use super::bass_line::is_in_bass_line;
use super::lines::LineTone;
use super::pedal::is_at_pedal;
use super::suspension::{ends_suspension, is_at_suspension};
use super::triad_tune::is_triad_tune;

/// For each chord of a row without repeats, in played order, its tones where it takes no colour for the sake
/// of its neighbours; `None` for most.
pub(crate) fn plain_triads(chords: &[&Chord]) -> Vec<Option<LineTone>> {
    let everywhere = is_triad_tune(chords);
    let each = 0..chords.len();
    each.map(|at| plain(chords, at, everywhere)).collect()
}

/// The tones of the chord at a place in a row, if it stays plain; `everywhere`: as every triad of the row does.
fn plain(chords: &[&Chord], at: usize, everywhere: bool) -> Option<LineTone> {
    let tones = bare(chords.get(at)?)?;
    let triad = tones.seventh.is_none();
    let stays = match triad {
        true => {
            everywhere
                || is_at_pedal(chords, at)
                || is_at_suspension(chords, at)
                || is_in_bass_line(chords, at)
        }
        false => ends_suspension(chords, at),
    };
    stays.then_some(tones)
}

/// The tones of a triad with nothing else, or with a b7 over a major third, over its own root.
fn bare(chord: &Chord) -> Option<LineTone> {
    let third = chord.third().filter(|third| third.number() == 3)?;
    let seventh = chord
        .seventh()
        .filter(|_| chord.family() == Family::Dominant);
    let tones = 3 + usize::from(seventh.is_some());
    let bare = chord.tones().len() == tones && chord.fifth() == Some(Degree::FIFTH);
    (bare && chord.lowest().class() == chord.root().class()).then_some(LineTone {
        moves: third,
        stays: [Degree::ROOT, Degree::FIFTH],
        seventh,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::harmony::symbol_runs::SymbolRuns;
    use crate::pitch::{Interval, Name};

    const ROOTS: [&str; 12] = [
        "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
    ];

    #[test]
    fn a_bare_triad_whose_neighbours_say_what_moves_stays_one() {
        let from: Name = "G".parse().unwrap();
        for root in ROOTS {
            let by = Interval::between(from, root.parse().unwrap());
            for (row, plain) in [
                // Beside a pedal.
                ("G A/G", "x-"),
                ("G G A/G D", "xx--"),
                ("F/G G C", "-x-"),
                ("G Am7/G Gm", "x-x"),
                ("Gmaj7 A/G", "--"),
                ("G A/C# D", "---"),
                ("G G/D", "--"),
                // Beside a suspension.
                ("C Gsus4 G C", "--x-"),
                ("G Gsus2 G", "x-x"),
                ("Gsus4 Gm", "-x"),
                ("Gsus4 G7 C", "-x-"),
                ("G7 Gsus4 G9", "---"),
                ("G7sus4 G7 C", "---"),
                ("Gsus4 Gmaj7", "--"),
                ("Dsus4 G", "--"),
                // In a bass line.
                ("Em Em/D# Em/D A7/C#", "x---"),
                ("G D/F# Em", "x-x"),
                ("C G/B Am7", "x--"),
                ("Am C/B C", "x-x"),
                ("Em B/D# D G", "x-x-"),
                // No line: two chords, a leap, no triad over another bass, or a line that turns.
                ("G D/F# C", "---"),
                ("G F Em", "---"),
                ("G D/A G", "---"),
                ("G D7/F# Em", "---"),
                // A tune written in triads, and two that are not.
                ("G C D/F# Am7 D G/B Em", "xx--x-x"),
                ("G Cadd9 Am7 D G Dsus2 Em A7", "x--xx-x-"),
                ("G C D/F# Am7 D Gmaj7 Em7 G/B", "--------"),
                ("G C Am7 D G Em D/F#", "-------"),
            ] {
                let read = |text| Chord::read(text).unwrap().transposed(by).unwrap();
                let chords: Vec<Chord> = row.split(' ').map(read).collect();
                let slots: Vec<Option<&Chord>> = chords.iter().map(Some).collect();
                let runs = SymbolRuns::of(&slots);
                let found = runs.each_slot(&plain_triads(&runs.chords)).into_iter();
                let told: String = found.map(|l| l.flatten().map_or('-', |_| 'x')).collect();
                assert_eq!(told, plain, "{row} on {root}");
            }
        }
    }
}
