//! How smooth each further change makes a tune: the table of `reharm --changes`.

use std::fmt::Write;

use schemars::JsonSchema;
use serde::Serialize;

use super::proposals::ProposalJson;
use crate::chart::Chart;
use crate::formats::json::line;
use crate::optimise::Cost;
use crate::reharm::{Listed, Rung};

/// The best choice for every number of changes, and which of them was asked for.
#[derive(Debug)]
pub struct Ladder<'a> {
    /// For every number of changes from 0 on the best choice, if there is one.
    pub rungs: &'a [Option<Rung>],
    /// What they choose from.
    pub listed: &'a [Listed],
    /// The number of changes that was asked for.
    pub asked: usize,
    /// The number of changes that was taken.
    pub chosen: usize,
}

impl Ladder<'_> {
    /// The most changes there can be, where that is fewer than were asked for.
    pub fn no_more_than(&self) -> Option<usize> {
        let most = self.rungs.iter().rposition(Option::is_some)?;
        (most < self.asked).then_some(most)
    }

    fn rows(&self) -> impl Iterator<Item = (usize, &Rung)> {
        let rows = self.rungs.iter().enumerate();
        rows.filter_map(|(changes, rung)| Some((changes, rung.as_ref()?)))
    }

    /// What the page as written costs, if it can be played.
    fn written(&self) -> Option<Cost> {
        Some(self.rungs.first()?.as_ref()?.cost)
    }

    fn taken<'a>(&'a self, rung: &'a Rung) -> impl Iterator<Item = &'a Listed> {
        let taken = rung.replacements.iter();
        taken.filter_map(|&at| self.listed.get(at))
    }

    /// Every proposal that some row takes, in the order of the list.
    fn ever_taken(&self) -> impl Iterator<Item = &Listed> {
        let listed = self.listed.iter().enumerate();
        listed.filter_map(|(at, listed)| {
            let mut rows = self.rows();
            rows.any(|(_, rung)| rung.replacements.contains(&at))
                .then_some(listed)
        })
    }
}

/// The table for people: a line for every number of changes, then what they are.
pub fn changes_text(ladder: &Ladder<'_>) -> String {
    let mut text = String::from("changes  effort  saved  proved  proposals\n");
    let written = ladder.written();
    for (changes, rung) in ladder.rows() {
        let effort = rung.cost.effort;
        let saved = match (changes, saved(written, rung)) {
            (1.., Some(saved)) => saved.to_string(),
            _ => "-".to_owned(),
        };
        let (proved, which) = (proved(rung), numbers(ladder, rung));
        let chosen = if changes == ladder.chosen { "  <-" } else { "" };
        let _ = writeln!(
            text,
            "{changes:>7}  {effort:>6}  {saved:>5}  {proved:<6}  {which}{chosen}"
        );
    }
    if let Some(most) = ladder.no_more_than().filter(|most| *most > 0) {
        let _ = writeln!(text, "more than {most} can't be made together");
    }
    let listed: Vec<&Listed> = ladder.ever_taken().collect();
    if !listed.is_empty() {
        text.push('\n');
    }
    for listed in listed {
        let _ = writeln!(text, "{}: {}", listed.name, listed.in_short());
    }
    text
}

fn saved(written: Option<Cost>, rung: &Rung) -> Option<i64> {
    let effort = |cost: Cost| i64::try_from(cost.effort).ok();
    Some(effort(written?)? - effort(rung.cost)?)
}

/// `yes`, `no`, or the least effort there could be.
fn proved(rung: &Rung) -> String {
    match (rung.optimal, rung.lower_bound) {
        (true, _) => "yes".to_owned(),
        (false, Some(bound)) => format!(">= {}", bound.effort),
        (false, None) => "no".to_owned(),
    }
}

fn numbers(ladder: &Ladder<'_>, rung: &Rung) -> String {
    let numbers: Vec<String> = ladder.taken(rung).map(|l| l.name.to_string()).collect();
    match numbers.is_empty() {
        true => "as written".to_owned(),
        false => numbers.join(", "),
    }
}

/// The table of a chart, under its stable names.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ChangesReport<'a> {
    /// Always `compline-changes`.
    format: &'static str,
    /// The version of this format: a program that knows 3 can read any 3.
    version: u32,
    /// The chart's path as it was given, or `<stdin>`.
    chart: &'a str,
    /// The chart's title.
    title: Option<&'a str>,
    /// How many changes were asked for.
    asked: usize,
    /// The most changes that can be made together, where that is fewer; else null.
    no_more_than: Option<usize>,
    /// How many changes the row has that was taken.
    chosen: usize,
    /// A row for every number of changes for which there is a choice, from 0 on.
    rows: Vec<RowJson<'a>>,
}

/// The best choice of so many changes.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Row")]
struct RowJson<'a> {
    /// How many changes.
    changes: usize,
    /// The effort of the whole performance, motion and surcharges, in semitones.
    effort: u64,
    /// How many fewer than on the page as written; negative where they are more, null where that
    /// page can't be played.
    saved: Option<i64>,
    /// The sum over all moves of the largest step of a note: the second thing that counts.
    largest_steps: u64,
    /// How far the voicings lie from the middle of the range, in half semitones: the third.
    off_centre: u64,
    /// Whether no other choice of so many changes costs less: proved, not hoped.
    optimal: bool,
    /// No choice of so many changes costs less effort than this; null where nothing is known.
    lower_bound: Option<u64>,
    /// The changes; their names are those that `--apply` takes.
    replacements: Vec<ProposalJson<'a>>,
}

/// The table for the chart of this name as one line of JSON.
pub fn changes_json(name: &str, chart: &Chart, ladder: &Ladder<'_>) -> String {
    let written = ladder.written();
    let rows = ladder.rows().map(|(changes, rung)| RowJson {
        changes,
        effort: rung.cost.effort,
        saved: saved(written, rung),
        largest_steps: rung.cost.largest,
        off_centre: rung.cost.off_centre,
        optimal: rung.optimal,
        lower_bound: rung.lower_bound.map(|bound| bound.effort),
        replacements: ladder.taken(rung).map(ProposalJson::of).collect(),
    });
    line(&ChangesReport {
        format: "compline-changes",
        version: 3,
        chart: name,
        title: chart.title(),
        asked: ladder.asked,
        no_more_than: ladder.no_more_than(),
        chosen: ladder.chosen,
        rows: rows.collect(),
    })
}
