//! No tests: how `reharm` is run on a chart from standard input.

use std::path::Path;

use serde_json::Value;

use crate::program::run_with;

pub const TUNE: &str = "key: C\n| Dm7 | G7 | Cmaj7 | % |\nmel | D5:4 | B4:2 F4:2 | E4:4 | r:4 |\n";

pub fn run(arguments: &[&str], input: &str) -> (i32, String, String) {
    let ran = run_with(Path::new("."), arguments, input);
    (ran.status, ran.out, ran.err)
}

/// Runs `reharm` on a chart from standard input.
pub fn reharm(arguments: &[&str], input: &str) -> (i32, String, String) {
    run(&[&["reharm", "-"], arguments].concat(), input)
}

pub fn lines(json: &str) -> Vec<Value> {
    json.lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect()
}

/// The motion of a chart's plan, as `voice` finds it.
pub fn effort(chart: &str) -> u64 {
    let (_, voiced, _) = run(&["voice", "--to", "json", "-"], chart);
    lines(&voiced)[0]["totals"]["effort"].as_u64().unwrap()
}
