//! What could stand instead of a chart's chords, and how smooth each further change makes it.

use std::fmt::Write;

use schemars::JsonSchema;
use serde::Serialize;

use crate::arrange::{Listed, Rung};
use crate::harmony::{Sung, Verdict};

/// A proposal under its stable names: one object a line.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ProposalReport<'a> {
    /// Its number in the list, from 1.
    number: usize,
    /// The technique's name.
    technique: &'static str,
    /// The first written bar it touches, counted from 1.
    first_bar: usize,
    /// The last.
    last_bar: usize,
    /// The chords it replaces.
    replaces: &'a [String],
    /// What stands there instead.
    chords: Vec<NewJson>,
    /// Why it works here.
    why: &'a str,
    /// What the tune's notes become.
    tune: Vec<SungJson>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "New")]
struct NewJson {
    /// The written bar, counted from 1.
    bar: usize,
    /// The beat it starts on, from 1: an exact fraction.
    beat: String,
    /// How many beats it lasts: an exact fraction.
    beats: String,
    /// The symbol.
    symbol: String,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Sung")]
struct SungJson {
    /// The written bar, counted from 1.
    bar: usize,
    /// The beat it starts on, from 1: an exact fraction.
    beat: String,
    /// The note, middle C = C4.
    note: String,
    /// What it was over the chord before.
    before: String,
    /// What it is over the new chord.
    after: String,
    /// `chord-tone`, `tension`, `altered`, `passing` or `refused`.
    verdict: &'static str,
}

/// The proposals as JSON, a line each.
pub fn proposals_json(listed: &[Listed]) -> String {
    let lines = listed
        .iter()
        .map(|listed| super::json::line(&ProposalReport::of(listed)));
    lines.collect()
}

impl<'a> ProposalReport<'a> {
    /// One proposal.
    pub fn of(listed: &'a Listed) -> Self {
        let (first_bar, last_bar) = listed.bars();
        let new = listed.proposal.chords.iter().map(|new| NewJson {
            bar: new.bar,
            beat: new.beat.to_string(),
            beats: new.beats.to_string(),
            symbol: new.chord.symbol().to_owned(),
        });
        Self {
            number: listed.number,
            technique: listed.proposal.technique,
            first_bar,
            last_bar,
            replaces: &listed.replaced,
            chords: new.collect(),
            why: &listed.proposal.why,
            tune: listed.proposal.sung.iter().map(sung).collect(),
        }
    }
}

fn sung(sung: &Sung) -> SungJson {
    SungJson {
        bar: sung.bar,
        beat: sung.note.beat.to_string(),
        note: sung.note.note.to_string(),
        before: sung.before.to_string(),
        after: sung.after.to_string(),
        verdict: match sung.verdict {
            Verdict::ChordTone => "chord-tone",
            Verdict::Tension => "tension",
            Verdict::Altered => "altered",
            Verdict::Passing => "passing",
            Verdict::Refused(_) => "refused",
        },
    }
}

/// The proposals for people: a paragraph each.
pub fn proposals_text(listed: &[Listed]) -> String {
    let mut text = String::new();
    for listed in listed {
        let (first, last) = listed.bars();
        let bars = match first == last {
            true => format!("bar {first}"),
            false => format!("bars {first}-{last}"),
        };
        let number = listed.number;
        let _ = writeln!(text, "{number:>3}  {bars}: {}", listed.proposal.technique);
        let _ = writeln!(text, "     {}", listed.proposal.why);
        let tune = tune(&listed.proposal.sung);
        if !tune.is_empty() {
            let _ = writeln!(text, "     tune: {tune}");
        }
    }
    text
}

/// `G4 5 -> b9`, note by note.
fn tune(sung: &[Sung]) -> String {
    let notes = sung.iter().map(|sung| {
        let passing = if sung.verdict == Verdict::Passing {
            " (passing)"
        } else {
            ""
        };
        format!(
            "{} {} -> {}{passing}",
            sung.note.note, sung.before, sung.after
        )
    });
    notes.collect::<Vec<_>>().join(", ")
}

/// How smooth each further change makes a tune: a line for every number of changes.
pub fn ladder_text(rungs: &[Option<Rung>], listed: &[Listed]) -> String {
    let mut text = String::from("changes  motion  which\n");
    for (count, rung) in rungs.iter().enumerate() {
        let _ = match rung {
            None => writeln!(text, "{count:>7}       -  no so many fit beside each other"),
            Some(rung) => {
                let proved = if rung.optimal { "" } else { "  (not proved)" };
                let which = which(rung, listed);
                writeln!(text, "{count:>7}  {:>6}  {which}{proved}", rung.cost.motion)
            }
        };
    }
    text
}

fn which(rung: &Rung, listed: &[Listed]) -> String {
    let taken = rung.replacements.iter().filter_map(|&at| listed.get(at));
    let named: Vec<String> = taken
        .map(|l| {
            format!(
                "{} ({}, bar {})",
                l.number,
                l.proposal.technique,
                l.bars().0
            )
        })
        .collect();
    match named.is_empty() {
        true => "as written".to_owned(),
        false => named.join(", "),
    }
}
