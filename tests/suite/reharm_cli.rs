//! `reharm` from outside: what is put in and taken back; pipes and files; bad input.

use std::fs;

use crate::program::{folder, run as run_in};
use crate::reharm_run::{TUNE, lines, reharm, run};

#[test]
fn a_chosen_proposal_is_put_in_and_taken_out_again() {
    let (code, out, _) = run(&["reharm", "-", "--apply", "2:tritone"], TUNE);
    assert_eq!(code, 0);
    assert!(
        out.contains("| Dm7  | Db7") && out.contains("was  | -    | G7"),
        "{out}"
    );
    let (_, back, _) = run(&["reharm", "-", "--undo"], &out);
    let (_, tidy, _) = run(&["tidy", "-"], TUNE);
    assert_eq!(back, tidy);
    let (code, voiced, _) = run(&["voice", "-"], &out);
    assert_eq!(code, 0);
    assert!(
        voiced.contains("was  |") && voiced.contains("\n;:plan "),
        "{voiced}"
    );
    // What was remarked about the plan for other chords goes with them.
    let (_, back, _) = run(&["reharm", "-", "--undo"], &voiced);
    assert!(!back.contains(";:"), "{back}");
}

#[test]
fn several_can_be_put_in_and_a_name_twice_counts_once() {
    let text = "key: C\n| Dm7 | G7 | Cmaj7 | Dm7 | G7 | Cmaj7 | Dm7 G7 | Cmaj7 |\n";
    let apply = |names: &str| reharm(&["--apply", names], text);
    let (code, out, _) = apply("2:tritone,5:tritone,7.2:tritone");
    assert_eq!((code, out.matches("Db7").count()), (0, 3), "{out}");
    assert_eq!(apply("7.2:tritone, 2:tritone,5:tritone").1, out);
    assert_eq!(apply("2:tritone,2:tritone").1.matches("Db7").count(), 1);
}

#[test]
fn what_is_asked_wrongly_is_said() {
    let wrong = |arguments: &[&str], message: &str| {
        let (code, out, err) = reharm(arguments, TUNE);
        assert_eq!((code, out.as_str()), (2, ""), "{err}");
        assert!(err.contains(message), "{err}");
    };
    wrong(
        &["--apply", "9:tritone"],
        "9:tritone: nothing is proposed there",
    );
    wrong(
        &["--apply", "2:tritone.9"],
        "2:tritone.9: there is 2:tritone, 2:diatonic",
    );
    wrong(
        &["--apply", "3"],
        "`3` is no name of a proposal: write a place and a technique",
    );
    wrong(
        &["--apply", "2:tritones"],
        "`tritones` is not a technique; did you mean `tritone`?",
    );
    let with = |option: &str, value: &str| {
        wrong(
            &["--apply", "2:tritone", option, value],
            "cannot be used with",
        );
    };
    with("--changes", "2");
    with("--to", "json");
    wrong(&["--undo", "--ways", "tritone"], "cannot be used with");
    wrong(
        &["--ways", "tritones"],
        "`tritones` is not a technique; did you mean `tritone`?",
    );
    wrong(
        &["--ways", "jazz"],
        "`jazz` is not a technique; there are: tritone, related-ii",
    );
    wrong(&["--ways=-all"], "this leaves no technique");
    wrong(&["--changes", "exactly"], "a number was expected");
    wrong(&["--changes", "few"], "a number was expected");
    wrong(&["--key", "Ebb"], "--key");
}

#[test]
fn what_would_be_ignored_is_refused() {
    let refused = |arguments: &[&str], said: &str| {
        let (code, out, err) = reharm(arguments, TUNE);
        assert_eq!((code, out.as_str()), (2, ""), "{arguments:?}");
        assert!(err.contains(said), "{arguments:?}: {err}");
    };
    for of_the_list in [
        "--best=3",
        "--all",
        "--reasons",
        "--gentle",
        "--bold",
        "--strain=3",
    ] {
        refused(&[of_the_list, "--versions", "2"], "cannot be used with");
        refused(
            &[of_the_list, "--apply", "2:tritone"],
            "cannot be used with",
        );
    }
    refused(
        &["--why", "2:tritone", "--versions", "2"],
        "cannot be used with",
    );
    refused(&["--why", "2:tritone", "--gentle"], "cannot be used with");
    refused(&["--width", "60"], "--versions <K>");
    refused(
        &["--weigh", "strain=2"],
        "--weigh: there is nothing to choose",
    );
    refused(
        &["--versions", "2", "--changes", "exactly 2"],
        "--changes exactly: a version has fewer where so many don't fit",
    );
}

#[test]
fn a_tune_that_does_not_fit_the_page_is_told_at_its_place() {
    let (code, _, err) = reharm(&[], "| C |\nmel | C5:3 |\n");
    assert!(
        code == 2 && err.contains("lasts 3 beats, but the bar has 4 beats"),
        "{err}"
    );
    let over = "|: Dm7 | G7 :| C6 |\nmel | D5:4 | B4:4 | D5:4 | B4:4 | C5:4 |\n";
    let (code, _, err) = reharm(&[], over);
    assert!(code == 2 && err.contains("this line has 5 bars"), "{err}");
    assert!(
        err.contains("bars that are repeated are written once"),
        "{err}"
    );
}

#[test]
fn under_a_tune_that_dips_low_the_hand_makes_way_and_says_so() {
    let low = "key: C\n| Dm7 | G7 | Cmaj7 | A7 |\nmel | A4:4 | G4:4 | E3:2 E2:2 | A4:4 |\n";
    let (code, out, err) = run(&["voice", "-"], low);
    assert_eq!(code, 0, "{err}");
    assert!(
        err.contains("silent in bar 3: the melody leaves no room"),
        "{err}"
    );
    let hand = out.lines().find(|line| line.starts_with("lh")).unwrap();
    assert_eq!(hand.split('|').nth(3).unwrap().trim(), "-");
    // What was voiced so is a chart, and voicing it again changes nothing.
    assert_eq!(run(&["voice", "-"], &out).1, out);
    let (code, page, err) = reharm(&["--changes", "2"], low);
    assert_eq!(code, 0, "{err}");
    assert!(page.contains("Cmaj7"), "{page}");
    let (_, why, _) = run(&["why", "-", "--bar", "3"], low);
    assert!(
        why.contains("silent: the melody leaves no room for the hand"),
        "{why}"
    );
}

#[test]
fn a_page_that_was_not_changed_has_nothing_to_take_back() {
    let (code, out, err) = reharm(&["--undo"], TUNE);
    let (_, tidy, _) = run(&["tidy", "-"], TUNE);
    assert_eq!((code, out), (0, tidy));
    assert!(err.contains("no chord was replaced here"), "{err}");
}

#[test]
fn what_was_changed_twice_is_taken_back_at_once() {
    let text = "key: C\n\n     | Dm7 | G7 | Cmaj7 | % | Dm7 G7 | C6 |\n";
    let (_, tidy, _) = run(&["tidy", "-"], text);
    let (_, once, _) = reharm(&["--apply", "2:tritone"], &tidy);
    assert!(once.contains("Db7"), "{once}");
    let (_, twice, _) = reharm(&["--changes", "exactly", "3"], &once);
    assert_ne!(twice, once);
    let (_, back, err) = reharm(&["--undo"], &twice);
    assert_eq!((back, err.as_str()), (tidy, ""));
}

#[test]
fn on_a_page_with_repeats_endings_and_jumps_a_chord_is_replaced_once() {
    let text = "key: C\n\n[A]\n     |: Dm7 G7 | Cmaj7 |1 Em7b5 A7 :|2 C6 ||\n\n\
                [B]\n     | @segno Fm6 | C6 @to-coda | Dm7 G7 | C6 @ds-al-coda ||\n\n\
                [C]\n     | @coda Dm7 G7 | % | C6 |]\n";
    let (_, tidy, _) = run(&["tidy", "-"], text);
    let (_, list, _) = reharm(&["--ways", "tritone", "--to", "json"], &tidy);
    let names: Vec<String> = lines(&list)[0]["proposals"]
        .as_array()
        .unwrap()
        .iter()
        .map(|json| json["name"].as_str().unwrap().to_owned())
        .collect();
    assert!(names.len() >= 3, "{list}");
    let (code, page, err) = reharm(&["--apply", &names.join(",")], &tidy);
    assert_eq!(code, 0, "{err}");
    assert!(page.contains("|: Dm7 Db7"), "{page}");
    for sign in [":|2", "|1", "@segno", "@to-coda", "@ds-al-coda", "@coda"] {
        assert_eq!(
            page.matches(sign).count(),
            tidy.matches(sign).count(),
            "{page}"
        );
    }
    assert_eq!(reharm(&["--undo"], &page).1, tidy);
    assert_eq!(run(&["voice", "-"], &page).0, 0);
}

#[test]
fn pages_go_on_through_pipes_and_into_files() {
    let (_, page, _) = reharm(&["--changes", "2"], TUNE);
    let (code, voiced, _) = run(&["voice", "-"], &page);
    assert!(
        code == 0 && voiced.contains("was  |") && voiced.contains("lh   |"),
        "{voiced}"
    );
    let folder = folder(&[("a.chart", TUNE), ("b.chart", TUNE)]);
    let here = folder.path();
    let ran = run_in(
        here,
        &[
            "reharm",
            "a.chart",
            "b.chart",
            "--changes",
            "1",
            "-o",
            "new",
        ],
    );
    assert_eq!((ran.status, ran.out.as_str()), (0, ""));
    assert!(ran.err.contains("a.chart:\nchanges") && ran.err.contains("\nb.chart:\nchanges"));
    let [a, b] =
        ["new/a.chart", "new/b.chart"].map(|name| fs::read_to_string(here.join(name)).unwrap());
    assert!(a == b && a.contains("was  |"), "{a}");
    let list = run_in(here, &["reharm", ".", "--ways", "tritone"]);
    assert!(
        list.out.starts_with("./a.chart:\nname       was"),
        "{}",
        list.out
    );
    assert!(list.out.contains("\n\n./b.chart:\n"), "{}", list.out);
    let both = run_in(
        here,
        &[
            "reharm",
            "a.chart",
            "b.chart",
            "--apply",
            "2:tritone",
            "-o",
            "both",
        ],
    );
    assert_eq!(both.status, 0, "{}", both.err);
    let b = fs::read_to_string(here.join("both/b.chart")).unwrap();
    assert!(b.contains("| Dm7  | Db7"), "{b}");
    let over = run_in(
        here,
        &["reharm", "a.chart", "--changes", "1", "-o", "a.chart"],
    );
    assert!(
        over.status == 2 && over.err.contains("would overwrite"),
        "{}",
        over.err
    );
    assert_eq!(fs::read_to_string(here.join("a.chart")).unwrap(), TUNE);
}

#[test]
fn another_key_moves_page_and_list_alike() {
    let (_, list, _) = reharm(&["--ways", "tritone", "--key", "Eb"], TUNE);
    assert!(list.contains("Bb7  E7"), "{list}");
    let (_, page, _) = reharm(&["--key", "Eb", "--apply", "2:tritone"], TUNE);
    assert!(
        page.contains("key: Eb") && page.contains("was  | -"),
        "{page}"
    );
}

#[test]
fn a_given_left_hand_can_be_left_out_of_account() {
    let (_, voiced, _) = run(&["voice", "-"], TUNE);
    let name = "2:tritone";
    let (code, _, err) = reharm(&["--apply", name], &voiced);
    assert_eq!(code, 2);
    assert!(
        err.contains("the `lh` row settles what is played there"),
        "{err}"
    );
    assert!(err.contains("--replan"), "{err}");
    let (_, _, err) = reharm(&[], &voiced);
    assert!(err.contains("--replan"), "{err}");
    // Without its left hand it is the page it was made of.
    for asked in [&["--apply", name][..], &["--all"], &["--changes", "1"]] {
        let replanned = reharm(&[asked, &["--replan"]].concat(), &voiced);
        assert_eq!(replanned, reharm(asked, TUNE), "{asked:?}");
    }
}
