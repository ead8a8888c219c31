//! The key of the region decides, and its end.

use super::stage::{Stage, bars};
use crate::harmony::Passage;
use crate::reharm::proposals_at;
use crate::reharm::techniques::named;

/// How many proposals a technique has where the spots from `from` on lie in another key.
fn across(technique: &str, rows: &str, from: usize, other: &str) -> usize {
    let stage = Stage::new("C", rows);
    let mut spots = stage.spots();
    for spot in spots.iter_mut().skip(from) {
        spot.key = Some(other.parse().unwrap());
    }
    let passage = Passage {
        spots: &spots,
        next: None,
    };
    proposals_at(named(technique).unwrap(), &passage, 0).len()
}

#[test]
fn a_cadence_that_leaves_its_key_is_left_alone() {
    for (technique, rows, found) in [
        ("thirds-cycle", "| Dm7 | G7 | Cmaj7 | Cmaj7 |", 1),
        ("turnaround", "| Cmaj7 | Cmaj7 | C6 |", 7),
        ("backdoor", "| Dm7 | G7 | Cmaj7 |", 1),
    ] {
        assert_eq!(across(technique, rows, 9, "G"), found, "{technique}");
        assert_eq!(across(technique, rows, 1, "G"), 0, "{technique}");
    }
}

/// The tonic that a row in parallel leads to may lie beyond the end of its region; what is replaced may not.
#[test]
fn a_row_in_parallel_lies_in_one_key_up_to_its_goal() {
    let rows = "| Am7 | Dm7 | G7 | Cmaj7 |\nmel | G4:4 | A4:4 | B4:4 | E4:4 |";
    let found = across("constant-structure", rows, 9, "G");
    assert!(found > 0);
    assert_eq!(across("constant-structure", rows, 3, "G"), found);
    for from in [1, 2] {
        assert_eq!(across("constant-structure", rows, from, "G"), 0);
    }
}

#[test]
fn a_minor_key_has_its_own_targets_and_names() {
    let dominants = |rows| Stage::new("Cm", rows).outcomes("secondary-dominant");
    assert_eq!(dominants("| Cm | Fm7 |")[0], bars("Cm", "| Cm C7 | Fm7 |"));
    assert_eq!(
        dominants("| Cm | Ebmaj7 |"),
        [bars("Cm", "| Cm Bb7 | Ebmaj7 |")]
    );
    assert!(dominants("| Cm | Em7 |").is_empty());
    let passing = Stage::new("Cm", "| Cm7 | Dm7b5 |").outcomes("passing-diminished");
    assert_eq!(passing, [bars("Cm", "| Cm7 C#dim7 | Dm7b5 |")]);
    let deceptive = Stage::new("Cm", "| G7 | Cm |").outcomes("deceptive");
    assert_eq!(deceptive, [bars("Cm", "| G7 | Abmaj7 |")]);
}

#[test]
fn the_chord_after_the_stretch_is_looked_at_and_not_replaced() {
    let stage = Stage::new("C", "| Dm7 | G7 | C |");
    let (spots, all) = (stage.spots(), stage.spots());
    let way = named("tritone").unwrap();
    let found = |next| {
        let passage = Passage {
            spots: &spots[..2],
            next,
        };
        proposals_at(way, &passage, 1)
    };
    assert_eq!(found(Some(all[2].chord)).len(), 1);
    assert!(found(None).is_empty());
    assert!(found(Some(all[0].chord)).is_empty());
}
