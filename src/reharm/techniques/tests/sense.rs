//! What no player would write: it must not be proposed.

use super::stage::{Stage, bars};

fn makes(key: &str, technique: &str, before: &str, after: &str) -> bool {
    let outcomes = Stage::new(key, before).outcomes(technique);
    outcomes.contains(&bars(key, after))
}

#[test]
fn a_chord_is_not_replaced_by_its_neighbour() {
    for (technique, before, after) in [
        ("deceptive", "| G7 | C | Fmaj7 |", "| G7 | Fmaj7 | Fmaj7 |"),
        ("deceptive", "| G7 | C | Am7 |", "| G7 | Am7 | Am7 |"),
        ("diatonic", "| Fmaj7 | Dm7 | G7 |", "| Dm7 | Dm7 | G7 |"),
        ("diatonic", "| Fmaj7 | Dm7 | G7 |", "| Fmaj7 | Fmaj7 | G7 |"),
        ("borrowed", "| Fm7 | F6 | G7 |", "| Fm7 | Fm7 | G7 |"),
        ("borrowed", "| Em7 | Eb7 | Dm7 |", "| Ebmaj7 | Eb7 | Dm7 |"),
    ] {
        assert!(
            !makes("C", technique, before, after),
            "{technique}: {after}"
        );
    }
    assert!(makes(
        "C",
        "deceptive",
        "| G7 | C | Dm7 |",
        "| G7 | Am7 | Dm7 |"
    ));
}

#[test]
fn one_chord_by_two_names_is_no_replacement() {
    // C6 is Am7, and Fm6 is Dm7b5.
    assert!(!makes("C", "diatonic", "| C6 | Dm7 |", "| Am7 | Dm7 |"));
    assert!(makes("C", "diatonic", "| Cmaj7 | Dm7 |", "| Am7 | Dm7 |"));
    assert!(!makes("Cm", "diatonic", "| Fm6 | G7 |", "| Dm7b5 | G7 |"));
    assert!(makes("Cm", "diatonic", "| Fm7 | G7 |", "| Dm7b5 | G7 |"));
}

#[test]
fn a_two_five_to_elsewhere_keeps_its_two() {
    for (technique, before, after) in [
        ("diatonic", "| Bm7b5 | E7 | Am7 |", "| G7 | E7 | Am7 |"),
        ("diatonic", "| Am7 | D7 | G7 |", "| Fmaj7 | D7 | G7 |"),
        ("borrowed", "| Am7 | D7 | G7 |", "| Abmaj7 | D7 | G7 |"),
        ("borrowed", "| Em7 | A7 | Dm7 |", "| Ebmaj7 | A7 | Dm7 |"),
        ("borrowed", "| Dm7 | G7 | Am7 |", "| Dm7 | Gm7 | Am7 |"),
    ] {
        assert!(
            !makes("C", technique, before, after),
            "{technique}: {after}"
        );
    }
    assert!(makes("C", "diatonic", "| Dm7 | G7 |", "| Fmaj7 | G7 |"));
}

#[test]
fn a_cadence_that_has_arrived_is_not_cut_out() {
    for (technique, before, after) in [
        (
            "passing-diminished",
            "| G7 | Cm7 | Am7b5 |",
            "| G7 | G#dim7 | Am7b5 |",
        ),
        (
            "passing-diminished",
            "| Gm7 | C7 | Am7b5 |",
            "| Gm7 | G#dim7 | Am7b5 |",
        ),
        (
            "bass-line",
            "| Bm7b5 | E7 | Am7 | Dm7 | G7 | C | F |",
            "| F7 | E7 | Eb7 | Dm7 | Db7 | C | F |",
        ),
    ] {
        assert!(!makes("Cm", technique, before, after), "{technique}");
    }
    let row = "| Bm7b5 | E7 | Amaj7 | Dmaj7 | G |";
    assert!(
        Stage::new("G", row)
            .by("bass-line")
            .iter()
            .all(|p| p.chords.len() < 3)
    );
}

#[test]
fn a_suspension_is_not_cut_through() {
    assert!(!makes(
        "C",
        "secondary-dominant",
        "| G7sus | G7 |",
        "| G7sus D7 | G7 |"
    ));
    assert!(!makes(
        "C",
        "related-ii",
        "| G7sus | G7 | C |",
        "| G7sus | Dm7 G7 | C |"
    ));
    assert!(makes(
        "C",
        "related-ii",
        "| F | G7 | C |",
        "| F | Dm7 G7 | C |"
    ));
}

#[test]
fn no_bass_jumps_a_tritone_to_or_from_a_borrowed_chord() {
    assert!(!makes("C", "borrowed", "| Am7 | Dm7 |", "| Abmaj7 | Dm7 |"));
    assert!(makes(
        "C",
        "borrowed",
        "| Am7 | Fmaj7 |",
        "| Abmaj7 | Fmaj7 |"
    ));
}

#[test]
fn a_half_diminished_chord_does_not_become_a_dominant_on_its_root() {
    let found = Stage::new("Am", "| F#m7b5 | Fmaj7 |").by("half-step-approach");
    assert!(found.is_empty(), "{found:?}");
    let same = makes(
        "C",
        "half-step-approach",
        "| Dbmaj7 | C |",
        "| Dbmaj7 Db7 | C |",
    );
    assert!(same);
}

#[test]
fn a_ninth_the_key_has_not_got_is_not_brought_in() {
    assert!(!makes("C", "hybrid", "| Em7 | Am7 |", "| Bm/E | Am7 |"));
    assert!(makes("C", "hybrid", "| Am7 | Dm7 |", "| Em/A | Dm7 |"));
}

#[test]
fn parallel_chords_do_not_take_the_tonic_they_lead_to() {
    let rows = "| Dm7 | G7 | C6 | C6 |\nmel | A4:4 | B4:4 | E5:4 | C5:4 |";
    assert!(Stage::new("C", rows).by("constant-structure").is_empty());
    let rows = "| Am7 | Dm7 | G7 | C6 |\nmel | A4:4 | B4:4 | E5:4 | C5:4 |";
    assert!(!Stage::new("C", rows).by("constant-structure").is_empty());
}

#[test]
fn a_iv7_that_answers_its_two_stays_a_dominant() {
    assert!(!makes(
        "Gm",
        "borrowed",
        "| Gm7 | C9 | Am7b5 |",
        "| Gm7 | Cmaj7 | Am7b5 |"
    ));
    assert!(makes(
        "Gm",
        "borrowed",
        "| Gm7 | C9 | Gm7 |",
        "| Gm7 | Cmaj7 | Gm7 |"
    ));
}

#[test]
fn a_symbol_with_a_slash_or_alterations_gets_no_bass_below_it() {
    for rows in ["| C6/9 | F |", "| G7alt | Cm |", "| C/G | F |"] {
        let found = Stage::new("C", rows).by("bass-line");
        let slashed = |p: &&crate::reharm::Proposal| p.why.contains("steps from");
        assert!(!found.iter().any(|p| slashed(&p)), "{rows}: {found:?}");
    }
}

#[test]
fn a_blues_is_not_suspended_where_it_rests() {
    let blues = "| C7 | F7 | C7 | C7 | F7 | F7 | C7 | A7 | Dm7 | G7 | C7 | C7 |";
    let stage = Stage::new("C", blues);
    for technique in ["sus-delay", "hybrid"] {
        let at: Vec<usize> = stage.by(technique).iter().map(|p| p.spots.start).collect();
        assert!(
            at.iter().all(|at| [7, 8, 9].contains(at)),
            "{technique}: {at:?}"
        );
        assert!(at.contains(&9), "{technique}");
    }
}

#[test]
fn under_a_held_eleventh_a_major_chord_is_suspended() {
    for (melody, suspended) in [("F5:4", true), ("F5:1 E5:3", false), ("E5:4", false)] {
        let rows = format!("| Am7 | Cmaj7 | Dm7 |\nmel | r:4 | {melody} | r:4 |");
        let outcomes = Stage::new("C", &rows).outcomes("sus-delay");
        let there = outcomes.iter().any(|one| one.contains("Csus:4"));
        assert_eq!(there, suspended, "{melody}: {outcomes:?}");
    }
}

#[test]
fn a_ii_needs_no_chord_before_its_five() {
    assert!(makes("C", "related-ii", "| G7 | C |", "| Dm7 G7 | C |"));
}

/// Whether a technique makes it of the passage, moved to every tonic: none, or all of them.
fn makes_everywhere(key: &str, technique: &str, before: &str, after: &str) -> bool {
    let made = |tonic: &&str| super::stage::made(key, technique, before, &[after], tonic).is_ok();
    let count = super::stage::TONICS
        .iter()
        .filter(|tonic| made(tonic))
        .count();
    assert!(count == 0 || count == 12, "{technique}: {after}: {count}");
    count > 0
}

#[test]
fn what_fills_a_step_or_slides_into_a_chord_leads_to_its_bass() {
    for (technique, before, after, slash, to_slash) in [
        (
            "passing-diminished",
            "| Cmaj7 | Em7 | Dm7 |",
            "| Cmaj7 | C#dim7 | Dm7 |",
            "| Cmaj7 | Em7 | Dm7/A |",
            "| Cmaj7 | C#dim7 | Dm7/A |",
        ),
        (
            "half-step-approach",
            "| Em7 | Dm7 | G7 |",
            "| Em7 Eb7 | Dm7 | G7 |",
            "| Em7 | Dm7/A | G7 |",
            "| Em7 Eb7 | Dm7/A | G7 |",
        ),
    ] {
        assert!(makes_everywhere("C", technique, before, after), "{after}");
        assert!(
            !makes_everywhere("C", technique, slash, to_slash),
            "{to_slash}"
        );
    }
}

#[test]
fn a_tonic_is_heard_at_home_before_it_turns_into_a_dominant() {
    for (technique, before, after, made) in [
        (
            "secondary-dominant",
            "| C | F | C |",
            "| C7 | F | C |",
            false,
        ),
        (
            "secondary-dominant",
            "| C | F | C |",
            "| C C7 | F | C |",
            true,
        ),
        (
            "secondary-dominant",
            "| C | C | F |",
            "| C | C7 | F |",
            true,
        ),
        (
            "half-step-approach",
            "| C | F | C |",
            "| Gb7 | F | C |",
            false,
        ),
        (
            "half-step-approach",
            "| C | C | F |",
            "| C | Gb7 | F |",
            true,
        ),
        (
            "extended-dominants",
            "| G7 | C | F |",
            "| G7 | C7 | F |",
            false,
        ),
        (
            "extended-dominants",
            "| Dm7 | G | C | F |",
            "| D7 | G7 | C7 | F |",
            false,
        ),
        (
            "extended-dominants",
            "| Am7 | Dm7 | G7 |",
            "| A7 | D7 | G7 |",
            true,
        ),
    ] {
        assert_eq!(
            makes_everywhere("C", technique, before, after),
            made,
            "{after}"
        );
    }
    let minor = |after| makes_everywhere("Cm", "secondary-dominant", "| Cm7 | Fm7 | Cm7 |", after);
    assert!(!minor("| C7 | Fm7 | Cm7 |") && minor("| Cm7 C7 | Fm7 | Cm7 |"));
}

/// A dominant that steps down a half tone is heard with its #11, so it takes no fourth.
#[test]
fn a_dominant_that_steps_down_has_no_fourth() {
    let of = |technique, before, after| makes_everywhere("C", technique, before, after);
    assert!(of("sus-delay", "| G7 | C6 |", "| G7sus G7 | C6 |"));
    assert!(!of("sus-delay", "| Db7 | C6 |", "| Db7sus Db7 | C6 |"));
    assert!(!of("sus-delay", "| Db7 | C6 |", "| Db7sus | C6 |"));
    assert!(of("hybrid", "| G7 | C6 |", "| F/G | C6 |"));
    assert!(!of("hybrid", "| Db7 | C6 |", "| B/Db | C6 |"));
    assert!(!of("hybrid", "| Db7 | C6 |", "| Abm/Db | C6 |"));
}
