//! `drill`: charts and formulas through the keys, planned as one performance, in every format.

use std::collections::BTreeSet;
use std::fs;

use compline::arrange::{Arrangement, Cache, Settings, arrange};
use compline::chart::{Chart, Slot, Stop, Wish, read};
use compline::harmony::formula;
use compline::pitch::{Cycle, Key};
use compline::score::{Performing, Score, Sign, Timeline};
use serde_json::Value;

use crate::program::{folder, project, run};

fn stops(chart: &Chart, cycle: Cycle, up: bool) -> Vec<Stop> {
    let keys = cycle.keys(chart.key().unwrap(), up);
    let stop = |key| Stop { key, tempo: None };
    keys.into_iter().map(stop).collect()
}

fn voiced(chart: Chart) -> Arrangement {
    arrange(chart, &Settings::default(), &mut Cache::default()).unwrap()
}

/// Charts of many kinds: formulas, a melody, a repeat with endings, given notes, another meter.
fn materials() -> Vec<Chart> {
    let formulas = ["ii-V-I", "iiø-V7-i", "I-VI7-ii-V", "ii V | I IV", "subV7-I"];
    let mut charts: Vec<Chart> = formulas.map(|text| formula(text).unwrap()).into();
    for text in [
        "key: Eb\n|: Fm7 | Bb7 |1 Ebmaj7 :|2 Ebmaj7 Ab7 |\nmel | C5:3 Ab4:1 | G4:2 F4:2 | G4:4 | Bb4:2 C5:2 |",
        "key: Am\nmeter: 3/4\n| Bm7b5 | E7b9 | Am6 |\nlh | ? | G#3.B3.D4.F4 | ? |",
    ] {
        charts.push(read(text).unwrap());
    }
    charts
}

#[test]
fn all_keys_are_planned_together_and_proved() {
    for chart in materials() {
        for cycle in Cycle::ALL {
            let drill = chart
                .through_keys(&stops(&chart, cycle, true), None)
                .unwrap();
            let keys: Vec<Key> = drill.held().iter().filter_map(|held| held.key).collect();
            let distinct: BTreeSet<Key> = keys.into_iter().collect();
            assert_eq!(distinct.len(), 12);
            let totals = voiced(drill).totals;
            assert!(totals.optimal);
            assert_eq!(totals.lower_bound, totals.cost);
        }
    }
}

/// The hand of each key planned alone, one after the other, is one way to play the drill: the plan is
/// no worse. And no key in it is better than alone.
#[test]
fn one_plan_for_all_keys_is_no_worse_than_one_for_each() {
    for chart in materials() {
        for (cycle, up) in [(Cycle::Fourths, true), (Cycle::HalfSteps, false)] {
            let stops = stops(&chart, cycle, up);
            let drill = chart.through_keys(&stops, None).unwrap();
            let together = voiced(drill.clone()).totals.cost.effort;
            let mut hands = Vec::new();
            let mut alone = 0;
            for stop in stops {
                let one = voiced(chart.through_keys(&[stop], None).unwrap());
                alone += one.totals.cost.effort;
                hands.extend(one.slots.into_iter().map(|slot| match slot.voicing {
                    Some(voicing) => Wish::Given(voicing.notes.iter().map(|n| n.note).collect()),
                    None => Wish::Silent,
                }));
            }
            let apart = voiced(drill.with_hands(hands)).totals.cost.effort;
            assert!(
                together <= apart,
                "{:?}: {together} > {apart}",
                chart.title()
            );
            assert!(
                alone <= together,
                "{:?}: {alone} > {together}",
                chart.title()
            );
        }
    }
}

#[test]
fn every_key_is_read_as_it_would_be_alone() {
    for chart in materials() {
        let stops = stops(&chart, Cycle::MinorThirds, true);
        let drill = voiced(chart.through_keys(&stops, None).unwrap());
        let mut slots = drill.slots.iter();
        for stop in stops {
            let one = voiced(chart.through_keys(&[stop], None).unwrap());
            let count = one.slots.len();
            // What the last chord leads to is another key's first.
            let here: Vec<_> = slots.by_ref().take(count).collect();
            for (alone, here) in one.slots.iter().zip(here).take(count - 1) {
                let read = |context: compline::harmony::HarmonicContext| {
                    (context.scale, context.tonic, context.names)
                };
                assert_eq!(
                    read(alone.context),
                    read(here.context),
                    "{}",
                    here.slot.symbol.text()
                );
            }
        }
        assert_eq!(slots.next(), None);
    }
}

/// Every chord of a two-five-one is one of its usual forms, in every order of keys. (Levine, *The Jazz Piano
/// Book*, 1989, from memory; a dominant has its 5 or its 13.)
#[test]
fn a_two_five_one_has_the_usual_forms_in_every_key() {
    for by in ["fourths", "half-steps", "whole-steps", "minor-thirds"] {
        for way in ["--down", ""] {
            let mut arguments = vec!["drill", "ii-V-I", "--by", by, "--to", "json", way];
            arguments.retain(|argument| !argument.is_empty());
            let ran = run(project(), &arguments);
            let json: Value = serde_json::from_str(&ran.out).unwrap();
            let slots = json["slots"].as_array().unwrap();
            assert_eq!(slots.len(), 48);
            for slot in slots {
                let notes = slot["voicing"]["notes"].as_array().unwrap();
                let degrees: Vec<&str> = notes
                    .iter()
                    .map(|n| n["degree"].as_str().unwrap())
                    .collect();
                let usual = [
                    "b3 5 b7 9",
                    "b7 9 b3 5",
                    "b7 9 3 13",
                    "3 13 b7 9",
                    "b7 9 3 5",
                    "3 5 b7 9",
                    "3 5 7 9",
                    "7 9 3 5",
                ];
                assert!(usual.contains(&degrees.join(" ").as_str()), "{slot}");
            }
        }
    }
}

#[test]
fn the_first_form_is_what_is_asked_for() {
    for form in ["A", "B"] {
        let ran = run(
            project(),
            &["drill", "ii-V-I", "--first", form, "--to", "json"],
        );
        let json: Value = serde_json::from_str(&ran.out).unwrap();
        assert_eq!(json["slots"][0]["voicing"]["form"], form);
        assert_eq!(json["totals"]["optimal"], true);
    }
}

#[test]
fn keys_come_in_the_order_that_is_asked_for() {
    let sections = |arguments: &[&str]| {
        let ran = run(project(), &[&["drill", "ii-V"], arguments].concat());
        assert_eq!(ran.status, 0);
        let names = ran.out.lines().filter(|line| line.starts_with('['));
        names.collect::<Vec<&str>>().join(" ")
    };
    let fourths = "[C] [F] [Bb] [Eb] [Ab] [Db] [Gb] [B] [E] [A] [D] [G]";
    assert_eq!(sections(&[]), fourths);
    assert!(sections(&["--key", "Eb", "--by", "whole-steps"]).starts_with("[Eb] [F] [G]"));
    assert_eq!(sections(&["--key", "G,C,F#"]), "[G] [C] [F#]");
    assert!(sections(&["--by", "half-steps", "--down"]).starts_with("[C] [B] [Bb]"));
}

#[test]
fn every_format_has_all_twelve_keys() {
    let scratch = folder(&[]);
    for (format, ending) in [
        ("text", "chart"),
        ("json", "json"),
        ("grid", "txt"),
        ("musicxml", "musicxml"),
        ("midi", "mid"),
        ("svg", "svg"),
        ("pdf", "pdf"),
        ("wav", "wav"),
    ] {
        let file = format!("drill.{ending}");
        let arguments = [
            "drill", "ii-V-I", "--tempo", "200..250", "--to", format, "-o", &file,
        ];
        assert_eq!(run(scratch.path(), &arguments).status, 0, "{format}");
    }
    let text = fs::read_to_string(scratch.path().join("drill.chart")).unwrap();
    let again = run(scratch.path(), &["voice", "drill.chart"]);
    assert_eq!(again.out, text, "what is printed is a chart");
    let score = fs::read_to_string(scratch.path().join("drill.musicxml")).unwrap();
    assert_eq!(score.matches("<fifths>").count(), 12);
    assert_eq!(score.matches("<per-minute>").count(), 12);
    // Twelve keys of four bars in four, from 200 to 250 beats a minute.
    let chart = read(&text).unwrap();
    let tempi: BTreeSet<u32> = chart.held().iter().filter_map(|held| held.tempo).collect();
    let seconds: f64 = tempi
        .iter()
        .map(|tempo| 16.0 * 60.0 / f64::from(*tempo))
        .sum();
    assert_eq!(tempi.len(), 12);
    let wav = fs::read(scratch.path().join("drill.wav")).unwrap();
    let long = (wav.len() - 44) as f64 / 4.0 / 44_100.0;
    assert!(
        (long - seconds - 1.5).abs() < 0.001,
        "{long} s for {seconds} s and the last note"
    );
}

#[test]
fn a_performance_says_where_key_and_tempo_change() {
    let chart = formula("ii-V").unwrap();
    let stop = |(at, key): (u32, Key)| Stop {
        key,
        tempo: Some(60 + at),
    };
    let keys = Cycle::Fourths.keys(chart.key().unwrap(), true);
    let stops: Vec<Stop> = (0..).zip(keys.clone()).map(stop).collect();
    let arrangement = voiced(chart.through_keys(&stops, None).unwrap());
    let timeline = Timeline::of(&arrangement, &Performing::default());
    let found = |pick: fn(&Sign) -> Option<String>| -> Vec<String> {
        let signs = timeline.signs.iter();
        signs
            .filter_map(|(at, sign)| Some(format!("{at}:{}", pick(sign)?)))
            .collect()
    };
    let tempi = found(|sign| match sign {
        Sign::Tempo(tempo) => Some(tempo.beats.to_string()),
        _ => None,
    });
    let expected: Vec<String> = (0..12)
        .map(|at| format!("{}:{}", at * 8, 60 + at))
        .collect();
    assert_eq!(tempi, expected);
    let signatures = found(|sign| match sign {
        Sign::Key(key) => Some(key.to_string()),
        _ => None,
    });
    let expected: Vec<String> = (0..)
        .zip(&keys)
        .map(|(at, key)| format!("{}:{key}", at * 8))
        .collect();
    assert_eq!(signatures, expected);
    let score = Score::of(&arrangement);
    assert_eq!(score.bars[23].key, keys.last().copied());
}

#[test]
fn the_json_fits_the_schema_and_comes_back() {
    let schema = run(project(), &["voice", "--schema"]).out;
    let validator = jsonschema::validator_for(&serde_json::from_str(&schema).unwrap()).unwrap();
    let json = run(
        project(),
        &["drill", "ii-V-I", "--tempo", "60..120", "--to", "json"],
    )
    .out;
    assert!(validator.is_valid(&serde_json::from_str(&json).unwrap()));
    let voiced = compline::formats::read_voiced(&json).unwrap();
    let held = voiced.chart.held();
    let keys: BTreeSet<Key> = held.iter().filter_map(|held| held.key).collect();
    assert_eq!(keys.len(), 12);
    assert_eq!(held.last().unwrap().tempo, Some(120));
}

#[test]
fn the_melody_goes_along_and_stays_on_the_staff() {
    let text = fs::read_to_string("charts/harbour-cat.chart").unwrap();
    let chart = read(&text).unwrap();
    let pitches = |slots: &[Slot]| -> Vec<i32> {
        let melody = slots.iter().flat_map(|slot| &slot.melody);
        melody.map(|pitch| i32::from(pitch.midi())).collect()
    };
    let alone = pitches(&chart.unfolded(&chart.play_order().unwrap()).slots());
    let drill = chart
        .through_keys(&stops(&chart, Cycle::Fourths, true), None)
        .unwrap();
    let all = pitches(&drill.slots());
    assert_eq!(all.len(), 12 * alone.len());
    for copy in all.chunks(alone.len()) {
        let by = copy[0] - alone[0];
        assert!(by.abs() < 12);
        assert!(
            copy.iter()
                .zip(&alone)
                .all(|(moved, note)| moved - note == by)
        );
    }
    let (low, high) = (all.iter().min().unwrap(), all.iter().max().unwrap());
    let (own_low, own_high) = (alone.iter().min().unwrap(), alone.iter().max().unwrap());
    assert!(
        *low >= 60.min(own_low - 5) && *high <= 84.max(own_high + 6),
        "{low} to {high}"
    );
}

#[test]
fn what_cannot_be_drilled_is_told_plainly() {
    let scratch = folder(&[
        ("plain.chart", "| C |\n"),
        ("tune.chart", "key: C\n| C | F |\n"),
        ("two/a.chart", "| C |\n"),
        ("two/b.chart", "| C |\n"),
    ]);
    for (arguments, told) in [
        (&["drill", "ii-Q-I"][..], "a quality such as"),
        (&["drill", "nothing.chart"], "can't read nothing.chart"),
        (
            &["drill", "two"],
            "two has 2 charts: a drill is made of one",
        ),
        (&["drill", "plain.chart"], "doesn't say which key it is in"),
        (
            &["drill", "tune.chart", "--bar", "2-7"],
            "the written bars are 1 to 2",
        ),
        (&["drill", "tune.chart", "--bar", "2.1"], "whole bars"),
        (
            &["drill", "tune.chart", "--key", "C,Am"],
            "of the other mode: from that tonic, write --key A\n",
        ),
        (
            &["drill", "i-iv-V", "--key", "C"],
            "of the other mode: from that tonic, write --key Cm\n",
        ),
        (
            &["drill", "2-5-1"],
            "neither a file nor a formula: a formula is Roman numerals",
        ),
        (&["drill", "hello"], "neither a file nor a formula"),
        (&["drill", "IV7 #IVdim I/V VI7"], "such as I/5"),
        (&["drill", "no/such"], "can't read no/such"),
        (&["drill", "tune.chart", "--tempo", "60-120"], "is no tempo"),
        (
            &["drill", "ii-V-I", "--by", "thirds"],
            "invalid value 'thirds'",
        ),
    ] {
        let ran = run(scratch.path(), arguments);
        assert_eq!(ran.status, 2, "{arguments:?}");
        assert!(ran.err.contains(told), "{arguments:?}");
        assert!(ran.out.is_empty());
    }
}
