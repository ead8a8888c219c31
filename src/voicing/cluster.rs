//! Clusters: three neighbours within a major third, one of them a root, or an 11 that the symbol does not name.
//!
//! A root or an 11 stands where a usual tension would; between its neighbours it thickens the voicing and says
//! nothing (G3 A3 B3 D4 for Em7 is heard as Gadd9). The tensions that belong to a chord may lie as close, as in
//! B3 D4 E4 F#4 for Cmaj7#11 (common practice, no source).

use crate::chord::Chord;
use crate::pitch::Degree;

use super::Voicing;

/// How many semitones three notes of a cluster span at most.
const SPAN: i32 = 4;

/// Whether a voicing has a cluster.
pub(super) fn has_cluster(chord: &Chord, voicing: &Voicing) -> bool {
    has_cluster_of(voicing, |degree| degree == Degree::ROOT) || has_cluster_of_11(chord, voicing)
}

/// Whether a voicing has a cluster of an 11 that the symbol does not name.
pub(super) fn has_cluster_of_11(chord: &Chord, voicing: &Voicing) -> bool {
    let named = |degree| chord.named_beyond_frame().any(|named| named == degree);
    has_cluster_of(voicing, |degree| {
        degree == Degree::ELEVENTH && !named(degree)
    })
}

fn has_cluster_of(voicing: &Voicing, fills: impl Fn(Degree) -> bool) -> bool {
    voicing.notes.windows(3).any(|three| match three {
        [low, _, high] => {
            low.pitch.up_to(high.pitch).0 <= SPAN && three.iter().any(|note| fills(note.degree))
        }
        _ => false,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pitch::Note;
    use crate::voicing::read_given;

    #[test]
    fn a_root_or_an_added_eleventh_between_its_neighbours_makes_a_cluster() {
        for (symbol, notes, is_one) in [
            ("Em7", "G3 A3 B3 D4", true),
            ("Gm7", "F3 Bb3 C4 D4", true),
            ("Ebadd9", "Eb3 F3 G3 Bb3", true),
            ("Bb7", "D3 G3 Ab3 Bb3", true),
            ("Em7", "G3 B3 D4 E4", false),
            ("Gm11", "F3 A3 Bb3 C4", false),
            ("Cmaj7#11", "B3 D4 E4 F#4", false),
            ("Cadd9", "E3 G3 C4 D4", false),
        ] {
            let chord = Chord::read(symbol).unwrap();
            let notes: Vec<Note> = notes.split(' ').map(|note| note.parse().unwrap()).collect();
            let voicing = read_given(&chord, &notes).unwrap();
            assert_eq!(has_cluster(&chord, &voicing), is_one, "{symbol} {voicing}");
        }
    }
}
