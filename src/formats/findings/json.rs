//! A finding as one line of JSON, with stable names and a schema.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Region, Shown, UNREADABLE};
use crate::chart::Beats;
use crate::check::{Fix, Replan, Severity, VoicingChange};
use crate::formats::json::line;
use crate::hand::{Hundredths, Thousandths};

/// A finding.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FindingReport<'a> {
    /// Always `compline-finding`.
    format: &'static str,
    /// The version of this format: a program that knows 2 can read any 2.
    version: u32,
    /// The chart's path as it was given, or `<stdin>`.
    chart: &'a str,
    /// The chart's title.
    title: Option<&'a str>,
    /// The rule; `unreadable` for a mistake for which the chart could not be read.
    rule: &'static str,
    /// `note`, `warning` or `error`.
    severity: &'static str,
    /// What is wrong, one sentence; notes in it have the names the chart has for them, whatever it calls
    /// middle C.
    message: &'a str,
    /// The line of the file it is in, from 1; null for the whole chart.
    line: Option<usize>,
    /// The column it starts at, from 1, in characters; null for a whole line.
    column: Option<usize>,
    /// The line it ends in.
    end_line: Option<usize>,
    /// The column after its last.
    end_column: Option<usize>,
    /// The slot, by its place among all slots of the chart, from 0; null for the whole chart.
    slot: Option<usize>,
    /// The section's name, empty before any heading.
    section: Option<&'a str>,
    /// The written bar, from 1.
    bar: Option<usize>,
    /// What the file calls the bar, such as `measure 3`; null for a chart.
    in_file: Option<&'a str>,
    /// The beat, from 1: an exact fraction.
    #[schemars(with = "Option<String>")]
    beat: Option<Beats>,
    /// The chord symbol.
    symbol: Option<&'a str>,
    /// The notes the chart gives there, lowest first, middle C = C4.
    notes: Vec<String>,
    /// What would fix it; its text has the notes as the chart names them.
    mend: MendJson,
    /// A second opinion on a muddy voicing, for information only.
    opinion: Option<OpinionJson>,
    /// A warning to the player that goes with it.
    caution: Option<&'static str>,
    /// The reason why the chart waives it; null where it doesn't. What is waived counts as nothing.
    waived: Option<&'a str>,
    /// Whether it is on record as known; null where no record was read.
    known: Option<bool>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Mend")]
struct MendJson {
    /// `replan`: other voicings. `rewrite`: the standard layout. `advice`: by hand. `loosen`: a
    /// setting. `nothing`: no fix is known.
    kind: &'static str,
    /// It in words.
    text: String,
    /// The new voicings, for `replan`.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schemars(default)]
    changes: Vec<ChangeJson>,
    /// The effort of the whole performance as it stands, in semitones, for `replan`.
    #[serde(skip_serializing_if = "Option::is_none")]
    effort_before: Option<u64>,
    /// The same with the new voicings.
    #[serde(skip_serializing_if = "Option::is_none")]
    effort_after: Option<u64>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Change")]
struct ChangeJson {
    /// The slot, from 0.
    slot: usize,
    /// The written bar, from 1.
    bar: usize,
    /// The chord symbol.
    symbol: String,
    /// The notes to play, lowest first, middle C = C4.
    notes: Vec<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Opinion")]
struct OpinionJson {
    /// The roughness of the voicing, after Hutchinson and Knopoff; 0 is smooth.
    #[schemars(with = "f64")]
    roughness: Thousandths,
    /// The roughness of the voicing that would fix it; null where none is known.
    #[schemars(with = "Option<f64>")]
    mended: Option<Thousandths>,
    /// How far the two muddy notes lie apart, in critical bandwidths after Hutchinson and Knopoff.
    #[schemars(with = "f64")]
    spacing: Hundredths,
}

/// One line of JSON.
pub fn finding_json(chart: &str, title: Option<&str>, shown: &Shown<'_>) -> String {
    line(&FindingReport::of(chart, title, shown))
}

/// The line of something for which a chart could not be read: a finding of the rule `unreadable`, which is
/// none of those that are listed.
pub fn unread_json(chart: &str, region: Option<Region>, message: &str) -> String {
    line(&FindingReport {
        format: FORMAT,
        version: VERSION,
        chart,
        title: None,
        rule: UNREADABLE,
        severity: Severity::Error.name(),
        message,
        line: region.map(|region| region.line),
        column: region.and_then(|region| region.column),
        end_line: region.map(|region| region.end_line),
        end_column: region.and_then(|region| region.end_column),
        slot: None,
        section: None,
        bar: None,
        in_file: None,
        beat: None,
        symbol: None,
        notes: Vec::new(),
        mend: MendJson {
            kind: "nothing",
            text: String::new(),
            changes: Vec::new(),
            effort_before: None,
            effort_after: None,
        },
        opinion: None,
        caution: None,
        waived: None,
        known: None,
    })
}

const FORMAT: &str = "compline-finding";
const VERSION: u32 = 2;

impl<'a> FindingReport<'a> {
    /// The finding under its stable names.
    pub fn of(chart: &'a str, title: Option<&'a str>, shown: &'a Shown<'_>) -> Self {
        let finding = shown.finding;
        let place = &finding.place;
        let region = shown.region;
        Self {
            format: FORMAT,
            version: VERSION,
            chart,
            title,
            rule: finding.rule.name,
            severity: finding.severity.name(),
            message: &finding.message,
            line: region.map(|region| region.line),
            column: region.and_then(|region| region.column),
            end_line: region.map(|region| region.end_line),
            end_column: region.and_then(|region| region.end_column),
            slot: place.slot,
            section: place.section.as_deref(),
            bar: place.bar,
            in_file: shown.in_file.as_deref(),
            beat: place.beat,
            symbol: place.symbol.as_deref(),
            notes: shown.notes.iter().map(ToString::to_string).collect(),
            mend: mend(shown),
            opinion: finding.opinion.map(|opinion| OpinionJson {
                roughness: opinion.roughness,
                mended: opinion.mended,
                spacing: opinion.spacing,
            }),
            caution: finding.caution,
            waived: finding.suppressed.as_deref(),
            known: shown.known,
        }
    }
}

fn mend(shown: &Shown<'_>) -> MendJson {
    let replan = match &shown.finding.fix {
        Fix::Replan(replan) => Some(replan),
        _ => None,
    };
    MendJson {
        kind: match &shown.finding.fix {
            Fix::Replan(_) => "replan",
            Fix::Rewrite(_) => "rewrite",
            Fix::Advice(_) => "advice",
            Fix::Loosen(_) => "loosen",
            Fix::Nothing(_) => "nothing",
        },
        text: shown.mend(),
        changes: replan.map(changes).unwrap_or_default(),
        effort_before: replan.map(|replan| replan.before),
        effort_after: replan.map(|replan| replan.after),
    }
}

fn changes(replan: &Replan) -> Vec<ChangeJson> {
    let change = |change: &VoicingChange| ChangeJson {
        slot: change.slot,
        bar: change.bar,
        symbol: change.symbol.clone(),
        notes: change
            .voicing
            .notes
            .iter()
            .map(|n| n.note.to_string())
            .collect(),
    };
    replan.changes.iter().map(change).collect()
}
