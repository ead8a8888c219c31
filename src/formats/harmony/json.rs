//! The harmony of a chart: where each chord stands, for programs and (in
//! [`super::harmony_text`]) for people.

use schemars::JsonSchema;
use serde::Serialize;

use crate::arrange::{Problem, Settings};
use crate::chart::{Chart, PlayOrder, Slot};
use crate::formats::home::HomeJson;
use crate::harmony::{Analysis, Function, Resolution};
use crate::pitch::{Degree, Key};

/// A slot with where its chord stands the first time it is played.
pub(super) struct Stood {
    pub slot: Slot,
    /// `None` for silence, for a chord that is never played, and where a lone chord has no key.
    pub analysis: Option<Analysis>,
    /// The next different chord.
    pub next: Option<String>,
}

/// The home key, and every slot of the chart in written order.
pub(super) fn stood(chart: &Chart, order: &PlayOrder, looped: bool) -> (Option<Key>, Vec<Stood>) {
    let settings = Settings {
        looped,
        ..Settings::default()
    };
    let slots = chart.slots();
    let performance = order.performance(&slots, looped);
    let problem = Problem::performed(chart, slots, performance, &settings);
    let home = problem.home;
    let nexts = problem.leads_to().into_iter();
    let nexts = nexts.map(|next| next.map(|next| next.symbol().to_owned()));
    let nexts: Vec<Option<String>> = nexts.collect();
    let found = problem.analyses().into_iter().zip(nexts);
    let rows = problem.slots.into_iter().zip(found);
    let stood = rows.map(|(slot, (analysis, next))| Stood {
        slot,
        analysis,
        next,
    });
    (home, stood.collect())
}

impl Stood {
    /// The chord it goes to, where it resolves.
    pub fn resolves_to(&self) -> Option<&str> {
        let analysis = self.analysis.as_ref()?;
        let arrives = match analysis.function {
            Function::Backdoor => true,
            Function::PassingDiminished | Function::AuxiliaryDiminished => true,
            Function::Tonic | Function::Chromatic => false,
            Function::Subdominant | Function::Borrowed | Function::BluesSubdominant => {
                analysis.context.resolution.falls()
            }
            _ => analysis.context.resolution != Resolution::Elsewhere,
        };
        self.next.as_deref().filter(|_| arrives)
    }

    /// What the chord takes in its place, and what it avoids.
    pub fn degrees(&self) -> Option<[Vec<Degree>; 2]> {
        let scale = self.analysis.as_ref()?.context.scale;
        let chord = self.slot.symbol.chord()?;
        Some([scale.tensions(chord), scale.avoid(chord)])
    }
}

/// The harmony of a chart, under its stable names.
#[derive(Debug, Serialize, JsonSchema)]
pub struct HarmonyReport {
    /// The chart's title.
    title: Option<String>,
    /// The key the chart gives.
    key: Option<String>,
    /// The key that is home for the whole tune; null only where there is no chord.
    home: Option<HomeJson>,
    /// The key regions in written order: a region ends where the next begins.
    regions: Vec<RegionJson>,
    /// The chords, in written order. Where a chord stands is told for the first time it is played.
    chords: Vec<ChordJson>,
}

/// A key region.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Region")]
struct RegionJson {
    key: String,
    /// The written bar it begins in, counted from 1.
    bar: usize,
    /// The first slot in it, counted from 0.
    index: usize,
}

/// A chord in its place.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Analysis")]
struct ChordJson {
    /// The slot's place among all slots, from 0.
    index: usize,
    section: String,
    bar: usize,
    /// The beat it starts on, from 1: an exact fraction.
    beat: String,
    beats: String,
    symbol: String,
    /// What follows is null for silence and for a chord that is never played.
    region: Option<String>,
    numeral: Option<String>,
    function: Option<&'static str>,
    /// The degree it leads to or would lead to, as a numeral.
    goal: Option<String>,
    resolution: Option<&'static str>,
    /// The chord it resolves to.
    resolves_to: Option<String>,
    scale: Option<&'static str>,
    /// What it can take beyond its tones, in this place.
    #[schemars(with = "Vec<String>")]
    tensions: Vec<Degree>,
    #[schemars(with = "Vec<String>")]
    avoid: Vec<Degree>,
}

/// The harmony as one line of JSON.
pub fn harmony_json(chart: &Chart, order: &PlayOrder, looped: bool) -> String {
    let (home, stood) = stood(chart, order, looped);
    crate::formats::json::line(&HarmonyReport {
        title: chart.title().map(str::to_owned),
        key: chart.key().map(|key| key.to_string()),
        home: HomeJson::of(home, chart.key()),
        regions: regions(&stood),
        chords: stood.iter().map(chord_json).collect(),
    })
}

/// The JSON Schema of the line, as indented text.
pub fn harmony_schema() -> String {
    crate::formats::json::schema_text::<HarmonyReport>()
}

fn regions(stood: &[Stood]) -> Vec<RegionJson> {
    let mut regions: Vec<RegionJson> = Vec::new();
    for (stood, analysis) in stood.iter().filter_map(|s| Some((s, s.analysis.as_ref()?))) {
        let key = analysis.region.to_string();
        if regions.last().is_none_or(|last| last.key != key) {
            regions.push(RegionJson {
                key,
                bar: stood.slot.bar,
                index: stood.slot.index,
            });
        }
    }
    regions
}

fn chord_json(stood: &Stood) -> ChordJson {
    let slot = &stood.slot;
    let analysis = stood.analysis.as_ref();
    let [tensions, avoid] = stood.degrees().unwrap_or_default();
    ChordJson {
        index: slot.index,
        section: slot.section.to_string(),
        bar: slot.bar,
        beat: slot.beat.to_string(),
        beats: slot.beats.to_string(),
        symbol: slot.symbol.text().to_owned(),
        region: analysis.map(|s| s.region.to_string()),
        numeral: analysis.map(|s| s.numeral.to_string()),
        function: analysis.map(|s| s.function.name()),
        goal: analysis.and_then(|s| s.goal).map(|goal| goal.to_string()),
        resolution: analysis.map(|s| s.context.resolution.name()),
        resolves_to: stood.resolves_to().map(str::to_owned),
        scale: analysis.map(|s| s.context.scale.name()),
        tensions,
        avoid,
    }
}
