//! What there is to propose for a chart, as JSON: the proposals ranked, and the places that are held.

use schemars::JsonSchema;
use serde::Serialize;

use super::proposals::ProposalJson;
use crate::chart::Chart;
use crate::explain::held_because;
use crate::formats::json::line;
use crate::reharm::{HeldBy, KeptOut, Proposed, Ranking};

/// What there is to propose for a chart, under its stable names: one object a chart.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ProposalsReport<'a> {
    /// Always `compline-proposals`.
    format: &'static str,
    /// The version of this format: a program that knows 1 can read any 1.
    version: u32,
    /// The chart's path as it was given, or `<stdin>`.
    chart: &'a str,
    /// The chart's title.
    title: Option<&'a str>,
    /// The proposals, best first; those that bring nothing new and those of the bass alone last.
    proposals: Vec<ProposalJson<'a>>,
    /// The chords in whose place nothing else may stand, unless it keeps what holds them.
    held: Vec<HeldJson<'a>>,
    /// The proposals that would take what is held.
    kept_out: Vec<KeptOutJson>,
}

/// A chord that is held.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Held")]
struct HeldJson<'a> {
    /// The written bar, counted from 1.
    bar: usize,
    /// The beat it starts on, from 1: an exact fraction.
    beat: String,
    /// The symbol.
    symbol: &'a str,
    /// What holds it.
    by: Vec<&'static str>,
    /// The same in words.
    because: String,
}

/// A proposal that is kept out.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "KeptOut")]
struct KeptOutJson {
    /// Its name.
    name: String,
    /// What it would take.
    by: Vec<&'static str>,
}

impl KeptOutJson {
    fn of(kept_out: &KeptOut) -> Self {
        Self {
            name: kept_out.name.to_string(),
            by: names(kept_out.holds.iter()),
        }
    }
}

fn names<'h>(holds: impl Iterator<Item = &'h HeldBy>) -> Vec<&'static str> {
    holds.map(|by| by.name()).collect()
}

/// What there is to propose for the chart of this name, as one line of JSON: the first `most` of the
/// proposals, or all.
pub fn proposals_json(
    name: &str,
    chart: &Chart,
    ranking: &Ranking,
    most: Option<usize>,
    proposed: &Proposed,
) -> String {
    let slots = chart.slots();
    let held = slots.iter().filter_map(|slot| {
        let by = proposed.held.at(slot.index);
        (!by.is_empty()).then(|| HeldJson {
            bar: slot.bar,
            beat: slot.beat.to_string(),
            symbol: slot.symbol.text(),
            by: names(by.iter()),
            because: held_because(&by.iter().copied().collect()),
        })
    });
    let shown = ranking.all().take(most.unwrap_or(usize::MAX));
    line(&ProposalsReport {
        format: "compline-proposals",
        version: 1,
        chart: name,
        title: chart.title(),
        proposals: shown.map(ProposalJson::of).collect(),
        held: held.collect(),
        kept_out: proposed.kept_out.iter().map(KeptOutJson::of).collect(),
    })
}
