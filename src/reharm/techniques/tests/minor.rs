//! The techniques in minor keys: what they make there, and what they leave alone.

use std::ops::Range;

use super::stage::{Stage, TONICS, made};
use crate::chord::Chord;
use crate::harmony::Passage;
use crate::pitch::Name;
use crate::reharm::proposals_at;
use crate::reharm::techniques::named;

/// That a technique makes `after` of `before`, in C minor and in all other minor keys.
fn becomes(technique: &str, before: &str, after: &str) {
    for tonic in TONICS {
        made("Cm", technique, before, &[after], tonic).unwrap();
    }
}

#[test]
fn every_pair_of_the_minor_key_with_three_tones_in_common() {
    for (one, other) in [
        ("Cm7", "Ebmaj7"),
        ("Cm7", "Abmaj7"),
        ("Dm7b5", "Fm7"),
        ("Fm7", "Abmaj7"),
        ("G7", "Bdim7"),
    ] {
        becomes("diatonic", &format!("| {one} |"), &format!("| {other} |"));
        becomes("diatonic", &format!("| {other} |"), &format!("| {one} |"));
    }
}

#[test]
fn what_the_minor_key_is_taught_in_a_line_each() {
    for (technique, before, after) in [
        ("borrowed", "| Dm7b5 | G7 |", "| Dm7 | G7 |"),
        ("borrowed", "| Fm7 | Cm |", "| F7 | Cm |"),
        ("borrowed", "| F7 | Cm |", "| Fmaj7 | Cm |"),
        ("borrowed", "| G7 | Cm |", "| Dbmaj7 | Cm |"),
        ("borrowed", "| G7 | Cm |", "| G7 | Cmaj7 |"),
        ("minor-plagal", "| F7 | Cm |", "| F7 Fm6 | Cm |"),
        (
            "thirds-cycle",
            "| Dm7b5 | G7 | Cm6 | Cm6 |",
            "| Dm7b5 Eb7 | Abmaj7 B7 | Emaj7 G7 | Cm6 |",
        ),
        (
            "displacement",
            "| Dm7b5 | G7 | Cm |",
            "| Dm7b5 | G7 | G7 Cm |",
        ),
        (
            "displacement",
            "| Dm7b5 | G7 | Cm |",
            "| Dm7b5 G7 | G7 | Cm |",
        ),
        ("hybrid", "| Dm7b5 | G7b9 | Cm |", "| Dm7b5 | Ab/G | Cm |"),
        ("hybrid", "| Cm(maj7) |", "| G/C |"),
        ("hybrid", "| Cm7 | Abmaj7 |", "| Bb/C | Abmaj7 |"),
        (
            "line-cliche",
            "| Cm | Cm | G7 |",
            "| Cm Cm(b6) | Cm6 Cm7 | G7 |",
        ),
        (
            "line-cliche",
            "| Cm | Cm | G7 |",
            "| Cm Cm(b6) | Cm6 Cm(b6) | G7 |",
        ),
        (
            "bass-line",
            "| Cm | Cm | D7 |",
            "| Cm Cm/B | Cm/Bb Cm/A | D7 |",
        ),
        ("bass-line", "| Cm | G7 |", "| Cm / Cm/Bb Fm/Ab | G7 |"),
        ("bass-line", "| Cm | Fm |", "| Cm / Dm7b5 Cm/Eb | Fm |"),
        ("bass-line", "| Fm | Cm |", "| Fm / Cm/Eb Dm7b5 | Cm |"),
        (
            "descending-bass",
            "| Cm | Cm | G7 |",
            "| Cm G/B | Cm/Bb F/A | G7 |",
        ),
        (
            "descending-bass",
            "| Cm | Abmaj7 | Fm7 | Dm7b5 |",
            "| Cm Gm/Bb | Abmaj7 Cm/G | Fm7 Cm/Eb | Dm7b5 |",
        ),
        ("pedal", "| Dm7b5 | G7 | Cm |", "| Dm7b5/G | G7 | Cm |"),
        (
            "two-five-chain",
            "| Cm | Cm | Fm7 |",
            "| Cm | Gm7b5 C7 | Fm7 |",
        ),
        (
            "two-five-chain",
            "| Cm | Cm | Abmaj7 |",
            "| Cm | Bbm7 Eb7 | Abmaj7 |",
        ),
        (
            "resting-turnaround",
            "| G7 | Cm | G7 |",
            "| G7 | Cm / Am7b5 D7 | G7 |",
        ),
        (
            "resting-turnaround",
            "| G7 | Cm | Fm7 |",
            "| G7 | Cm / Gm7b5 C7 | Fm7 |",
        ),
        (
            "bass-line",
            "| Am7b5 | Dm7b5 | G7 | Cm |",
            "| Eb7 | Dm7b5 | Db7 | Cm |",
        ),
    ] {
        becomes(technique, before, after);
    }
}

#[test]
fn the_turnarounds_of_a_minor_key() {
    for after in [
        "| Cm Am7b5 | Dm7b5 G7 | Cm6 |",
        "| Cm Abmaj7 | Dm7b5 G7 | Cm6 |",
        "| Cm Bb7 | Abmaj7 G7 | Cm6 |",
        "| Cm Ebmaj7 | Abmaj7 Db7 | Cm6 |",
    ] {
        becomes("turnaround", "| Cm | Cm | Cm6 |", after);
        becomes("turnaround", "| Cm | Dm7b5 G7 | Cm6 |", after);
    }
    let alone = |rows| Stage::new("Cm", rows).by("turnaround").is_empty();
    assert!(alone("| Cm | Cm | Fm |") && alone("| C7 | C7 | C7 |"));
}

const PARALLEL: &str = "| Am7b5 | Dm7b5 | G7 | Cm |\nmel | G4:4 | Bb4:4 | F4:4 | Eb4:4 |";

/// Over each of the chords that move the melody is what the idea calls it.
#[test]
fn what_moves_in_parallel_lies_under_the_degree_of_its_name() {
    let in_major = PARALLEL.replace("| Cm |", "| C |").replace("Eb4", "E4");
    for (key, rows, degrees) in [
        (
            "C",
            in_major.as_str(),
            &[("7", 11), ("9", 2), ("5", 7), ("3", 4)][..],
        ),
        (
            "Cm",
            PARALLEL,
            &[("9", 2), ("11", 5), ("b7", 10), ("5", 7), ("b3", 3)],
        ),
    ] {
        let stage = Stage::new(key, rows);
        let spots = stage.spots();
        let passage = Passage {
            spots: &spots,
            next: None,
        };
        let ideas = (named("constant-structure").unwrap().find)(&passage, 0);
        assert_eq!(ideas.len(), degrees.len(), "{key}");
        for (idea, (name, above)) in ideas.iter().zip(degrees) {
            assert!(
                idea.reason.contains(&format!("on its {name},")),
                "{}",
                idea.reason
            );
            for (wanted, sung) in idea.chords.iter().zip(["G", "Bb", "F"]) {
                let (root, _) = Name::split(&wanted.plainest()).unwrap();
                let sung: Name = sung.parse().unwrap();
                assert_eq!(root.class().up_to(sung.class()).0, *above, "{key} {name}");
            }
        }
    }
}

#[test]
fn minor_sevenths_move_in_parallel_to_a_minor_tonic() {
    becomes("constant-structure", PARALLEL, "| Fm7 | Abm7 | Ebm7 | Cm |");
    becomes("constant-structure", PARALLEL, "| Cm7 | Ebm7 | Bbm7 | Cm |");
    let major = Stage::new("Cm", PARALLEL).outcomes("constant-structure");
    assert!(major.iter().all(|one| !one.contains("maj7")), "{major:?}");
}

/// A melody that refuses what the same chords without it, or under a held note that is welcome, become.
const REFUSED: [(&str, &str, &str, &str); 14] = [
    (
        "diatonic",
        "| Cm7 | Fm7 |",
        "A4:4 | C5:4",
        "| Abmaj7 | Fm7 |",
    ),
    ("diatonic", "| G7 | Cm |", "Eb5:4 | C5:4", "| Bdim7 | Cm |"),
    ("borrowed", "| Dm7b5 | G7 |", "Ab4:4 | G4:4", "| Dm7 | G7 |"),
    ("borrowed", "| Fm7 | Cm |", "Ab4:4 | G4:4", "| F7 | Cm |"),
    ("borrowed", "| G7 | Cm |", "G4:4 | Eb4:4", "| G7 | Cmaj7 |"),
    (
        "minor-plagal",
        "| F7 | Cm |",
        "C5:2 A4:2 | G4:4",
        "| F7 Fm6 | Cm |",
    ),
    (
        "turnaround",
        "| Cm | Cm | Cm6 |",
        "C5:2 E5:2 | F5:4 | Eb5:4",
        "| Cm Abmaj7 | Dm7b5 G7 | Cm6 |",
    ),
    (
        "thirds-cycle",
        "| Dm7b5 | G7 | Cm | Cm |",
        "F4:4 | G4:2 Bb4:2 | Eb4:4 | C4:4",
        "| Dm7b5 Eb7 | Abmaj7 B7 | Emaj7 G7 | Cm |",
    ),
    ("hybrid", "| G7 | Cm |", "B4:4 | C5:4", "| Ab/G | Cm |"),
    (
        "hybrid",
        "| Cm7 | Abmaj7 |",
        "Eb4:4 | C5:4",
        "| Bb/C | Abmaj7 |",
    ),
    (
        "displacement",
        "| G7 | Cm |",
        "B4:4 | C5:4",
        "| G7 | G7 Cm |",
    ),
    (
        "displacement",
        "| G7 | Cm7 |",
        "B4:4 | C5:4",
        "| G7 Cm7 | Cm7 |",
    ),
    (
        "line-cliche",
        "| Cm | Cm | G7 |",
        "C5:2 Ab4:2 | G4:4 | B4:4",
        "| Cm Cm(b6) | Cm6 Cm7 | G7 |",
    ),
    (
        "bass-line",
        "| Cm | Cm | D7 |",
        "G4:2 C5:2 | Eb5:4 | D5:4",
        "| Cm Cm/B | Cm/Bb Cm/A | D7 |",
    ),
];

#[test]
fn a_melody_refuses_them_in_minor_too() {
    for (technique, chords, melody, after) in REFUSED {
        for tonic in TONICS {
            made("Cm", technique, chords, &[after], tonic).unwrap();
            let sung = format!("{chords}\nmel | {melody} |");
            let refused = made("Cm", technique, &sung, &[after], tonic);
            assert!(refused.is_err(), "{technique} in {tonic}: {melody}");
        }
    }
}

#[test]
fn the_major_tonic_closes_the_tune_and_nothing_else() {
    let closes = |rows: &str, next: Option<&str>| {
        let stage = Stage::new("Cm", rows);
        let (spots, next) = (stage.spots(), next.map(|next| Chord::read(next).unwrap()));
        let passage = Passage {
            spots: &spots,
            next: next.as_ref(),
        };
        let borrowed = named("borrowed").unwrap();
        let found = (0..spots.len()).flat_map(|at| proposals_at(borrowed, &passage, at));
        let major = found.filter(|found| found.chords[0].chord.symbol() == "Cmaj7");
        major.map(|found| found.spots).collect::<Vec<_>>()
    };
    assert_eq!(
        closes("| Cm | G7 | Cm |", None),
        [Range { start: 2, end: 3 }]
    );
    // Where the tune goes round, or the tonic is only coloured, it has not come to its end.
    assert!(closes("| Cm | G7 | Cm |", Some("Fm7")).is_empty());
    assert!(
        closes("| Cm | G7 | Cm | Cm6 |", None)
            .iter()
            .all(|spots| spots.end == 4)
    );
}

#[test]
fn what_is_taught_in_major_only_is_left_alone_in_minor() {
    // iv7 bVII7 is the ii-V of the relative major there, and i after it a deceptive cadence.
    for rows in ["| Dm7b5 | G7 | Cm |", "| Fm7 | G7 | Cm |"] {
        assert!(Stage::new("Cm", rows).by("backdoor").is_empty());
    }
    for (technique, rows) in [
        ("diatonic", "| Fm7 | Bb7 |"),
        ("borrowed", "| Fm7 | Bb7 |"),
        ("borrowed", "| Cm | Abmaj7 |"),
        ("minor-plagal", "| Fm7 | Cm |"),
        ("auxiliary-diminished", "| C7 | Fm7 |"),
        ("thirds-cycle", "| Dm7b5 | G7 | Cm | Fm |"),
        ("bass-line", "| Cm | Bb7 |"),
    ] {
        let found = Stage::new("Cm", rows).by(technique);
        let first: Vec<_> = found.iter().filter(|p| p.spots.start == 0).collect();
        assert!(first.is_empty(), "{technique}: {first:?}");
    }
    // The tonic after its V gives way in a deceptive cadence only.
    let arrived = Stage::new("Cm", "| G7 | Cm |").by("diatonic");
    assert!(arrived.iter().all(|proposal| proposal.spots.start == 0));
}
