//! The reasons behind voicings, from outside: held against the prices of `options`, the motions of
//! the plan, and the rules.

use compline::arrange::{Cache, Settings, arrange};
use compline::chart;
use compline::explain::why::{Nearer, why};
use serde_json::Value;

use crate::program::{folder, project, run, run_with};

const LAMPLIGHT: &str = "charts/lamplight-on-the-quay.chart";

fn lines(text: &str) -> Vec<Value> {
    text.lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect()
}

fn charts() -> Vec<(String, String)> {
    let mut files: Vec<_> = std::fs::read_dir(project().join("charts"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.sort();
    let read = |path: std::path::PathBuf| {
        let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
        (name, std::fs::read_to_string(path).unwrap())
    };
    files.into_iter().map(read).collect()
}

/// The cheapest option that the plan does not take.
fn cheapest_other(options: &Value) -> Option<&Value> {
    let mut options = options["options"].as_array().unwrap().iter();
    options.find(|option| option["planned"] == false)
}

#[test]
fn the_next_best_is_the_cheapest_other_option() {
    let reasons = lines(&run(project(), &["why", LAMPLIGHT, "--to", "json"]).out);
    let options = lines(&run(project(), &["options", LAMPLIGHT, "--to", "json"]).out);
    assert_eq!(reasons.len(), options.len());
    let mut compared = 0;
    for (why, options) in reasons.iter().zip(&options) {
        assert_eq!(
            (&why["index"], &why["symbol"]),
            (&options["index"], &options["symbol"])
        );
        let next = &why["next_best"];
        let Some(other) = cheapest_other(options) else {
            assert!(next.is_null(), "{why}");
            continue;
        };
        assert_eq!(
            (&next["price"], &next["effort"], &next["voicing"]),
            (&other["price"], &other["effort"], &other["voicing"])
        );
        let dearer = next["decided_by"] == "effort";
        assert_eq!(dearer, next["price"].as_u64().unwrap() > 0, "{next}");
        compared += 1;
    }
    assert!(compared > 20, "only {compared} slots have another option");
}

#[test]
fn a_two_five_one_is_explained_alike_in_every_key() {
    for (key, chords, roots) in [
        ("C", "Dm7 | G7 | Cmaj7", ["D", "G", "C"]),
        ("Eb", "Fm7 | Bb7 | Ebmaj7", ["F", "Bb", "Eb"]),
        ("F#", "G#m7 | C#7 | F#maj7", ["G#", "C#", "F#"]),
        ("Ab", "Bbm7 | Eb7 | Abmaj7", ["Bb", "Eb", "Ab"]),
    ] {
        let chart = format!("key: {key}\n| {chords} |\n");
        let ran = run_with(project(), &["why", "-", "--to", "json"], &chart);
        let slots = lines(&ran.out);
        for (slot, root) in slots.iter().zip(roots) {
            let out = &slot["left_out"][0];
            assert_eq!(
                (&out["degree"], &out["reason"]),
                (&"1".into(), &"bass".into())
            );
            assert_eq!(out["name"], root, "{key}");
        }
        let added = |at: usize| -> Vec<&str> {
            let added = slots[at]["added"].as_array().unwrap().iter();
            added.map(|tone| tone["degree"].as_str().unwrap()).collect()
        };
        assert_eq!(
            (added(0), added(1), added(2)),
            (vec!["9"], vec!["9", "13"], vec!["9"])
        );
        assert_eq!(slots[1]["added"][1]["reason"], "goes");
        // The ii's 9 stays as the V's 13: one note moves, by a half step.
        assert_eq!(slots[1]["arrivals"][0]["motion"], 1, "{key}");
        assert_eq!(
            slots[1]["arrivals"][0]["held"].as_array().unwrap().len(),
            3,
            "{key}"
        );
        assert_eq!(slots[2]["arrivals"][0]["motion"], 5, "{key}");
    }
}

#[test]
fn the_moves_add_up_to_the_motions_of_the_plan() {
    for (name, source) in charts() {
        let settings = Settings::default();
        let chart = chart::read(&source).unwrap();
        let plan = arrange(chart.clone(), &settings, &mut Cache::default()).unwrap();
        let reasons = why(chart, &settings, &mut Cache::default()).unwrap();
        let mut motion = 0;
        let planned = plan.slots.iter().zip(plan.motions());
        for ((arranged, into), why) in planned.zip(&reasons) {
            assert_eq!(why.voicing, arranged.voicing, "{name}");
            let mut motions = Vec::new();
            for way in why.arrivals.iter().filter(|way| way.from.is_some()) {
                motion += u64::from(way.motion()) * way.times.len() as u64;
                if !motions.contains(&way.motion()) {
                    motions.push(way.motion());
                }
            }
            assert_eq!(motions, into, "{name} {}", arranged.slot.bar);
        }
        assert_eq!(motion, plan.totals.motion(), "{name}");
    }
}

#[test]
fn what_lies_nearer_is_not_legal_or_costs_the_tune() {
    let (mut barred, mut dear) = (0, 0);
    for (name, source) in charts() {
        let chart = chart::read(&source).unwrap();
        let plan = arrange(chart.clone(), &Settings::default(), &mut Cache::default()).unwrap();
        let reasons = why(chart, &Settings::default(), &mut Cache::default()).unwrap();
        for (arranged, why) in plan.slots.iter().zip(&reasons) {
            let legal = |voicing: &compline::voicing::Voicing| {
                let mut candidates = arranged.candidates.iter();
                candidates.any(|candidate| candidate.by_pitches(voicing).is_eq())
            };
            if let Nearer::Barred(one) = &why.nearer {
                assert!(!legal(&one.voicing), "{name}: {why:#?}");
                assert!(
                    !one.violations.is_empty() && one.less > 0,
                    "{name}: {why:#?}"
                );
                barred += 1;
            }
            if let Some(closer) = &why.closer {
                assert_eq!(
                    closer.price.is_some(),
                    legal(&closer.voicing),
                    "{name}: {why:#?}"
                );
                assert_eq!(
                    closer.price.is_some(),
                    closer.violations.is_empty(),
                    "{name}"
                );
                dear += usize::from(closer.price.is_some());
            }
        }
    }
    assert!(
        barred > 0 && dear > 0,
        "{barred} barred, {dear} legal but dear"
    );
}

#[test]
fn a_bar_can_be_asked_for_as_with_options() {
    let one = run(project(), &["why", LAMPLIGHT, "--bar", "18"]);
    assert_eq!(
        (one.status, one.out.matches("bar 18, beat").count()),
        (0, 2)
    );
    assert!(one.out.contains("from F9 in bar 17"), "{}", one.out);
    for bar in ["0", "99"] {
        let [why, options] =
            ["why", "options"].map(|command| run(project(), &[command, LAMPLIGHT, "--bar", bar]));
        assert_eq!((why.status, why.out.as_str()), (2, ""));
        assert_eq!(why.err, options.err);
    }
}

#[test]
fn only_one_chart_is_taken() {
    let ran = run(project(), &["why", "charts"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("charts is a folder"), "{}", ran.err);
    let scratch = folder(&[("bad.chart", "| Xyz |\n")]);
    assert_eq!(run(scratch.path(), &["why", "bad.chart"]).status, 2);
}

#[test]
fn every_kind_of_sentence_reads_well() {
    for (chart, sentences) in [
        (
            "key: C\n| Dm7 | N.C. | G7 | Cmaj7 |\nlh | ? | ? | ? | E3.G3.B3.D4 |\n",
            &[
                "bar 2, beat 1: N.C.  silent: the hand stays where it was",
                "  left out   the root D: left to the bass",
                "  moved      the performance begins here",
                "1 semitone: C4 down 1 to B3; F3, A3 and E4 stay",
                "  added      9 A and 13 E: the dominant goes down a fifth into a major chord",
                "  given      the chart gives these notes, so they are held and nothing else was weighed",
                "             5 D: the 13 takes its place",
            ][..],
        ),
        (
            "| C |\n",
            &["  added      6 A and 9 D: a bare major triad is played as a six-nine"],
        ),
        (
            "|: Cmaj7 | Dbmaj7 :|\n",
            &[
                "  moved      the first time, the performance begins here",
                "from Cmaj7 in bar 1: 4 semitones: all 4 notes up 1",
            ],
        ),
        (
            "|: G7 |1 Cmaj7 :|2 Cm7 |\n",
            &["the first time, the dominant goes down a fifth into a major chord"],
        ),
        (
            "| Dm7 | G7 |\n",
            &["13 E: nothing follows the dominant, so its colour stays natural"],
        ),
        (
            "| Fm7/Bb |\n",
            &["the root F: only implied, and the symbol puts Bb in the bass"],
        ),
    ] {
        let ran = run_with(project(), &["why", "-"], chart);
        for sentence in sentences {
            assert!(
                ran.out.contains(sentence),
                "{sentence}\nnot in\n{}",
                ran.out
            );
        }
    }
}

#[test]
fn a_whole_chart_reads_as_recorded() {
    insta::assert_snapshot!(
        "lamplight-on-the-quay",
        run(project(), &["why", LAMPLIGHT]).out
    );
}
