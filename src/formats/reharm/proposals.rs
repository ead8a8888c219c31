//! What could stand instead of a chart's chords: the list of proposals.

use std::fmt::Write;

use schemars::JsonSchema;
use serde::Serialize;

use crate::chart::Chart;
use crate::formats::json::line;
use crate::harmony::{Fit, MelodyFit, distance_from_tonic};
use crate::reharm::{Listed, Strain};

/// A proposal with the chart it is for, under its stable names: one object a line.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ProposalReport<'a> {
    /// Always `compline-proposal`.
    format: &'static str,
    /// The version of this format: a program that knows 2 can read any 2.
    version: u32,
    /// The chart's path as it was given, or `<stdin>`.
    chart: &'a str,
    /// The chart's title.
    title: Option<&'a str>,
    #[serde(flatten)]
    proposal: ProposalJson<'a>,
}

/// A proposal.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Proposal")]
pub(in crate::formats) struct ProposalJson<'a> {
    /// Its name, made of place and technique, which stays when other proposals come and go.
    name: String,
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
    /// How far it bends the melody.
    strain: StrainJson,
    /// How many more links than written lead on, -2 to 3.
    leads_on: i32,
    /// Whether it brings nothing but chords that stand beside it already.
    idle: bool,
    /// Whether only the bass moves, which a hand without roots doesn't play.
    bass_only: bool,
    /// Why it works here.
    why: &'a str,
    /// What the melody's notes become.
    melody: Vec<SungJson>,
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
    /// The distance of its triad from the tonic of its key by Lerdahl's rule (Tonal Pitch Space, 2001);
    /// null where the key has no such triad. It is no part of the strain.
    tonal_distance: Option<u32>,
}

/// The strain, part by part.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Strain")]
struct StrainJson {
    /// The sum of the parts.
    total: u32,
    /// `gentle` (0 to 2), `medium` (3 to 5), `bold` (6 to 9) or `beyond`.
    band: &'static str,
    /// For how long another chord sounds.
    length: u32,
    /// For the written tones that no longer sound.
    tones: u32,
    /// For how the last new chord goes on.
    way_on: u32,
    /// For notes outside the key.
    outside: u32,
    /// For what becomes of the melody's long notes.
    degree: u32,
}

impl StrainJson {
    const fn of(strain: Strain) -> Self {
        Self {
            total: strain.total(),
            band: strain.band().name(),
            length: strain.length,
            tones: strain.tones,
            way_on: strain.way_on,
            outside: strain.outside,
            degree: strain.degree,
        }
    }
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

/// The proposals for the chart of this name as JSON, a line each.
pub fn proposals_json(name: &str, chart: &Chart, listed: &[Listed]) -> String {
    let report = |listed| ProposalReport {
        format: "compline-proposal",
        version: 2,
        chart: name,
        title: chart.title(),
        proposal: ProposalJson::of(listed),
    };
    listed.iter().map(|listed| line(&report(listed))).collect()
}

impl<'a> ProposalJson<'a> {
    pub(in crate::formats) fn of(listed: &'a Listed) -> Self {
        let (first_bar, last_bar) = listed.bars();
        let new = listed.proposal.chords.iter().map(|new| NewJson {
            bar: new.bar,
            beat: new.beat.to_string(),
            beats: new.beats.to_string(),
            symbol: new.chord.symbol().to_owned(),
            tonal_distance: listed
                .key
                .and_then(|key| distance_from_tonic(&new.chord, key)),
        });
        let judgement = &listed.judgement;
        Self {
            name: listed.name.to_string(),
            technique: listed.proposal.technique,
            first_bar,
            last_bar,
            replaces: &listed.replaced,
            chords: new.collect(),
            strain: StrainJson::of(judgement.strain),
            leads_on: judgement.leads_on,
            idle: judgement.idle,
            bass_only: judgement.bass_only,
            why: &listed.proposal.why,
            melody: listed.proposal.melody.iter().map(sung).collect(),
        }
    }
}

fn sung(sung: &MelodyFit) -> SungJson {
    SungJson {
        bar: sung.bar,
        beat: sung.note.beat.to_string(),
        note: sung.note.note.to_string(),
        before: sung.before.to_string(),
        after: sung.after.to_string(),
        verdict: match sung.fit {
            Fit::ChordTone => "chord-tone",
            Fit::Tension => "tension",
            Fit::Altered => "altered",
            Fit::BlueThird => "blue-third",
            Fit::Passing => "passing",
            Fit::Misfit(_) => "refused",
        },
    }
}

/// The proposals for people: a paragraph each.
pub fn proposals_text(listed: &[Listed]) -> String {
    let mut text = String::new();
    for listed in listed {
        let _ = writeln!(text, "{}", listed.name);
        let _ = writeln!(text, "     {}", listed.proposal.why);
        let melody = melody(&listed.proposal.melody);
        if !melody.is_empty() {
            let _ = writeln!(text, "     melody: {melody}");
        }
    }
    text
}

/// What each note of the melody becomes: `G4 5 -> b9`, or for one that several new chords hear,
/// `G4 3 -> 3 then b7`.
fn melody(sung: &[MelodyFit]) -> String {
    let same = |a: &MelodyFit, b: &MelodyFit| a.bar == b.bar && a.note == b.note;
    if !sung.is_empty() && sung.iter().all(|sung| sung.before == sung.after) {
        return "every note stays what it was".to_owned();
    }
    // What several chords hear stands once under each: brought together at the first of them.
    let mut notes: Vec<Vec<&MelodyFit>> = Vec::new();
    for one in sung {
        match notes
            .iter_mut()
            .find(|heard| heard.iter().any(|other| same(one, other)))
        {
            Some(heard) => heard.push(one),
            None => notes.push(vec![one]),
        }
    }
    notes.sort_by_key(|heard| heard.first().map(|sung| (sung.bar, sung.note.beat)));
    let notes = notes.iter().filter_map(|heard| note(heard));
    notes.collect::<Vec<_>>().join(", ")
}

/// One note under all the new chords that hear it.
fn note(heard: &[&MelodyFit]) -> Option<String> {
    let first = heard.first()?;
    let mut after: Vec<String> = heard.iter().map(|sung| over(sung)).collect();
    after.dedup();
    let after = after.join(" then ");
    Some(format!("{} {} -> {after}", first.note.note, first.before))
}

fn over(sung: &MelodyFit) -> String {
    match sung.fit {
        Fit::Passing => format!("{} (passing)", sung.after),
        _ => sung.after.to_string(),
    }
}
