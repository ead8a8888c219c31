//! The melody decides: the table of the tritone, and for each technique a melody that refuses it.

use super::stage::{Stage, TONICS, bars, sounds};
use crate::harmony::Fit;
use crate::reharm::techniques::{TECHNIQUES, named};

/// Each note held over G7: what it is there, what it is over Db7, and what then happens. The table
/// follows from the rule; the seven plain ones are the altered scale of G.
const TABLE: [(&str, &str, &str, Option<&str>); 12] = [
    ("G4", "1", "#11", Some("Db7")),
    ("Ab4", "b9", "5", Some("Db7")),
    ("A4", "9", "b13", Some("Db7b13")),
    ("Bb4", "#9", "13", Some("Db7")),
    ("B4", "3", "b7", Some("Db7")),
    ("C5", "11", "7", None),
    ("C#5", "#11", "1", Some("Db7")),
    ("D5", "5", "b9", Some("Db7b9")),
    ("Eb5", "b13", "9", Some("Db7")),
    ("E5", "13", "#9", Some("Db7#9")),
    ("F5", "b7", "3", Some("Db7")),
    ("F#5", "7", "11", None),
];

#[test]
fn what_every_note_becomes_over_the_tritone_substitute() {
    for (note, before, after, symbol) in TABLE {
        let rows = format!("| G7 | C |\nmel | {note}:4 | r:4 |");
        for tonic in TONICS {
            let stage = Stage::new("C", &rows).moved(tonic);
            let found = stage.by("tritone");
            let Some(symbol) = symbol else {
                assert!(found.is_empty(), "{note} in {tonic}");
                continue;
            };
            let wanted = Stage::new("C", &format!("| {symbol} | C |")).moved(tonic);
            let [proposal] = &found[..] else {
                panic!("{note} in {tonic}: {found:?}");
            };
            assert_eq!(stage.with(proposal), wanted.written(), "{note} in {tonic}");
            let sung = proposal.melody[0];
            assert_eq!(sung.before.to_string(), before, "{note}");
            assert_eq!(sung.after.to_string(), after, "{note}");
            let tone = matches!(after, "1" | "3" | "5" | "b7" | "b9" | "#9" | "b13");
            assert_eq!(sung.fit == Fit::ChordTone, tone, "{note}: {sung:?}");
        }
    }
}

/// For each technique its example's chords, or like ones, under a melody that refuses what the same
/// chords without a melody become.
const REFUSED: [(&str, &str, &str, &str); 30] = [
    (
        "tritone",
        "| Dm7 | G7 | C |",
        "r:4 | C5:4 | E4:4",
        "| Dm7 | Db7 | C |",
    ),
    ("related-ii", "| G7 | C |", "Eb5:4 | E4:4", "| Dm7 G7 | C |"),
    (
        "related-ii",
        "| Db7 | C |",
        "A4:4 | E4:4",
        "| Abm7 Db7 | C |",
    ),
    (
        "secondary-dominant",
        "| C6 | Dm7 |",
        "E4:2 D4:2 | D4:4",
        "| C6 A7 | Dm7 |",
    ),
    (
        "secondary-dominant",
        "| C6 | Fmaj7 |",
        "E4:2 Ab4:2 | A4:4",
        "| C6 C7 | Fmaj7 |",
    ),
    (
        "extended-dominants",
        "| Am7 | Dm7 | G7 | C |",
        "D5:4 | F4:4 | G4:4 | E4:4",
        "| A7 | D7 | G7 | C |",
    ),
    (
        "half-step-approach",
        "| Em7 | Dm7 |",
        "G4:2 Ab4:2 | A4:4",
        "| Em7 Eb7 | Dm7 |",
    ),
    (
        "backdoor",
        "| Dm7 | G7 | Cmaj7 |",
        "C5:4 | B4:4 | G4:4",
        "| Fm7 | Bb7 | Cmaj7 |",
    ),
    (
        "passing-diminished",
        "| C | Dm7 |",
        "G4:2 B4:2 | A4:4",
        "| C C#dim7 | Dm7 |",
    ),
    (
        "sharp-four-diminished",
        "| F7 | F7 | C7 |",
        "A4:4 | G4:4 | E4:4",
        "| F7 | F#dim7 | C7 |",
    ),
    (
        "auxiliary-diminished",
        "| G7 | C |",
        "F4:4 | E4:2 G4:2",
        "| G7 | Cdim7 C |",
    ),
    (
        "minor-plagal",
        "| Fmaj7 | C |",
        "C5:2 A4:2 | G4:4",
        "| Fmaj7 Fm6 | C |",
    ),
    ("borrowed", "| Dm7 | G7 |", "A4:4 | G4:4", "| Dm7b5 | G7 |"),
    (
        "thirds-cycle",
        "| Dm7 | G7 | Cmaj7 | Cmaj7 |",
        "F4:4 | A4:2 G4:2 | E4:4 | E4:4",
        "| Dm7 Eb7 | Abmaj7 B7 | Emaj7 G7 | Cmaj7 |",
    ),
    ("sus-delay", "| G7 | C |", "B4:4 | C5:4", "| G7sus G7 | C |"),
    ("hybrid", "| G7 | C |", "B4:4 | C5:4", "| F/G | C |"),
    ("diatonic", "| Fmaj7 | G7 |", "F#4:4 | G4:4", "| Dm7 | G7 |"),
    ("diatonic", "| Cmaj7 | F |", "C5:4 | A4:4", "| Em7 | F |"),
    ("deceptive", "| G7 | C |", "B4:4 | G#4:4", "| G7 | Am7 |"),
    ("deceptive", "| G7 | C |", "B4:4 | A4:4", "| G7 | Abmaj7 |"),
    ("displacement", "| G7 | C |", "B4:4 | C5:4", "| G7 | G7 C |"),
    (
        "constant-structure",
        "| Am7 | Dm7 | G7 | C |",
        "G4:2 Db5:2 | A4:4 | B4:4 | E4:4",
        "| Abmaj7 | Bbmaj7 | Cmaj7 | C |",
    ),
    (
        "line-cliche",
        "| Cm | Cm | G7 |",
        "C5:4 | C5:4 | B4:4",
        "| Cm Cm(maj7) | Cm7 Cm6 | G7 |",
    ),
    (
        "bass-line",
        "| C | Am7 |",
        "G4:2 C5:2 | E4:4",
        "| C C/B | Am7 |",
    ),
    (
        "turnaround",
        "| Cmaj7 | Cmaj7 | C6 |",
        "E4:2 D5:2 | C5:2 B4:2 | E4:4",
        "| Cmaj7 A7 | Dm7 G7 | C6 |",
    ),
    (
        "resting-turnaround",
        "| G7 | Cmaj7 | Dm7 |",
        "D5:4 | E5:2 G5:2 | F5:4",
        "| G7 | Cmaj7 / Em7 A7 | Dm7 |",
    ),
    (
        "two-five-chain",
        "| C | C | Fmaj7 |",
        "E4:4 | G4:2 B4:2 | A4:4",
        "| C | Gm7 C7 | Fmaj7 |",
    ),
    (
        "descending-bass",
        "| C | Am7 | Fmaj7 |",
        "E4:4 | C5:2 F4:2 | A4:4",
        "| C G/B | Am7 C/G | Fmaj7 |",
    ),
    (
        "pedal",
        "| Am7 | Dm7 | G7 | C |",
        "E4:4 | Ab4:4 | B4:4 | C5:4",
        "| Am7/G | Dm7/G | G7 | C |",
    ),
    (
        "pedal",
        "| C | F | G7 | C |",
        "E4:4 | Db5:4 | B4:4 | C5:4",
        "| C | F/C | G7/C | C |",
    ),
];

#[test]
fn every_technique_gives_way_to_some_melody() {
    for (technique, chords, melody, after) in REFUSED {
        for tonic in TONICS {
            let wanted = sounds(&Stage::new("C", after).moved(tonic).written());
            let made = |rows: &str| {
                let stage = Stage::new("C", rows).moved(tonic);
                stage
                    .outcomes(technique)
                    .iter()
                    .any(|one| sounds(one) == wanted)
            };
            let silent = "r:4 | ".repeat(chords.matches('|').count() - 1);
            if technique != "constant-structure" {
                assert!(
                    made(&format!("{chords}\nmel | {silent}")),
                    "{technique} in {tonic}"
                );
            }
            assert!(
                !made(&format!("{chords}\nmel | {melody} |")),
                "{technique} in {tonic}: {melody}"
            );
        }
    }
    for way in TECHNIQUES {
        let has_case = |case: &(&str, &str, &str, &str)| case.0 == way.name;
        assert!(
            REFUSED.iter().any(has_case),
            "no melody refuses {}",
            way.name
        );
    }
}

#[test]
fn what_is_held_is_refused_and_what_passes_is_not() {
    let made = |melody: &str| {
        let rows = format!("| Dm7 | G7 | C |\nmel | r:4 | {melody} | E4:4 |");
        Stage::new("C", &rows).by("tritone")
    };
    assert!(made("B4:2 C5:2").is_empty());
    assert!(made("C5:1 G4:3").is_empty());
    assert!(!made("C5:1/2 B4:7/2").is_empty());
    let passing = made("B4:3/2 C5:1/2 B4:2");
    assert_eq!(passing[0].melody[1].fit, Fit::Passing);
    assert_eq!(passing[0].chords[0].chord.symbol(), "Db7");
}

#[test]
fn a_tone_that_the_melody_sings_is_not_bent() {
    let made = |chords: &str, symbol: &str, melody: &str| {
        let rows = format!("{chords}\nmel | {melody} | r:4 |");
        let found = Stage::new("C", &rows).by("borrowed");
        let mut first = found.iter().map(|proposal| &proposal.chords[0].chord);
        first.any(|chord| chord.symbol() == symbol)
    };
    // The 5 over a b5, the 3 over a b3: on a weak beat, by leap or by step.
    for (chords, symbol, melody) in [
        ("| Dm7 | G7 |", "Dm7b5", "D5:1 A4:1 F4:2"),
        ("| Dm7 | G7 |", "Dm7b5", "G4:1 A4:1 G4:2"),
        ("| Fmaj7 | G7 |", "Fm7", "C5:1 A4:1 C5:2"),
    ] {
        assert!(made(chords, symbol, "r:4"));
        assert!(!made(chords, symbol, melody), "{symbol}: {melody}");
        // An eighth note says it too; a grace note is over before anybody minds.
        let short = melody.replace("A4:1", "A4:1/2 r:1/2");
        assert!(!made(chords, symbol, &short), "{symbol}: {short}");
        let brief = melody.replace("A4:1", "A4:1/4 r:3/4");
        assert!(made(chords, symbol, &brief), "{symbol}: {brief}");
    }
}

#[test]
fn what_is_left_by_leap_beside_a_tone_and_what_rubs_the_bass_is_refused() {
    let made = |technique: &str, rows: &str, symbol: &str| {
        let found = Stage::new("C", rows).by(technique);
        let mut all = found.iter().flat_map(|proposal| &proposal.chords);
        all.any(|new| new.chord.symbol() == symbol)
    };
    // The 7 over the b7 of Db7 goes by where it is left by step, and not by leap.
    let over_tritone = |melody: &str| {
        let rows = format!("| Dm7 | G7 | C |\nmel | r:4 | {melody} | E4:4 |");
        made("tritone", &rows, "Db7")
    };
    assert!(over_tritone("B4:3/2 C5:1/2 B4:2"));
    assert!(!over_tritone("B4:3/2 C5:1/2 G4:2"));
    // The b7 over a bass on the 7.
    let in_a_line = |melody: &str| {
        let rows = format!("| Cm7 | % | Fm7 |\nmel | {melody} | r:4 | r:4 |");
        made("line-cliche", &rows, "Cm(maj7)") || made("bass-line", &rows, "Cm/B")
    };
    assert!(in_a_line("r:4"));
    assert!(!in_a_line("r:1 Bb4:1/2 r:1/2 r:1 Bb4:1/2 r:1/2"));
}

#[test]
fn a_dominant_carries_all_the_alterations_the_melody_holds_or_none_will_do() {
    let made = |melody: &str| {
        let rows = format!("| Dm7 | G7 | C |\nmel | r:4 | {melody} | E4:4 |");
        let found = Stage::new("C", &rows).by("tritone");
        found.first().map(|p| p.chords[0].chord.symbol().to_owned())
    };
    assert_eq!(made("D5:2 A4:2").as_deref(), Some("Db7(b9,b13)"));
    assert_eq!(made("D5:2 E5:2").as_deref(), Some("Db7(b9,#9)"));
    assert_eq!(made("E5:2 A4:2").as_deref(), Some("Db7(#9,b13)"));
    // The melody's D and Eb are b9 and 9 there, its A and Bb b13 and 13.
    assert_eq!(made("D5:2 Eb5:2"), None);
    assert_eq!(made("A4:2 Bb4:2"), None);
    // Its Ab and A are the 5 and b13.
    assert_eq!(made("Ab4:2 A4:2"), None);
}

#[test]
fn a_held_root_turns_a_major_seventh_into_a_sixth() {
    let rows = "| Dm7 | G7 | C |\nmel | A4:4 | G4:4 | Ab4:4 |";
    let found = Stage::new("C", rows).outcomes("deceptive");
    assert_eq!(found, [bars("C", "| Dm7 | G7 | Ab6 |")]);
}

#[test]
fn a_long_chord_is_tested_in_each_of_its_bars() {
    let rows = |last| format!("| G7 | G7 | C |\nmel | B4:4 | {last}:4 | E4:4 |");
    assert_eq!(Stage::new("C", &rows("F5")).by("tritone").len(), 2);
    assert_eq!(Stage::new("C", &rows("C5")).by("tritone").len(), 0);
    let found = Stage::new("C", &rows("D5")).outcomes("tritone");
    assert_eq!(found[0], bars("C", "| Db7b9 | Db7b9 | C |"));
}

#[test]
fn what_is_already_there_is_not_proposed() {
    let melody = "mel | G4:4 | A4:4 | B4:4 | E4:4 |";
    let made = |chords: &str| {
        let outcomes =
            Stage::new("C", &format!("{chords}\n{melody}")).outcomes("constant-structure");
        let parallel = bars("C", "| Abmaj7 | Bbmaj7 | Cmaj7 | C |");
        outcomes.contains(&parallel)
    };
    assert!(made("| Am7 | Dm7 | G7 | C |"));
    assert!(!made("| Abmaj7 | Bbmaj7 | Cmaj7 | C |"));
    assert!(!made("| AbM7 | BbM7 | CM7 | C |"));
}

#[test]
fn a_technique_is_found_by_its_name() {
    assert!(named("tritone").is_some() && named("Tritone").is_none());
}

/// A hybrid leaves the third open: where the melody sounds it for a beat it isn't, and rubs besides.
#[test]
fn the_third_that_a_hybrid_leaves_open_is_not_in_the_melody() {
    for (melody, open) in [
        ("C5:2 Ab4:1 G4:1", false),
        ("F5:2 Eb5:1 Ab4:1", false),
        ("C5:4", true),
        ("C5:2 Bb4:1/2 Ab4:1/2 G4:1", true),
    ] {
        let rows = format!("| Fm7 | Bb7 | Ebmaj7 |\nmel | {melody} | r:4 | r:4 |");
        for tonic in TONICS {
            let stage = Stage::new("Eb", &rows).moved(tonic);
            let wanted = Stage::new("Eb", "| Cm/F | Bb7 | Ebmaj7 |").moved(tonic);
            let wanted = sounds(&wanted.written());
            let made = stage.outcomes("hybrid");
            let is_made = made.iter().any(|one| sounds(one) == wanted);
            assert_eq!(is_made, open, "{melody} on {tonic}: {made:?}");
        }
    }
}

/// The 13 of a ii is the third of its V: held over the ii, it takes the V away.
#[test]
fn the_third_of_the_dominant_is_not_held_over_its_two() {
    for (melody, prepared) in [
        ("B4:2 G4:2", false),
        ("F5:2 B4:2", true),
        ("C5:1 B4:1/2 C5:1/2 B4:2", true),
    ] {
        let rows = format!("| G7 | Cmaj7 |\nmel | {melody} | r:4 |");
        for tonic in TONICS {
            let stage = Stage::new("C", &rows).moved(tonic);
            let made = stage.outcomes("related-ii");
            assert_eq!(!made.is_empty(), prepared, "{melody} on {tonic}: {made:?}");
        }
    }
}

/// C7 after Fmaj7 is heard as going back to it, whatever chord it slides into.
#[test]
fn no_approach_goes_back_to_the_chord_it_comes_from() {
    for (chords, found) in [
        ("| Fmaj7 | Bm7 |", false),
        ("| Am7 | Bm7 |", true),
        // Nor does one lead to a chord whose fifth is diminished.
        ("| Am7 | Bm7b5 |", false),
    ] {
        for tonic in TONICS {
            let made = Stage::new("C", chords)
                .moved(tonic)
                .outcomes("half-step-approach");
            assert_eq!(!made.is_empty(), found, "{chords} on {tonic}: {made:?}");
        }
    }
}

/// Over Gm7 the melody's Bb is held, on its strong place; that it would go by over Am7 makes its minor ninth
/// over that chord's root no softer.
#[test]
fn a_note_that_was_held_does_not_come_to_rub() {
    for (melody, accepted) in [("D5:2 Bb4:1 A4:1", false), ("D5:2 C5:1 A4:1", true)] {
        let rows = format!("| Bbmaj7 | Gm7 | C7 |\nmel | r:4 | {melody} | r:4 |");
        for tonic in TONICS {
            let stage = Stage::new("F", &rows).moved(tonic);
            let spots = stage.spots();
            let chord = Stage::new("F", "| Am7 |").moved(tonic);
            let chord = chord.spots()[0].chord.clone();
            let spot = &spots[1];
            let time = crate::harmony::layout::Time {
                of: 0,
                bar: spot.bar,
                stretch: crate::harmony::ChordTime::of(spot),
                spots: &spots[1..2],
            };
            let fits = crate::harmony::melody_fit_anew(&chord, Some(&[0, 3, 5, 7, 10]), &[&time]);
            assert_eq!(fits.is_some(), accepted, "{melody} on {tonic}");
        }
    }
}
