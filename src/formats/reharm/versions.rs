//! Several arrangements of one tune beside each other.

use std::fmt::Write;

use schemars::JsonSchema;
use serde::Serialize;

use super::proposals::ProposalJson;
use super::side_by_side::SideBySide;
use super::sums::Sums;
use crate::chart::Chart;
use crate::formats::json::line;
use crate::reharm::{Band, Listed, Version};

/// A chart and the versions made of it.
#[derive(Debug)]
pub struct Comparison<'a> {
    /// The chart as it is written.
    pub chart: &'a Chart,
    /// Its versions, gentle to bold.
    pub versions: &'a [Version],
    /// What they choose from.
    pub listed: &'a [Listed],
}

impl<'a> Comparison<'a> {
    fn taken(&self, version: &'a Version) -> impl Iterator<Item = &'a Listed> {
        let listed = self.listed;
        version.taken.iter().filter_map(|&at| listed.get(at))
    }
}

/// The versions for people: bar by bar beside the chart as written, no wider than so many columns where
/// the symbols allow, then what each has changed.
pub fn versions_text(comparison: &Comparison<'_>, width: usize) -> String {
    let written = ("as written".to_owned(), comparison.chart);
    let versions = comparison.versions.iter().enumerate();
    let pages = versions.map(|(at, version)| (headed(at, version), &version.rung.chart));
    let pages: Vec<(String, &Chart)> = std::iter::once(written).chain(pages).collect();
    let mut text = String::new();
    if let Some(title) = comparison.chart.title() {
        let _ = writeln!(text, "{title}");
    }
    text.push_str(&SideBySide::of(&pages).text(width));
    for (at, version) in comparison.versions.iter().enumerate() {
        let _ = writeln!(
            text,
            "\n{}: {}",
            headed(at, version),
            summed(comparison, version)
        );
        for listed in comparison.taken(version) {
            let _ = writeln!(text, "  {}  {}", listed.name, listed.in_short());
        }
    }
    text
}

/// `2 medium`.
fn headed(at: usize, version: &Version) -> String {
    format!("{} {}", at + 1, Band::of(version.welcome))
}

/// What a version costs and strains, in a line.
fn summed(comparison: &Comparison<'_>, version: &Version) -> String {
    let sums = Sums::of(comparison.taken(version));
    let proved = match version.rung.optimal {
        true => "proved best".to_owned(),
        false => match version.rung.lower_bound {
            Some(bound) => format!("score {}, none is below {bound}", version.rung.score()),
            None => "not proved best".to_owned(),
        },
    };
    format!(
        "effort {}, strain {}, leads on {}; {proved}",
        version.rung.cost.effort, sums.strain, sums.leads_on
    )
}

/// The versions of a chart, under their stable names.
#[derive(Debug, Serialize, JsonSchema)]
pub struct VersionsReport<'a> {
    /// Always `compline-versions`.
    format: &'static str,
    /// The version of this format: a program that knows 1 can read any 1.
    version: u32,
    /// The chart's path as it was given, or `<stdin>`.
    chart: &'a str,
    /// The chart's title.
    title: Option<&'a str>,
    /// The versions, gentle to bold.
    versions: Vec<VersionJson<'a>>,
}

/// An arrangement of the whole tune.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Version")]
struct VersionJson<'a> {
    /// Its number, from 1.
    number: usize,
    /// How bold it is: `gentle`, `medium` or `bold`.
    band: &'static str,
    /// The strain of a change that was welcome in it.
    welcome: u32,
    /// The effort of the whole performance, motion and surcharges, in semitones.
    effort: u64,
    /// What was made as small as possible: the effort and what the changes are charged.
    score: i64,
    /// The strain of its changes together.
    strain: u32,
    /// How many more links than written lead on, together.
    leads_on: i32,
    /// Whether no other choice on the same terms has a lower score: proved, not hoped.
    optimal: bool,
    /// No such choice has a lower score than this; null where nothing is known.
    lower_bound: Option<i64>,
    /// Its changes.
    changes: Vec<ProposalJson<'a>>,
    /// The chart with them, as text.
    page: String,
}

/// The versions of the chart of this name as one line of JSON.
pub fn versions_json(name: &str, comparison: &Comparison<'_>) -> String {
    let versions = comparison.versions.iter().enumerate().map(|(at, version)| {
        let sums = Sums::of(comparison.taken(version));
        VersionJson {
            number: at + 1,
            band: Band::of(version.welcome).name(),
            welcome: version.welcome,
            effort: version.rung.cost.effort,
            score: version.rung.score(),
            strain: sums.strain,
            leads_on: sums.leads_on,
            optimal: version.rung.optimal,
            lower_bound: version.rung.lower_bound,
            changes: comparison.taken(version).map(ProposalJson::of).collect(),
            page: version.rung.chart.tidy(),
        }
    });
    line(&VersionsReport {
        format: "compline-versions",
        version: 1,
        chart: name,
        title: comparison.chart.title(),
        versions: versions.collect(),
    })
}
