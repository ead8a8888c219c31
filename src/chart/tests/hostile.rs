//! Text that is out to do harm: refused at once, whatever its size.

use std::time::Instant;

use crate::chart::sizes::{LONGEST_LINE, MOST_BARS};
use crate::chart::{Diagnostic, read};

/// A part of the longest text that is looked at, so that the tests stay quick: what takes time with
/// the square of the length still takes longer than is allowed.
const SIZE: usize = 2 * LONGEST_LINE;

/// Refused, within what an unoptimised build needs for it on a busy machine, which is many times
/// what a release build does.
#[track_caller]
fn refused(unit: &str) -> Vec<Diagnostic> {
    // In lines as long as they may be: a longer one is not looked at.
    let line = unit.repeat(LONGEST_LINE / unit.len());
    let text = format!("{line}\n").repeat(SIZE / LONGEST_LINE);
    let start = Instant::now();
    let problems = Vec::from(read(&text).expect_err("refused"));
    assert!(
        start.elapsed().as_secs() < 15,
        "{unit}: {:?}",
        start.elapsed()
    );
    assert!(problems.len() <= 101);
    problems
}

#[test]
fn long_files_of_one_thing_are_refused() {
    for unit in [
        "[",
        "]",
        "[]",
        "[A]\n",
        "(",
        "C(",
        "|",
        "| ",
        "|:",
        "|: C ",
        ":",
        "::",
        "C|",
        "C | ",
        "C\n",
        "C ",
        "/",
        "/ ",
        "%",
        ";\n",
        "\n|",
        "a:\n",
        "mel\n",
        "x ",
        "@",
        "1",
        "|1,",
        "\u{301}",
        "\n[A]C\n",
        "\nplay: A B\n",
    ] {
        refused(unit);
    }
}

#[test]
fn ten_mebibytes_are_too_long() {
    let problems = read(&"(".repeat(10 << 20)).unwrap_err();
    assert!(problems[0].message.contains("too long"));
}

#[test]
fn a_long_row_under_a_short_line_is_refused() {
    // Thousands of bars and notes: an unoptimised build takes its time over each.
    const LONG: usize = LONGEST_LINE / 4;
    for row in ["mel", "lh", "was"] {
        let text = format!("C\n{row} {}", "x|".repeat(LONG / 2));
        assert!(read(&text).is_err());
        let text = format!("C\n{row} {}", "C3 ".repeat(LONG / 3));
        assert!(read(&text).is_err());
    }
}

#[test]
fn a_long_play_line_over_many_sections_is_refused() {
    let sections = "[A]\nC\n".repeat(MOST_BARS - 1);
    let text = format!("play: {}\n{sections}", "B ".repeat(LONGEST_LINE / 2 - 10));
    assert_eq!(read(&text).unwrap_err().len(), 101);
}
