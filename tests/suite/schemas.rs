//! The schemas that commands print, each held against what the command really writes.

use serde_json::{Value, json};

use crate::program::{folder, project, run, run_with};

/// The lines of JSON that a run prints.
fn lines(arguments: &[&str], input: &str) -> Vec<Value> {
    let ran = run_with(project(), arguments, input);
    let lines: Vec<Value> = (ran.out.lines())
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    assert!(!lines.is_empty(), "{arguments:?}");
    lines
}

fn validator(command: &str) -> (Value, jsonschema::Validator) {
    let ran = run(project(), &[command, "--schema"]);
    assert_eq!((ran.status, ran.err.as_str()), (0, ""), "{command}");
    let schema = serde_json::from_str(&ran.out).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    (schema, validator)
}

const MUDDY: &str = "title: Bilge\nkey: Bb\n   | Cm7           | F7            | N.C. |\n\
                     lh | Eb2.G2.Bb2.D3 | Eb3.G3.A3.D4  | - |\n";
const TUNE: &str =
    "title: Slack Water\nkey: C\n    | Dm7 G7 | Cmaj7 | N.C. |\nmel | A4:2 B4:2 | G4:4 | r:4 |\n";

/// Every way a command writes JSON, with what it is given.
const WRITTEN: &[(&str, &[&str], &str)] = &[
    (
        "voice",
        &[
            "charts/bell-buoy-number-nine.chart",
            "--to",
            "json",
            "--candidates",
            "--grounding",
            "--compare",
        ],
        "",
    ),
    (
        "voice",
        &[
            "charts",
            "--to",
            "json",
            "--alternatives",
            "2",
            "--as-played",
        ],
        "",
    ),
    ("drill", &["ii-V-I", "--to", "json"], ""),
    ("options", &["-", "--to", "json"], TUNE),
    ("why", &["-", "--to", "json", "--grounding"], TUNE),
    ("why", &["-", "--to", "json", "--hand", "150mm"], MUDDY),
    ("form", &["charts", "--to", "json"], ""),
    ("harmony", &["charts", "--to", "json"], ""),
    ("check", &["-", "--to", "json", "--no-settings"], MUDDY),
    ("check", &["-", "--rules", "--to", "json"], ""),
    ("check", &["-", "--roughest", "5", "--to", "json"], MUDDY),
    ("reharm", &["charts/three-bells.chart", "--to", "json"], ""),
    ("reharm", &["-", "--to", "json", "--changes", "1"], TUNE),
    ("reharm", &["-", "--to", "json", "--versions", "2"], TUNE),
    ("chord", &["Fm7", "N.C.", "Zz", "C/D", "--to", "json"], ""),
    ("limits", &["--to", "json"], ""),
];

#[test]
fn what_is_written_holds_to_the_schema_of_its_command() {
    for (command, arguments, input) in WRITTEN {
        // A drill is a voiced chart.
        let (_, validator) = validator(if *command == "drill" {
            "voice"
        } else {
            command
        });
        for line in lines(&[&[*command], *arguments].concat(), input) {
            let wrong: Vec<String> = validator
                .iter_errors(&line)
                .map(|e| e.to_string())
                .collect();
            assert!(
                wrong.is_empty(),
                "{command} {arguments:?}: {wrong:?}\n{line}"
            );
        }
    }
}

#[test]
fn a_schema_refuses_what_its_command_would_not_write() {
    for (command, arguments, input) in WRITTEN.iter().filter(|(command, ..)| *command != "drill") {
        let (_, validator) = validator(command);
        let line = &lines(&[&[*command], *arguments].concat(), input)[0];
        let known: Vec<String> = line.as_object().unwrap().keys().cloned().collect();
        assert!(known.len() > 1, "{command}");
        for name in known {
            let refused = [json!({"no": "such"}), json!([null])]
                .into_iter()
                .any(|wrong| {
                    let mut other = line.clone();
                    other[&name] = wrong;
                    !validator.is_valid(&other)
                });
            assert!(refused, "{command} {arguments:?} {name}");
        }
    }
}

#[test]
fn the_report_of_what_was_lost_holds_to_the_schema_of_convert() {
    const GRACED: &str = "X:1\nT:Gull\nK:C\n\"C\" {d}C2 D2 E2 F2|\n";
    let scratch = folder(&[("gull.abc", GRACED)]);
    let arguments = [
        "convert",
        "gull.abc",
        "-o",
        "gull.chart",
        "--report",
        "lost.json",
    ];
    assert_eq!(run(scratch.path(), &arguments).status, 0);
    let report = std::fs::read_to_string(scratch.path().join("lost.json")).unwrap();
    let report: Value = serde_json::from_str(&report).unwrap();
    assert_eq!(report["lost"][0]["kind"], "grace-notes");
    let (_, validator) = validator("convert");
    assert!(validator.is_valid(&report));
    let mut other = report;
    other["lost"][0]["count"] = Value::from("many");
    assert!(!validator.is_valid(&other));
}

#[test]
fn the_record_of_known_findings_holds_to_the_schema_of_check() {
    let scratch = folder(&[("a.chart", MUDDY)]);
    assert_eq!(
        run(scratch.path(), &["check", ".", "--record", "known.json"]).status,
        0
    );
    let record = std::fs::read_to_string(scratch.path().join("known.json")).unwrap();
    let record: Value = serde_json::from_str(&record).unwrap();
    assert!(!record["findings"].as_array().unwrap().is_empty());
    let (_, validator) = validator("check");
    assert!(validator.is_valid(&record));
    let mut other = record;
    other["findings"][0]["count"] = Value::from("many");
    assert!(!validator.is_valid(&other));
}

#[test]
fn every_command_that_writes_json_prints_its_schema_and_nothing_beside_it() {
    for (command, ..) in WRITTEN.iter().filter(|(command, ..)| *command != "drill") {
        let (schema, _) = validator(command);
        assert!(
            schema["$schema"].is_string() && schema["title"].is_string(),
            "{command}"
        );
        assert_eq!(
            run(project(), &[command, "--schema", "--to", "json"]).status,
            2,
            "{command}"
        );
    }
}
