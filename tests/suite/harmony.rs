//! `harmony`: what it prints, what it tells programs, and that the voicings take what the published
//! tables allow to the functions it finds.

use std::collections::BTreeSet;

use serde_json::Value;

use crate::program::{folder, project, run, run_with};

/// What may be added to a chord of this numeral: the published tables, typed in again. Berklee HARM
/// 121 sheet, 2008 (diatonic sevenths and secondary dominants, where many players add the b9 to V7/ii);
/// substitute and backdoor dominants and the V7 of minor from memory, Nettles & Graf. A root that is kept is
/// always allowed.
const ALLOWED: [(&str, &str, &str); 22] = [
    ("major", "Imaj7", "9 13"),
    ("major", "ii7", "9 11"),
    ("major", "iii7", "11"),
    ("major", "IVmaj7", "9 #11 13"),
    ("major", "V7", "9 13"),
    ("major", "vi7", "9 11"),
    ("major", "viiø7", "11 b13"),
    ("major", "V7/ii", "b9 9 b13"),
    ("major", "V7/iii", "b9 #9 b13"),
    ("major", "V7/IV", "9 13"),
    ("major", "V7/V", "9 13"),
    ("major", "V7/vi", "b9 #9 b13"),
    ("major", "I7", "9 13"),
    ("major", "IV7", "9 13"),
    ("major", "subV7", "9 #11 13"),
    ("major", "subV7/ii", "9 #11 13"),
    ("major", "subV7/V", "9 #11 13"),
    ("major", "bVII7", "9 #11 13"),
    ("minor", "V7", "b9 b13"),
    ("minor", "iiø7", "11 b13"),
    ("minor", "v7", "11"),
    ("minor", "bVImaj7", "9 #11 13"),
];

fn values(text: &str) -> Vec<Value> {
    text.lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect()
}

fn words(value: &Value) -> BTreeSet<&str> {
    let list = value.as_array().unwrap().iter();
    list.map(|word| word.as_str().unwrap()).collect()
}

/// Every tone that a voicing adds beyond the symbol is one the table allows; returns how many chords
/// the table had a row for.
fn held_to_the_table(folder: &std::path::Path, charts: &[&str]) -> usize {
    let mut voice = vec!["voice", "--to", "json", "--ignore-melody"];
    let mut harmony = vec!["harmony", "--to", "json"];
    voice.extend(charts);
    harmony.extend(charts);
    let (voiced, stood) = (run(folder, &voice), run(folder, &harmony));
    let mut held = 0;
    for (voiced, stood) in values(&voiced.out).iter().zip(values(&stood.out)) {
        let slots = voiced["slots"].as_array().unwrap();
        for (slot, chord) in slots.iter().zip(stood["chords"].as_array().unwrap()) {
            held += usize::from(slot_is_held(slot, chord));
        }
    }
    held
}

fn slot_is_held(slot: &Value, chord: &Value) -> bool {
    assert_eq!(slot["symbol"], chord["symbol"]);
    let Some(region) = chord["region"].as_str() else {
        return false;
    };
    let mode = if region.ends_with('m') {
        "minor"
    } else {
        "major"
    };
    let row = ALLOWED
        .iter()
        .find(|(of, numeral, _)| *of == mode && chord["numeral"] == *numeral);
    let planned = slot["voicing"]["given"] == false;
    // The 13 that a dominant's symbol names is the 9 of its ii, and is held from the one to the other.
    let of_thirteenth = chord["function"] == "related ii"
        && chord["resolves_to"]
            .as_str()
            .is_some_and(|to| to.contains("13"));
    let planned = planned && !of_thirteenth;
    let Some((_, numeral, allowed)) = row.filter(|_| planned) else {
        return false;
    };
    let tones = words(&slot["tones"]);
    // A symbol that bends its dominant brings the company of its alteration along.
    let bent = ["b9", "#9", "#11", "b13", "#5", "b5"];
    if numeral.contains("V7") && bent.iter().any(|tone| tones.contains(tone)) {
        return false;
    }
    for note in slot["voicing"]["notes"].as_array().unwrap() {
        let degree = note["degree"].as_str().unwrap();
        let allowed = allowed.split(' ').any(|tension| tension == degree);
        let kept = degree == "1" || tones.contains(degree);
        assert!(allowed || kept, "{degree} on {} {numeral}", chord["symbol"]);
    }
    true
}

#[test]
fn voicings_take_only_what_the_tables_allow() {
    let charts = ["charts"];
    let held = held_to_the_table(project(), &charts);
    assert!(held > 60, "{held} chords of the demo charts");
}

#[test]
fn so_they_do_in_a_tune_that_has_every_row() {
    let tune = "key: C\n| Cmaj7 | A7 | Dm7 | B7 |\n| Em7 | C7 | Fmaj7 | D7 |\n\
                | G7 | E7 | Am7 | Ab7 |\n| G7 | Bb7 | Em7 Eb7 | Dm7 Db7 |\n| Cmaj7 | F7 | C7 | Bm7b5 |\n\
                | C7 | G7 | Cmaj7 | % |";
    let minor = "key: Cm\n| Cm6 | Dm7b5 | G7 | Cm6 |\n| Abmaj7 | Gm7 | Fm7 | Dm7b5 |\n| G7 | Cm6 |";
    for key in [
        "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
    ] {
        let moved = |text: &str, key: &str| {
            let scratch = folder(&[("t.chart", text)]);
            let ran = run(
                scratch.path(),
                &["voice", "t.chart", "--key", key, "--to", "text"],
            );
            let music = ran
                .out
                .lines()
                .filter(|line| !line.starts_with("lh") && !line.starts_with(";:"));
            music.collect::<Vec<_>>().join("\n")
        };
        let minor_key = format!("{}m", key.replace("Db", "C#"));
        let scratch = folder(&[
            ("a.chart", &moved(tune, key)),
            ("b.chart", &moved(minor, &minor_key)),
        ]);
        let held = held_to_the_table(scratch.path(), &["a.chart", "b.chart"]);
        assert!(held >= 26, "{held} in {key}");
    }
}

#[test]
fn demo_charts_read_as_recorded() {
    for name in [
        "bell-buoy-number-nine",
        "fog-signal",
        "lamplight-on-the-quay",
        "rope-and-salt-blues",
    ] {
        let ran = run(project(), &["harmony", &format!("charts/{name}.chart")]);
        assert_eq!((ran.status, ran.err.as_str()), (0, ""));
        insta::assert_snapshot!(name, ran.out);
    }
}

#[test]
fn json_is_one_object_a_chart_under_stable_names() {
    let two = folder(&[
        (
            "a.chart",
            "title: A\nkey: C\n| Em7 A7 | Dm7 G7 | C6 | N.C. |",
        ),
        ("b.chart", "| Fm7 | Bb7 | Ebmaj7 | % |"),
    ]);
    let ran = run(two.path(), &["harmony", "--to", "json", "."]);
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
    let found = values(&ran.out);
    assert_eq!(found.len(), 2);
    let chord = &found[0]["chords"][1];
    for (name, value) in [
        ("symbol", "A7"),
        ("region", "C"),
        ("numeral", "V7/ii"),
        ("function", "secondary dominant"),
        ("goal", "ii"),
        ("resolution", "fifth-into-minor"),
        ("resolves_to", "Dm7"),
        ("scale", "Mixolydian b13"),
        ("beat", "3"),
    ] {
        assert_eq!(chord[name], value, "{name}");
    }
    assert_eq!(chord["tensions"], serde_json::json!(["b9", "9", "b13"]));
    assert_eq!(chord["avoid"], serde_json::json!(["11"]));
    let silent = &found[0]["chords"][5];
    assert_eq!(
        (&silent["symbol"], &silent["numeral"]),
        (&"N.C.".into(), &Value::Null)
    );
    assert_eq!(found[1]["key"], Value::Null);
    assert_eq!(found[1]["regions"][0]["key"], "Eb");
}

#[test]
fn standard_input_loops_and_mistakes() {
    let there = run_with(
        project(),
        &["harmony", "-", "--to", "json"],
        "key: C\n| Dm7 | G7 |",
    );
    let round = run_with(
        project(),
        &["harmony", "-", "--to", "json", "--loop"],
        "key: C\n| Cmaj7 | G7 |",
    );
    let last = |text: &str| values(text)[0]["chords"][1]["resolves_to"].clone();
    assert_eq!(last(&there.out), Value::Null);
    assert_eq!(last(&round.out), "Cmaj7");
    let bad = run_with(project(), &["harmony", "-"], "| Qm7 |");
    assert_eq!((bad.status, bad.out.as_str()), (2, ""));
    let mixed = folder(&[("a.chart", "| Qm7 |"), ("b.chart", "| C6 | G7 |")]);
    let ran = run(mixed.path(), &["harmony", "."]);
    assert_eq!(ran.status, 2);
    assert!(ran.out.contains("C6"), "one bad chart stops no other");
}

/// The regions `harmony` tells, and the last chord's numeral and where it resolves.
fn told(chart: &str, options: &[&str]) -> (Vec<String>, Value) {
    let scratch = folder(&[("t.chart", chart)]);
    let arguments = ["harmony", "t.chart", "--to", "json"];
    let ran = run(scratch.path(), &[&arguments, options].concat());
    let told: Value = serde_json::from_str(&ran.out).unwrap();
    let regions = told["regions"].as_array().unwrap().iter();
    let regions = regions.map(|r| format!("{} {}", r["key"].as_str().unwrap(), r["bar"]));
    let last = told["chords"].as_array().unwrap().last().unwrap().clone();
    (regions.collect(), last)
}

#[test]
fn an_ending_that_a_loop_leads_home_is_no_ending() {
    let tune = "key: C\n| Cmaj7 | Dm7 G7 | Cmaj7 | Bm7b5 E7 | Am7 |";
    let (regions, last) = told(tune, &[]);
    assert_eq!(regions, ["C 1", "Am 4"]);
    assert_eq!(last["numeral"], "i7");
    let (regions, last) = told(tune, &["--loop"]);
    assert_eq!(regions, ["C 1"]);
    assert_eq!(last["numeral"], "vi7");
}

#[test]
fn the_turnaround_of_a_loop_resolves_into_its_first_chord() {
    let tune = "key: C\n| Cmaj7 | Fm7 Bb7 | Ebmaj7 | Dm7 G7 |";
    let (regions, last) = told(tune, &[]);
    assert_eq!(regions, ["C 1", "Eb 2", "C 4"]);
    assert_eq!(last["resolves_to"], Value::Null);
    let (regions, last) = told(tune, &["--loop"]);
    assert_eq!(regions, ["C 1", "Eb 2", "C 4"]);
    assert_eq!(last["resolves_to"], "Cmaj7");
    // What is begun at the end is taken up at the beginning.
    let inside = "key: C\n| Fmaj7 | Dm7 G7 | Cmaj7 Am7 | Dm7 G7 | Cmaj7 | Gm7 C7 |";
    let (regions, last) = told(inside, &["--loop"]);
    assert_eq!(regions, ["C 1"]);
    assert_eq!(
        (&last["numeral"], &last["resolves_to"]),
        (&"V7/IV".into(), &"Fmaj7".into())
    );
}

#[test]
fn a_reharmonised_page_is_read_in_the_keys_it_had() {
    let page = "key: C\n| Cmaj7 | Dm7 G7 | Cmaj7 | Fm7 | Bb7 | Ebmaj7 | Dm7 G7 | C6 |\n";
    let bridge = ["reharm", "-", "--bar", "4-6", "--changes", "exactly 3"];
    let ran = run_with(project(), &bridge, page);
    assert!(ran.out.contains("was"), "{}{}", ran.out, ran.err);
    let (before, _) = told(page, &[]);
    let (after, _) = told(&ran.out, &[]);
    assert_eq!(after, before);
    // Alone, the new chords are in other keys.
    let forgotten = ran.out.lines().filter(|line| !line.starts_with("was"));
    let (alone, _) = told(&forgotten.collect::<Vec<_>>().join("\n"), &[]);
    assert_ne!(alone, before);
}
