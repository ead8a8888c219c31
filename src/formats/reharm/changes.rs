//! What so many changes of a tune gain and strain: the table of `reharm --changes`.

use std::fmt::Write;

use schemars::JsonSchema;
use serde::Serialize;

use super::proposals::ProposalJson;
use super::sums::Sums;
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

    /// The fewer changes that score least, where any score less than those that were taken.
    fn better_with_fewer(&self) -> Option<(usize, &Rung)> {
        let chosen = self.rungs.get(self.chosen)?.as_ref()?.score();
        let fewer = self.rows().filter(|(changes, _)| *changes < self.chosen);
        let least = fewer.min_by_key(|(changes, rung)| (rung.score(), *changes));
        least.filter(|(_, rung)| rung.score() < chosen)
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

    /// The line of the table for a number of changes.
    fn row(&self, changes: usize, rung: &Rung, gained: &str, which: &str) -> String {
        let Sums { strain, leads_on } = Sums::of(self.taken(rung));
        let (score, effort, proved) = (rung.score(), rung.cost.effort, proved(rung));
        let chosen = if changes == self.chosen { "  <-" } else { "" };
        format!(
            "{changes:>7}  {score:>5}  {effort:>6}  {gained:>6}  {strain:>6}  {leads_on:>8}  {proved:<6}  {which}{chosen}\n"
        )
    }

    /// What comes in and what goes from one row to the next.
    fn moves(&self, before: Option<&Rung>, rung: &Rung) -> Vec<String> {
        let had = |at: &&usize| before.is_some_and(|before| before.replacements.contains(at));
        let has = |at: &&usize| rung.replacements.contains(at);
        let named = |sign: char, at: &usize| {
            let listed = self.listed.get(*at);
            listed.map(|listed| format!("{sign}{}", listed.name))
        };
        let come = rung.replacements.iter().filter(|at| !had(at));
        let gone = before.into_iter().flat_map(|before| &before.replacements);
        let gone = gone.filter(|at| !has(at));
        let come = come.filter_map(|at| named('+', at));
        come.chain(gone.filter_map(|at| named('-', at))).collect()
    }
}

/// The table for people: a line for every number of changes, with what comes in and what goes against the
/// line above, then the changes of the row that was taken.
pub fn changes_text(ladder: &Ladder<'_>) -> String {
    let mut text =
        String::from("changes  score  effort  gained  strain  leads on  proved  proposals\n");
    let written = ladder.written();
    let mut before = None;
    for (changes, rung) in ladder.rows() {
        let gained = match (changes, saved(written, rung)) {
            (1.., Some(saved)) => saved.to_string(),
            _ => "-".to_owned(),
        };
        let which = match changes {
            0 => "as written".to_owned(),
            _ => ladder.moves(before, rung).join(" "),
        };
        text += &ladder.row(changes, rung, &gained, &which);
        before = Some(rung);
    }
    text += &beside_the_rows(ladder);
    let chosen = ladder.rungs.get(ladder.chosen).and_then(Option::as_ref);
    let taken: Vec<&Listed> = chosen.map_or_else(Vec::new, |rung| ladder.taken(rung).collect());
    if !taken.is_empty() {
        text.push('\n');
    }
    text.extend(taken.into_iter().map(taken_text));
    text
}

/// What there is to say about the rows: that no more changes can be made, that fewer would be better.
fn beside_the_rows(ladder: &Ladder<'_>) -> String {
    let mut text = String::new();
    if let Some(most) = ladder.no_more_than().filter(|most| *most > 0) {
        let _ = writeln!(text, "more than {most} can't be made together");
    }
    let Some((fewer, rung)) = ladder.better_with_fewer() else {
        return text;
    };
    let score = rung.score();
    text += &match fewer {
        0 => format!(
            "the page as written scores lower: {score}; on these terms it is best left as it is\n"
        ),
        _ => format!("fewer changes score lower: {score} with --changes {fewer}\n"),
    };
    text
}

/// A line for a change that was taken.
fn taken_text(listed: &Listed) -> String {
    let strain = listed.judgement.strain;
    format!(
        "{}: {} (strain {}, {}; leads on {})\n",
        listed.name,
        listed.in_short(),
        strain.total(),
        strain.band(),
        listed.judgement.leads_on
    )
}

fn saved(written: Option<Cost>, rung: &Rung) -> Option<i64> {
    let effort = |cost: Cost| i64::try_from(cost.effort).ok();
    Some(effort(written?)? - effort(rung.cost)?)
}

/// `yes`, `no`, or the least score there could be.
fn proved(rung: &Rung) -> String {
    match (rung.optimal, rung.lower_bound) {
        (true, _) => "yes".to_owned(),
        (false, Some(bound)) => format!(">= {bound}"),
        (false, None) => "no".to_owned(),
    }
}

/// The table of a chart, under its stable names.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ChangesReport<'a> {
    /// Always `compline-changes`.
    format: &'static str,
    /// The version of this format: a program that knows 4 can read any 4.
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
    /// What was made as small as possible: the effort and what the changes are charged for strain and
    /// leading on.
    score: i64,
    /// The strain of the changes together.
    strain: u32,
    /// How many more links than written lead on, together.
    leads_on: i32,
    /// How many fewer than on the page as written; negative where they are more, null where that
    /// page can't be played.
    saved: Option<i64>,
    /// The sum over all moves of the largest step of a note: the second thing that counts.
    largest_steps: u64,
    /// How far the voicings lie from the middle of the range, in half semitones: the third.
    off_centre: u64,
    /// Whether no other choice of so many changes has a lower score: proved, not hoped.
    optimal: bool,
    /// No choice of so many changes has a lower score than this; null where nothing is known.
    lower_bound: Option<i64>,
    /// The changes; their names are those that `--apply` takes.
    replacements: Vec<ProposalJson<'a>>,
}

/// The table for the chart of this name as one line of JSON.
pub fn changes_json(name: &str, chart: &Chart, ladder: &Ladder<'_>) -> String {
    let written = ladder.written();
    let rows = ladder.rows().map(|(changes, rung)| {
        let sums = Sums::of(ladder.taken(rung));
        RowJson {
            changes,
            effort: rung.cost.effort,
            score: rung.score(),
            strain: sums.strain,
            leads_on: sums.leads_on,
            saved: saved(written, rung),
            largest_steps: rung.cost.largest,
            off_centre: rung.cost.off_centre,
            optimal: rung.optimal,
            lower_bound: rung.lower_bound,
            replacements: ladder.taken(rung).map(ProposalJson::of).collect(),
        }
    });
    line(&ChangesReport {
        format: "compline-changes",
        version: 4,
        chart: name,
        title: chart.title(),
        asked: ladder.asked,
        no_more_than: ladder.no_more_than(),
        chosen: ladder.chosen,
        rows: rows.collect(),
    })
}
