//! Our chord readings held against published ones and against three libraries.
//!
//! `tests/golden/kinds.tsv` says which symbol stands for which kind; `disagreements.tsv` lists every
//! difference with its reason. Here the program's own reading takes the place of the tables' column:
//! the differences found must be exactly the listed ones, so neither can go stale.

use std::collections::{BTreeMap, BTreeSet};

use compline::chord::Chord;
use compline::pitch::{Degree, Name};
use serde_json::Value;

const KINDS: &str = include_str!("../golden/kinds.tsv");
const DISAGREEMENTS: &str = include_str!("../golden/disagreements.tsv");
const MUSIC21: &str = include_str!("../golden/music21.jsonl");
const SPELLED: &str = include_str!("../golden/music21-spelled.jsonl");
const MIR_EVAL: &str = include_str!("../golden/mir_eval.jsonl");
const TONAL: &str = include_str!("../golden/tonal.jsonl");

/// The rows of a table: comments and the line of column names left out.
fn rows(table: &'static str) -> Vec<Vec<&'static str>> {
    let lines = table.lines().filter(|line| !line.starts_with('#'));
    lines
        .skip(1)
        .map(|line| line.split('\t').collect())
        .collect()
}

/// The records of a golden, its first line left out.
fn records(golden: &str) -> Vec<Value> {
    let lines = golden.lines().skip(1);
    lines
        .map(|line| serde_json::from_str(line).unwrap())
        .collect()
}

fn strings(value: &Value) -> Vec<String> {
    let items = value.as_array().unwrap().iter();
    items
        .map(|item| item.as_str().unwrap().to_owned())
        .collect()
}

fn classes(value: &Value) -> BTreeSet<u8> {
    let items = value.as_array().unwrap().iter();
    items
        .map(|item| u8::try_from(item.as_u64().unwrap() % 12).unwrap())
        .collect()
}

/// What one record says of a chord; a library that knows no spelling has no letters.
struct Content {
    letters: Option<BTreeSet<(i8, u8)>>,
    classes: BTreeSet<u8>,
}

/// Degrees without their octave: a 9 is the same tone as a 2.
fn letters(degrees: impl IntoIterator<Item = Degree>) -> BTreeSet<(i8, u8)> {
    let folded = |degree: Degree| (degree.alter(), (degree.number() - 1) % 7);
    degrees.into_iter().map(folded).collect()
}

fn degrees(text: &str) -> Vec<Degree> {
    // A tenth, which one library has, is a third.
    let fold = |text: &str| text.replace("10", "3").parse().unwrap();
    text.split(' ').map(fold).collect()
}

impl Content {
    fn of(degrees: &[Degree]) -> Self {
        Self {
            letters: Some(letters(degrees.iter().copied())),
            classes: degrees.iter().map(|degree| degree.class()).collect(),
        }
    }

    /// `tones`, `spelling`, or nothing.
    fn difference(&self, ours: &Self) -> Option<&'static str> {
        if self.classes != ours.classes {
            Some("tones")
        } else if self.letters.is_some() && self.letters != ours.letters {
            Some("spelling")
        } else {
            None
        }
    }
}

/// What the program reads. `alt` fixes third and seventh and leaves the rest to the player: the
/// tables list what is fixed.
fn ours(symbol: &str) -> Content {
    let chord = Chord::read(symbol).unwrap_or_else(|unread| panic!("{symbol}: {unread}"));
    let choice = if chord.is_altered() {
        chord.tensions()
    } else {
        Vec::new()
    };
    let tones = chord.tones().iter().map(|tone| tone.degree);
    Content::of(
        &tones
            .filter(|degree| !choice.contains(degree))
            .collect::<Vec<_>>(),
    )
}

/// Every record by the name kinds.tsv gives it.
fn known() -> BTreeMap<String, Content> {
    let mut known = BTreeMap::new();
    for kind in records(MUSIC21) {
        let content = Content::of(&degrees(&strings(&kind["degrees"]).join(" ")));
        assert_eq!(content.classes, classes(&kind["intervals"]));
        known.insert(
            format!("music21:{}", kind["kind"].as_str().unwrap()),
            content,
        );
    }
    for one in records(MIR_EVAL) {
        let content = Content {
            letters: None,
            classes: classes(&one["intervals"]),
        };
        known.insert(
            format!("mir_eval:{}", one["shorthand"].as_str().unwrap()),
            content,
        );
    }
    for one in records(TONAL) {
        for alias in strings(&one["aliases"]) {
            let alias = if alias.is_empty() {
                "(empty)".to_owned()
            } else {
                alias
            };
            let content = Content::of(&degrees(&strings(&one["degrees"]).join(" ")));
            known.insert(format!("tonal:{alias}"), content);
        }
    }
    known
}

/// Symbol, source, key, what: the columns that name a disagreement.
type Difference = [String; 4];

fn difference(symbol: &str, source: &str, key: &str, what: &str) -> Difference {
    [symbol, source, key, what].map(str::to_owned)
}

/// All differences between the program and the records.
fn found() -> BTreeSet<Difference> {
    let known = known();
    let mut found = BTreeSet::new();
    for row in rows(KINDS).into_iter().filter(|row| row[2] != "-") {
        let ours = ours(row[2]);
        if row[3] != "-" {
            let published = Content::of(&degrees(row[3]));
            if let Some(what) = published.difference(&ours) {
                found.insert(difference(row[2], row[0], row[1], what));
            }
        }
        for key in row[5].split(' ').filter(|key| *key != "-") {
            if let Some(what) = known[key].difference(&ours) {
                let (source, name) = key.split_once(':').unwrap();
                found.insert(difference(row[2], source, name, what));
            }
        }
    }
    found.extend(misread());
    found
}

/// Abbreviations of its own that a library reads as other tones than it prints them for.
fn misread() -> Vec<Difference> {
    let mut found = Vec::new();
    for kind in records(MUSIC21) {
        for one in kind["parsed"].as_array().unwrap() {
            if one["intervals"] != kind["intervals"] {
                let (written, name) = (one["written"].as_str(), kind["kind"].as_str());
                found.push(difference(
                    written.unwrap(),
                    "music21",
                    name.unwrap(),
                    "reads",
                ));
            }
        }
    }
    found
}

#[test]
fn every_kind_is_read_as_its_table_says() {
    let mut compared = 0;
    for row in rows(KINDS).into_iter().filter(|row| row[2] != "-") {
        let (ours, table) = (ours(row[2]), Content::of(&degrees(row[4])));
        assert_eq!(
            ours.letters, table.letters,
            "{} ({} {})",
            row[2], row[0], row[1]
        );
        compared += 1;
    }
    assert!(compared > 250, "only {compared} symbols in kinds.tsv");
}

#[test]
fn we_differ_from_the_records_exactly_where_it_is_listed() {
    let listed: BTreeSet<Difference> = rows(DISAGREEMENTS)
        .into_iter()
        .map(|row| difference(row[0], row[1], row[2], row[3]))
        .collect();
    let found = found();
    let missing: Vec<_> = found.difference(&listed).collect();
    let stale: Vec<_> = listed.difference(&found).collect();
    assert!(missing.is_empty(), "not in disagreements.tsv: {missing:?}");
    assert!(stale.is_empty(), "no longer true: {stale:?}");
}

/// Each kind of music21 that has a symbol of ours, without its root.
fn kinds_with_symbols() -> BTreeMap<&'static str, &'static str> {
    let mut suffixes = BTreeMap::new();
    for row in rows(KINDS).into_iter().filter(|row| row[2] != "-") {
        for key in row[5].split(' ') {
            if let Some(kind) = key.strip_prefix("music21:") {
                suffixes.insert(kind, &row[2][1..]);
            }
        }
    }
    suffixes
}

#[test]
fn tones_are_spelled_as_music21_spells_them_on_every_root() {
    let suffixes = kinds_with_symbols();
    let degrees_of: BTreeMap<String, Vec<Degree>> = records(MUSIC21)
        .into_iter()
        .map(|kind| {
            let texts = strings(&kind["degrees"]).join(" ");
            (kind["kind"].as_str().unwrap().to_owned(), degrees(&texts))
        })
        .collect();
    let (mut compared, mut roots) = (0, BTreeSet::new());
    for one in records(SPELLED) {
        let (kind, root) = (one["kind"].as_str().unwrap(), one["root"].as_str().unwrap());
        let Some(suffix) = suffixes.get(kind) else {
            continue;
        };
        let chord = Chord::read(&format!("{root}{suffix}")).unwrap();
        for (degree, theirs) in degrees_of[kind].iter().zip(strings(&one["names"])) {
            let theirs: Name = theirs.parse().unwrap();
            // Three accidentals are theirs alone: we respell.
            let expected = if theirs.alter().abs() > 2 {
                theirs.simplest()
            } else {
                theirs
            };
            assert_eq!(chord.spell(*degree), expected, "{degree} of {root}{suffix}");
            compared += 1;
        }
        roots.insert(root.to_owned());
    }
    assert!(compared > 2000, "only {compared} names compared");
    assert_eq!(roots.len(), 18);
}
