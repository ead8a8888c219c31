//! A chart voiced by the library and held against the independent checker.

use compline::arrange::{Arrangement, Cache, Settings, arrange};
use compline::chart;
use compline::formats::{Style, json};
use compline::harmony::Melody;
use serde_json::Value;

use crate::independent::{Claim, Rules, faults};

/// Plans a chart under these settings; panics with the reasons where it can't be.
pub fn voiced(name: &str, source: &str, settings: &Settings, cache: &mut Cache) -> Arrangement {
    let chart = chart::read(source).unwrap_or_else(|problems| panic!("{name}: {problems:#?}"));
    arrange(chart, settings, cache).unwrap_or_else(|stuck| panic!("{name}: {stuck:#?}"))
}

/// Everything the independent checker finds wrong with the planned voicings, as the JSON shows them.
pub fn complaints(name: &str, arrangement: &Arrangement) -> Vec<String> {
    let text = json(arrangement, &Style::default());
    let voiced: Value = serde_json::from_str(&text).expect("JSON");
    let rules = rules(&voiced["settings"]);
    let slots = voiced["slots"].as_array().expect("slots").iter();
    slots
        .zip(&arrangement.slots)
        .filter(|(slot, _)| slot["voicing"]["given"] == false)
        .flat_map(|(slot, arranged)| {
            let chord = arranged.slot.symbol.chord().expect("a chord sounds here");
            let named: Vec<String> = chord
                .tones()
                .iter()
                .filter(|tone| tone.named)
                .map(|tone| tone.degree.to_string())
                .collect();
            let named: Vec<&str> = named.iter().map(String::as_str).collect();
            // What goes by forbids nothing.
            let held = Melody::of(&arranged.slot).held;
            let tune = held.iter().map(|pitch| i32::from(pitch.midi()));
            let claim = Claim::of_slot(slot, &named, tune.collect()).expect("it sounds");
            let place = format!("{name}, bar {}, {}", slot["bar"], slot["symbol"]);
            faults(&claim, &rules)
                .into_iter()
                .map(move |fault| format!("{place}: {fault}"))
        })
        .collect()
}

fn rules(settings: &Value) -> Rules {
    let number = |name: &str| i32::try_from(settings[name].as_i64().expect("a number")).unwrap();
    Rules {
        low: number("low"),
        high: number("high"),
        reach: number("reach"),
        limits: settings["limits"].as_str().expect("a name").to_owned(),
    }
}
