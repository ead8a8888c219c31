//! The harmony of a chart for people: under each line of changes the key, the numeral, the function,
//! where the chord resolves, what it takes and what it avoids.

use std::collections::BTreeMap;

use unicode_width::UnicodeWidthStr;

use super::json::{Stood, stood};
use crate::chart::{Bar, Chart, PlayOrder, Stroke};
use crate::pitch::{Degree, Key};

/// The labels of the rows under the changes.
const LABELS: [&str; 7] = ["", "key", "num", "does", "to", "takes", "avoids"];

/// How wide the column of labels is.
const LABEL: usize = 8;

/// What stands for nothing, so that every chord has a word in every row.
const NOTHING: &str = ".";

const LEGEND: &str = "key: where a region begins. num: numeral. does: function. to: where it \
resolves, or (where it would). takes, avoids: tensions and notes to avoid in this place.\n";

/// The harmony for people.
pub fn harmony_text(chart: &Chart, order: &PlayOrder, looped: bool) -> String {
    let mut page = chart.title().unwrap_or("untitled").to_owned();
    let (home, stood) = stood(chart, order, looped);
    if let Some(key) = home {
        let found = if chart.key().is_none() {
            " (found)"
        } else {
            ""
        };
        page.push_str(&format!(", key {key}{found}"));
    }
    page.push('\n');
    let systems = systems(&stood);
    let mut section = None;
    for ((in_section, line), bars) in &systems {
        let Some(of) = chart.sections.get(*in_section) else {
            continue;
        };
        page.push('\n');
        if section.replace(*in_section) != Some(*in_section)
            && let Some(name) = &of.name
        {
            page.push_str(&format!("[{name}]\n"));
        }
        let written = of.lines.get(*line).map_or(&[][..], |line| &line.bars);
        page.push_str(&system(written, bars));
    }
    page.push('\n');
    page.push_str(LEGEND);
    page
}

/// The words of a chord, row by row.
type ChordWords = [String; LABELS.len()];

/// For each line of the page, by section and line, the words of its bars.
fn systems(stood: &[Stood]) -> BTreeMap<(usize, usize), BTreeMap<usize, Vec<ChordWords>>> {
    let mut systems: BTreeMap<_, BTreeMap<usize, Vec<ChordWords>>> = BTreeMap::new();
    let mut key = None;
    for stood in stood {
        let place = stood.slot.place;
        let bars = systems.entry((place.section, place.line)).or_default();
        let words = bars.entry(place.bar).or_default();
        words.push(words_of(stood, &mut key));
    }
    systems
}

fn words_of(stood: &Stood, key: &mut Option<Key>) -> ChordWords {
    let symbol = stood.slot.symbol.text().to_owned();
    let nothing = || NOTHING.to_owned();
    let Some(analysis) = &stood.analysis else {
        let mut words: ChordWords = std::array::from_fn(|_| nothing());
        if let Some(first) = words.first_mut() {
            *first = symbol;
        }
        return words;
    };
    let begins = key.replace(analysis.region) != Some(analysis.region);
    let resolves = stood.resolves_to().map(str::to_owned);
    let expected = || analysis.goal.map(|goal| format!("({goal})"));
    let [takes, avoids] = stood.degrees().unwrap_or_default();
    [
        symbol,
        match begins {
            true => analysis.region.to_string(),
            false => nothing(),
        },
        analysis.numeral.to_string(),
        analysis.function.short().to_owned(),
        resolves.or_else(expected).unwrap_or_else(nothing),
        list(&takes),
        list(&avoids),
    ]
}

fn list(degrees: &[Degree]) -> String {
    let texts: Vec<String> = degrees.iter().map(Degree::to_string).collect();
    match texts.is_empty() {
        true => NOTHING.to_owned(),
        false => texts.join(","),
    }
}

/// A line of the page with its rows, bar line under bar line and chord under chord.
fn system(written: &[Bar], bars: &BTreeMap<usize, Vec<ChordWords>>) -> String {
    let mut rows: Vec<String> = LABELS.map(|label| format!("{label:<LABEL$}")).into();
    for (at, bar) in written.iter().enumerate() {
        let sign = sign(at.checked_sub(1).and_then(|at| written.get(at)), Some(bar));
        add_sign(&mut rows, &sign);
        let words = bars.get(&at).map_or(&[][..], Vec::as_slice);
        for chord in words {
            let width = chord.iter().map(|word| word.width()).max().unwrap_or(0);
            for (row, word) in rows.iter_mut().zip(chord) {
                row.push_str(word);
                push_spaces(row, width + 1 - word.width());
            }
        }
        let instructions = jumps(bar, false);
        for (at, row) in rows.iter_mut().enumerate() {
            match at {
                0 => row.push_str(instructions.trim_start()),
                _ => push_spaces(row, instructions.trim_start().width()),
            }
            push_spaces(row, usize::from(!instructions.is_empty()));
        }
    }
    add_sign(&mut rows, &sign(written.last(), None));
    let lines = rows.iter().map(|row| format!("{}\n", row.trim_end()));
    lines.collect()
}

/// The bar line between two bars, and the jumps at the head of the next.
fn sign(before: Option<&Bar>, after: Option<&Bar>) -> [String; 3] {
    let repeats = before.is_some_and(|bar| bar.closes.repeat.is_some());
    let double = before.is_some_and(|bar| bar.closes.stroke != Stroke::Single);
    let mut right = String::new();
    if let Some(bar) = after {
        let endings: Vec<String> = bar.opens.endings.iter().map(u8::to_string).collect();
        right.push_str(&endings.join(","));
        right.push_str(if bar.opens.repeat { ":" } else { "" });
        right.push_str(&jumps(bar, true));
    } else if double {
        right.push('|');
    }
    let left = if repeats { ":" } else { "" };
    [left.to_owned(), "|".to_owned(), right]
}

/// The signs to arrive at, which stand before the chords, or the instructions, which stand behind.
fn jumps(bar: &Bar, targets: bool) -> String {
    let chosen = bar.jumps.iter().map(|marked| marked.jump);
    let chosen = chosen.filter(|jump| jump.is_target() == targets);
    chosen.map(|jump| format!(" {jump}")).collect()
}

/// Adds a bar line to every row; what it opens and closes stands in the first only.
fn add_sign(rows: &mut [String], [left, stroke, right]: &[String; 3]) {
    for (at, row) in rows.iter_mut().enumerate() {
        let shown = at == 0;
        match shown {
            true => row.push_str(left),
            false => push_spaces(row, left.width()),
        }
        row.push_str(stroke);
        match shown {
            true => row.push_str(right),
            false => push_spaces(row, right.width()),
        }
        row.push(' ');
    }
}

fn push_spaces(row: &mut String, count: usize) {
    row.extend(std::iter::repeat_n(' ', count));
}
