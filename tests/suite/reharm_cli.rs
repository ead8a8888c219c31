//! `reharm` from outside: what is listed, applied, chosen, taken back; pipes and files; bad input.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use compline::chart;
use compline::reharm::techniques::TECHNIQUES;
use serde_json::Value;

use crate::program::{folder, project, run as run_in, run_with};

const TUNE: &str = "key: C\n| Dm7 | G7 | Cmaj7 | % |\nmel | D5:4 | B4:2 F4:2 | E4:4 | r:4 |\n";

fn run(arguments: &[&str], input: &str) -> (i32, String, String) {
    let ran = run_with(Path::new("."), arguments, input);
    (ran.status, ran.out, ran.err)
}

/// Runs `reharm` on a chart from standard input.
fn reharm(arguments: &[&str], input: &str) -> (i32, String, String) {
    run(&[&["reharm", "-"], arguments].concat(), input)
}

fn lines(json: &str) -> Vec<Value> {
    json.lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect()
}

/// The motion of a chart's plan, as `voice` finds it.
fn effort(chart: &str) -> u64 {
    let (_, voiced, _) = run(&["voice", "--to", "json", "-"], chart);
    lines(&voiced)[0]["totals"]["effort"].as_u64().unwrap()
}

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
fn several_can_be_put_in_and_a_name_twice_counts_once() {
    let text = "key: C\n| Dm7 | G7 | Cmaj7 | Dm7 | G7 | Cmaj7 | Dm7 G7 | Cmaj7 |\n";
    let apply = |names: &str| reharm(&["--apply", names], text);
    let (code, out, _) = apply("2:tritone,5:tritone,7.2:tritone");
    assert_eq!((code, out.matches("Db7").count()), (0, 3), "{out}");
    assert_eq!(apply("7.2:tritone, 2:tritone,5:tritone").1, out);
    assert_eq!(apply("2:tritone,2:tritone").1.matches("Db7").count(), 1);
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
    let (_, page, _) = reharm(&["--apply", "1:secondary-dominant"], &marked);
    assert!(page.contains("G7!"), "{page}");
    assert_eq!(reharm(&["--undo"], &page).1, run(&["tidy", "-"], &marked).1);
    let (code, _, err) = reharm(&["--hold", "9"], TUNE);
    assert!(
        code == 2 && err.contains("--hold 9: the written bars are 1 to 4"),
        "{err}"
    );
}

#[test]
fn changes_come_with_a_table_and_exactly_means_exactly() {
    let (code, out, table) = reharm(&["--changes", "exactly", "2"], TUNE);
    assert_eq!(code, 0);
    let rows: Vec<&str> = table.lines().collect();
    assert_eq!(
        rows[0],
        "changes  score  effort  gained  strain  leads on  proved  proposals"
    );
    assert!(
        rows[1].starts_with("      0 ") && rows[1].ends_with("as written"),
        "{table}"
    );
    let cells: Vec<&str> = rows[3].split_whitespace().collect();
    assert_eq!(
        (cells[0], cells[2]),
        ("2", effort(&out).to_string().as_str())
    );
    assert!(rows[3].ends_with("  <-"), "{table}");
    assert!(rows[3].matches(" +").count() >= 1, "{table}");
    let page = chart::read(&out).unwrap();
    assert_ne!(page.before(), page);
    // Each change is said once below: its name, the chords, what it strains and leads on.
    let named: Vec<&&str> = rows.iter().filter(|row| row.contains(" for ")).collect();
    assert!(
        named.len() >= 2 && named.iter().all(|row| row.contains(": ")),
        "{table}"
    );
    let (_, joined, _) = reharm(&["--changes=exactly", "2"], TUNE);
    assert_eq!(joined, out);
    // So many are so many, whether or not the hand would rather have fewer.
    assert_eq!(reharm(&["--changes", "2"], TUNE).1, out);
}

#[test]
fn where_fewer_changes_score_lower_a_line_says_so() {
    let chart = "charts/harbour-cat.chart";
    let table = |changes: &str| run(&["reharm", chart, "--changes", changes], "").2;
    let scores = |table: &str| {
        let rows = table
            .lines()
            .skip(1)
            .take_while(|row| row.starts_with("   "));
        let score = |row: &str| row.split_whitespace().nth(1)?.parse::<i64>().ok();
        rows.map(|row| score(row).unwrap()).collect::<Vec<_>>()
    };
    let many = table("6");
    let with_changes = &scores(&many)[1..];
    let least = with_changes.iter().min().unwrap();
    let fewer = 1 + with_changes
        .iter()
        .position(|score| score == least)
        .unwrap();
    assert!(least < with_changes.last().unwrap(), "{many}");
    let said = format!("fewer changes score lower: {least} with --changes {fewer}\n");
    assert!(many.contains(&said), "{many}");
    assert!(
        !table(&fewer.to_string()).contains("fewer changes"),
        "{many}"
    );
}

#[test]
fn no_changes_are_no_changes() {
    for count in [&["--changes", "0"][..], &["--changes", "exactly", "0"]] {
        let (code, out, table) = reharm(count, TUNE);
        let (_, tidy, _) = run(&["tidy", "-"], TUNE);
        assert_eq!((code, out), (0, tidy));
        assert_eq!(table.lines().count(), 2, "{table}");
    }
}

#[test]
fn the_table_stops_where_no_more_can_be_made() {
    let (code, out, table) = reharm(&["--ways", "tritone", "--changes", "50"], TUNE);
    assert_eq!(code, 0);
    assert!(out.contains("key: C"));
    assert_eq!(
        table.matches("more than 1 can't be made together").count(),
        1,
        "{table}"
    );
    assert_eq!(
        table
            .lines()
            .filter(|row| row.starts_with("      "))
            .count(),
        2,
        "{table}"
    );
    let huge = u64::MAX.to_string();
    assert_eq!(
        reharm(&["--ways", "tritone", "--changes", &huge], TUNE).0,
        0
    );
    let (code, out, err) = reharm(&["--ways", "tritone", "--changes", "exactly", "2"], TUNE);
    assert_eq!((code, out.as_str()), (1, ""));
    assert!(
        err.contains("no 2 changes: at most 1 can be made together"),
        "{err}"
    );
    assert!(err.contains("ask for fewer changes"), "{err}");
}

#[test]
fn the_table_as_json_is_what_the_text_says() {
    let path = "charts/lamplight-on-the-quay.chart";
    let (_, json, err) = run(&["reharm", path, "--changes", "2", "--to", "json"], "");
    assert_eq!(err, "");
    let [table] = &lines(&json)[..] else {
        panic!("one object a chart: {json}");
    };
    assert_eq!(
        (&table["format"], &table["chart"]),
        (&"compline-changes".into(), &path.into())
    );
    assert_eq!(
        (&table["asked"], &table["no_more_than"]),
        (&2.into(), &Value::Null)
    );
    let rows = table["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 3);
    for row in rows {
        let changes = row["replacements"].as_array().unwrap();
        assert_eq!(row["changes"], changes.len());
        let [first, here] = [&rows[0], row].map(|row| row["effort"].as_i64().unwrap());
        assert_eq!(row["saved"], first - here);
        if row["optimal"] == true {
            assert_eq!(row["lower_bound"], row["score"]);
        }
        // The names are those of the list, and put in give the effort of the row.
        let of = |one: &Value| {
            let strain = one["strain"]["total"].as_i64().unwrap();
            [strain, one["leads_on"].as_i64().unwrap()]
        };
        let sums = changes
            .iter()
            .map(of)
            .fold([0, 0], |[a, b], [c, d]| [a + c, b + d]);
        assert_eq!(
            (&row["strain"], &row["leads_on"]),
            (&Value::from(sums[0]), &Value::from(sums[1]))
        );
        assert_eq!(row["score"], here + 3 * sums[0] - 4 * sums[1]);
        let names: Vec<&str> = changes
            .iter()
            .filter_map(|one| one["name"].as_str())
            .collect();
        if let [_, ..] = &names[..] {
            let (_, page, _) = run(&["reharm", path, "--apply", &names.join(",")], "");
            assert_eq!(row["effort"], effort(&page));
        }
    }
    let change = &rows[2]["replacements"][0];
    for field in [
        "technique",
        "first_bar",
        "replaces",
        "chords",
        "why",
        "melody",
    ] {
        assert!(!change[field].is_null(), "{change}");
    }
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
fn changes_of_no_more_strain_than_is_welcome() {
    let strains = |asked: &[&str]| {
        let arguments = [&["--changes", "3", "--to", "json"], asked].concat();
        let (_, json, _) = reharm(&arguments, TUNE);
        let rows = lines(&json)[0]["rows"].as_array().unwrap().clone();
        let changes = rows
            .iter()
            .flat_map(|row| row["replacements"].as_array().unwrap().clone());
        changes
            .map(|one| one["strain"]["total"].as_u64().unwrap())
            .collect::<Vec<_>>()
    };
    let gentle = strains(&["--gentle"]);
    assert!(
        !gentle.is_empty() && gentle.iter().all(|strain| *strain <= 2),
        "{gentle:?}"
    );
    assert!(strains(&[]).iter().any(|strain| *strain > 2));
}

/// A backdoor in a tune of triads, whose melody refuses its shorter form, strains it by 10.
#[test]
fn what_is_beyond_bold_is_chosen_only_where_it_is_asked_for() {
    let tune =
        "key: G\n| C | G | F | Em |\n| C | G | D7 | G |\nmel | r:4 | r:4 | Bb4:2 A4:2 | r:4 |\n";
    let page = |asked: &[&str]| {
        let arguments = [&["--ways", "backdoor", "--changes", "1"], asked].concat();
        reharm(&arguments, tune).1
    };
    assert!(!page(&[]).contains("F7"));
    assert!(!page(&["--strain", "9"]).contains("F7"));
    assert!(page(&["--strain", "10"]).contains("Cm7 F7"));
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
fn how_much_and_how_many_are_said_where_they_are_no_numbers() {
    let points = "a number of points from 0 was expected, such as 5";
    let many = "a number from 1 was expected, such as 10";
    for (asked, wanted) in [
        ("--strain=x", points),
        ("--strain=-1", points),
        ("--best=0", many),
        ("--best=few", many),
    ] {
        let (status, out, err) = reharm(&[asked], "key: C\n| Dm7 | G7 | C6 |\n");
        assert_eq!((status, out.as_str()), (2, ""), "{asked}");
        assert!(err.contains(wanted), "{asked}: {err}");
    }
}

#[test]
fn where_the_page_as_written_scores_lowest_it_is_said() {
    let blues = "key: Cm\n| Cm7 | Fm7 | Cm7 | C7alt |\n| Fm7 | Fm7 | Cm7 | Cm7 |\n| Ab7 | G7alt | Cm7 | Dm7b5 G7b9 |\n";
    for changes in ["1", "3"] {
        let (code, _, table) = reharm(&["--changes", changes], blues);
        assert_eq!(code, 0);
        let scores = table
            .lines()
            .skip(1)
            .take_while(|row| row.starts_with("   "));
        let scores: Vec<i64> = scores
            .map(|row| row.split_whitespace().nth(1).unwrap().parse().unwrap())
            .collect();
        let written = scores[0];
        assert!(scores[1..].iter().all(|score| *score > written), "{table}");
        let said = format!(
            "the page as written scores lower: {written}; on these terms it is best left as it is\n"
        );
        assert!(table.contains(&said), "{table}");
    }
    let (_, _, gains) = reharm(&["--changes", "1", "--weigh", "strain=0"], TUNE);
    assert!(!gains.contains("best left"), "{gains}");
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
