//! Forms that another library plays: the repeat files of the MusicXML test suite and forms with jumps,
//! as music21 expands them (`tests/golden/form`).

use super::{bars, read};
use compline::chart;
use serde_json::Value;

const FORMS: &str = include_str!("../../golden/form/forms.jsonl");
const DIFFERENCES: &str = include_str!("../../golden/form/differences.tsv");

/// A form as music21 has it.
struct Golden {
    name: String,
    chart: String,
    /// `None` where music21 refuses.
    played: Option<Vec<usize>>,
}

fn goldens() -> Vec<Golden> {
    let golden = |line: &str| {
        let json: Value = serde_json::from_str(line).unwrap();
        let bars = |played: &Vec<Value>| {
            let numbers = played.iter().map(|bar| bar.as_u64().unwrap());
            numbers.map(|bar| usize::try_from(bar).unwrap()).collect()
        };
        Golden {
            name: json["name"].as_str().unwrap().to_owned(),
            chart: json["chart"].as_str().unwrap().to_owned(),
            played: json["played"].as_array().map(bars),
        }
    };
    FORMS.lines().map(golden).collect()
}

/// What is played here: the bars, or the first mistake's sentence.
fn here(chart: &str) -> Result<Vec<usize>, String> {
    let order = chart::read(chart).and_then(|chart| chart.play_order());
    order
        .map(|order| bars(&order))
        .map_err(|problems| problems.first().unwrap().message.clone())
}

/// The name, what is played here, and why it is not what music21 plays.
fn differences() -> impl Iterator<Item = [&'static str; 3]> {
    let lines = DIFFERENCES.lines().filter(|line| !line.starts_with('#'));
    lines.map(|line| line.split('\t').collect::<Vec<_>>().try_into().unwrap())
}

#[test]
fn music21_plays_the_same_bars_but_for_the_differences_explained() {
    let different: Vec<&str> = differences().map(|[name, ..]| name).collect();
    let mut compared = 0;
    for golden in goldens() {
        if different.contains(&golden.name.as_str()) {
            continue;
        }
        // What music21 refuses is refused here too.
        assert_eq!(here(&golden.chart).ok(), golden.played, "{}", golden.name);
        compared += 1;
    }
    assert_eq!(compared + different.len(), goldens().len());
    assert!(compared >= 25, "only {compared} forms compared");
}

#[test]
fn every_difference_is_as_the_table_says() {
    let goldens = goldens();
    for [name, expected, why] in differences() {
        let golden = goldens.iter().find(|golden| golden.name == name).unwrap();
        let here = here(&golden.chart);
        let text = |bars: &Vec<usize>| bars.iter().map(usize::to_string).collect::<Vec<_>>();
        let shown = here
            .as_ref()
            .map_or_else(Clone::clone, |bars| text(bars).join(" "));
        assert_eq!(shown, expected, "{name}");
        assert_ne!(here.ok(), golden.played, "{name} is no difference");
        assert!(why.len() > 20, "{name} is not explained");
    }
}

#[test]
fn the_nested_file_agrees_once_its_outer_repeat_is_opened() {
    let goldens = goldens();
    let nested = goldens.iter().find(|g| g.name.starts_with("45c")).unwrap();
    let opened = nested.chart.replacen('|', "|:", 1);
    let order = read(&opened).play_order().unwrap();
    assert_eq!(Some(bars(&order)), nested.played);
}
