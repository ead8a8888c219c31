//! `reharm` from outside: the list of proposals, its names, its reasons, its JSON; what is asked wrongly.

use std::collections::BTreeSet;

use compline::reharm::techniques::TECHNIQUES;
use serde_json::Value;

use crate::program::{project, run as run_in};
use crate::reharm_run::{TUNE, lines, reharm, run};

#[test]
fn proposals_are_listed_with_their_reasons() {
    let (code, out, _) = run(&["reharm", "-", "--ways", "tritone"], TUNE);
    assert_eq!(code, 0);
    assert_eq!(
        out,
        "name       was  becomes  saves  strain\n\
         2:tritone  G7   Db7          1       6\n\
         saves: effort, in semitones; strain: to 2 gentle, 5 medium, 9 bold, more beyond\n"
    );
    for asked in [
        &["--reasons", "--ways", "tritone"][..],
        &["--why", "2:tritone"],
    ] {
        let (_, why, _) = reharm(asked, TUNE);
        assert_eq!(
            why,
            "2:tritone\n  \
             Db7 for G7: its 3 and 7 are the 7 and 3 of G7, and its root falls a half step into Cmaj7\n  \
             melody: B4 3 -> b7, F4 b7 -> 3\n  \
             strain 6, bold: length 2, tones 2, outside 2\n  \
             effort: 1 less, motion and surcharges of the whole tune together\n"
        );
    }
    let (_, json, _) = run(&["reharm", "-", "--ways", "tritone", "--to", "json"], TUNE);
    let json: Value = serde_json::from_str(&json).unwrap();
    let [one] = &json["proposals"].as_array().unwrap()[..] else {
        panic!("one proposal: {json}");
    };
    assert_eq!(
        (&one["technique"], &one["first_bar"]),
        (&"tritone".into(), &2.into())
    );
    assert_eq!(
        (&one["saves"], &one["strain"]["total"]),
        (&1.into(), &6.into())
    );
    assert_eq!(one["melody"][0]["after"], "b7");
    assert_eq!(json["held"][0]["by"][0], "first");
}

#[test]
fn a_place_can_be_asked_about_and_names_stay() {
    let (_, all, _) = reharm(&["--to", "json"], TUNE);
    let (code, some, _) = reharm(&["--bar", "2-3", "--to", "json"], TUNE);
    assert_eq!(code, 0);
    let within = |line: &Value| {
        let bar = |name: &str| line[name].as_u64().unwrap();
        bar("first_bar") >= 2 && bar("last_bar") <= 3
    };
    let proposals = |json: &str| lines(json)[0]["proposals"].as_array().unwrap().clone();
    let names = |all: &[Value]| -> BTreeSet<String> {
        let name = |one: &Value| one["name"].as_str().unwrap().to_owned();
        all.iter().map(name).collect()
    };
    let mut expected = proposals(&all);
    expected.retain(within);
    assert!(expected.len() > 5);
    assert_eq!(names(&proposals(&some)), names(&expected));
    // What is chosen lies there as well.
    let (_, page, _) = reharm(&["--bar", "2", "--changes", "exactly 1"], TUNE);
    let was = page.lines().find(|line| line.starts_with("was")).unwrap();
    let was: Vec<&str> = was.split('|').map(str::trim).collect();
    assert_eq!(was[1..5], ["-", "G7", "-", "-"], "{page}");

    let (code, _, err) = reharm(&["--bar", "9"], TUNE);
    assert_eq!(code, 2);
    assert!(
        err.contains("--bar 9: the written bars are 1 to 4"),
        "{err}"
    );
    let (code, out, err) = reharm(&["--bar", "1", "--ways", "tritone"], TUNE);
    assert!(
        code == 0 && out.starts_with("bar 1: Dm7 is held: it opens the tune"),
        "{out}"
    );
    assert!(err.contains("nothing to propose in bar 1 alone"), "{err}");
    let (code, _, err) = reharm(&["--apply", "2:backdoor.9"], TUNE);
    assert!(
        code == 2 && err.contains("2:backdoor.9: there is 2:"),
        "{err}"
    );
}

#[test]
fn a_note_that_several_new_chords_hear_is_named_once() {
    let (_, out, _) = reharm(&["--reasons", "--ways", "half-step-approach"], TUNE);
    assert!(
        out.contains("Dm7 Ab7 for Dm7") && out.contains("melody: D5 1 -> 1 then #11\n"),
        "{out}"
    );
    let (_, out, _) = reharm(&["--reasons", "--all", "--ways", "bass-line"], TUNE);
    assert!(
        out.contains("melody: every note stays what it was\n"),
        "{out}"
    );
}

#[test]
fn what_holds_a_place_is_said_and_can_be_changed() {
    let (_, out, _) = reharm(&["--bar", "3"], TUNE);
    assert!(
        out.contains(
            "bar 3: Cmaj7 is held: a phrase ends on it, so it may come late, but it comes\n"
        ) && out.contains("kept out: ")
            && out.contains("3-4:deceptive")
            && out.ends_with("--free 3 frees it\n"),
        "{out}"
    );
    let (_, out, _) = reharm(&["--bar", "3-4"], TUNE);
    assert!(out.ends_with("--free 3-4 frees them\n"), "{out}");
    let (code, _, err) = reharm(&["--apply", "3-4:deceptive"], TUNE);
    assert!(
        code == 2
            && err.contains("the place is held: it ends the tune, so it stays the last chord; a phrase ends on it")
            && err.contains("--free frees it"),
        "{err}"
    );
    let (code, page, _) = reharm(&["--free", "3-4", "--apply", "3-4:deceptive"], TUNE);
    assert!(code == 0 && page.contains("| Am7   | Am7 |"), "{page}");
    let (code, _, err) = reharm(&["--hold", "1,2", "--apply", "2:tritone"], TUNE);
    assert!(
        code == 2 && err.contains("it was asked to be held"),
        "{err}"
    );
    let marked = TUNE.replace("G7", "G7!");
    let (code, _, err) = reharm(&["--apply", "2:tritone"], &marked);
    assert!(
        code == 2 && err.contains("the chart marks it with `!`"),
        "{err}"
    );
    // The sign stays when other chords go, and when the page is taken back.
    let (_, page, _) = reharm(&["--apply", "1:half-step-approach"], &marked);
    assert!(page.contains("G7!"), "{page}");
    assert_eq!(reharm(&["--undo"], &page).1, run(&["tidy", "-"], &marked).1);
    let (code, _, err) = reharm(&["--hold", "9"], TUNE);
    assert!(
        code == 2 && err.contains("--hold 9: the written bars are 1 to 4"),
        "{err}"
    );
}

#[test]
fn the_json_holds_to_its_schema() {
    let schema = run_in(project(), &["reharm", "--schema"]);
    let schema: Value = serde_json::from_str(&schema.out).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let list = run_in(project(), &["reharm", "charts", "--to", "json"]);
    let tables = run_in(
        project(),
        &["reharm", "charts", "--to", "json", "--changes", "2"],
    );
    let all: Vec<Value> = [list.out, tables.out]
        .iter()
        .flat_map(|json| lines(json))
        .collect();
    assert_eq!(all.len(), 20);
    for line in &all {
        assert!(validator.is_valid(line), "{line}");
    }
    assert!(!validator.is_valid(&serde_json::json!({"format": "compline-changes"})));
}

#[test]
fn an_empty_list_says_why() {
    let empty = |arguments: &[&str], text: &str, why: &str| {
        let (code, out, err) = reharm(arguments, text);
        assert_eq!((code, out.as_str()), (0, ""), "{err}");
        assert!(err.contains(&format!("nothing to propose: {why}")), "{err}");
        let (code, _, err) = reharm(&[arguments, &["--changes", "2"]].concat(), text);
        assert_eq!(code, 0, "{err}");
        assert!(err.contains(why), "{err}");
    };
    let (_, voiced, _) = run(&["voice", "-"], TUNE);
    empty(&[], &voiced, "the `lh` row settles every chord");
    empty(&[], "| N.C. |\n", "no chord is played");
    empty(
        &["--ways", "turnaround"],
        TUNE,
        "these techniques know nothing here",
    );
    let held = "key: C\n| Dm7 | G7 | Cmaj7 |\nmel | r:4 | C5:4 | r:4 |\n";
    empty(
        &["--ways", "tritone"],
        held,
        "the melody refuses the only one",
    );
    let (_, deaf, _) = reharm(&["--ways", "tritone", "--ignore-melody"], held);
    assert!(deaf.contains("2:tritone"), "{deaf}");
    let (code, _, err) = reharm(&["--apply", "1:tritone"], "| N.C. | C |\n");
    assert!(
        code == 2 && err.contains("1:tritone: nothing is proposed there"),
        "{err}"
    );
}

#[test]
fn two_for_the_same_chord_are_named_with_their_chords() {
    let (code, out, err) = reharm(&["--apply", "2:diatonic,2:tritone"], TUNE);
    assert_eq!((code, out.as_str()), (2, ""));
    let said = "--apply: 2:tritone (Db7 for G7) and 2:diatonic (Bm7b5 for G7)";
    assert!(
        err.contains(said) && err.contains("replace the same chord: take one of them"),
        "{err}"
    );
}

#[test]
fn every_technique_can_be_asked_for_and_left_out() {
    for technique in TECHNIQUES {
        let (code, _, err) = run(&["reharm", "-", "--ways", technique.name], TUNE);
        assert_eq!(code, 0, "{err}");
        let without = format!("-{}", technique.name);
        let (_, list, _) = run(&["reharm", "-", "--ways", &without, "--to", "json"], TUNE);
        let named = format!("\"technique\":\"{}\"", technique.name);
        assert!(!list.contains(&named), "{list}");
    }
}

#[test]
fn a_name_outside_the_place_that_was_asked_about_is_told() {
    for asked in ["--apply", "--why"] {
        let (code, _, err) = reharm(&[asked, "2:tritone", "--bar", "1"], TUNE);
        assert_eq!(code, 2);
        assert!(
            err.contains("2:tritone lies outside bar 1, which --bar asks about"),
            "{err}"
        );
        assert_eq!(reharm(&[asked, "2:tritone", "--bar", "2"], TUNE).0, 0);
    }
}

#[test]
fn the_list_shows_the_beats_of_an_uneven_bar() {
    let rests = "key: C\n| G7 | Cmaj7 | Dm7 | G7 | C6 |\n";
    let (_, list, _) = reharm(&["--ways", "resting-turnaround"], rests);
    assert!(list.contains("Cmaj7 / Em7 A7"), "{list}");
    let (_, why, _) = reharm(&["--why", "2:resting-turnaround"], rests);
    assert!(
        why.contains("Cmaj7 / Em7 A7 for Cmaj7: the chord stays for the whole bar"),
        "{why}"
    );
    let (_, page, _) = reharm(&["--apply", "2:resting-turnaround"], rests);
    assert!(page.contains("Cmaj7 / Em7 A7"), "{page}");
    let sung = format!("{rests}mel | B4:4 | r:4 | F4:4 | B4:4 | C5:4 |\n");
    let (_, why, _) = reharm(&["--why", "2:resting-turnaround"], &sung);
    assert!(why.contains("the melody rests here"), "{why}");
}
