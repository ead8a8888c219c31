//! No tests: the charts that the tests of `check` from outside share, and its findings as JSON.

use serde_json::Value;

/// Two voicings planned by the program itself.
pub const GOOD: &str = "title: Calm Water\nkey: Bb\n   | Cm7           | F7            |\n\
                    lh | Eb3.G3.Bb3.D4 | Eb3.G3.A3.D4  |\n";

/// The first lies too low, for the range and for its intervals.
pub const MUDDY: &str = "title: Bilge\nkey: Bb\n   | Cm7           | F7            |\n\
                     lh | Eb2.G2.Bb2.D3 | Eb3.G3.A3.D4  |\n";

/// A symbol with two readings: a note, no more.
pub const NOTED: &str = "title: Two Ways\nkey: C\n   | C11           |\nlh | F3.G3.Bb3.C4 |\n";

pub fn lines(text: &str) -> Vec<Value> {
    let lines = text.lines();
    lines
        .map(|line| serde_json::from_str(line).expect("a line of JSON"))
        .collect()
}

pub fn rules_of(findings: &[Value]) -> Vec<&str> {
    findings
        .iter()
        .map(|finding| finding["rule"].as_str().unwrap())
        .collect()
}
