//! `reharm --changes`: the best changes of a tune, so many of them.

use compline::arrange::{Cache, Settings};
use compline::chart::{Chart, Replacement};
use compline::formats::{Ladder, changes_json, changes_text};
use compline::reharm::{Listed, Rung, Terms, changes};

use super::result::{ReharmOutput, ReharmResult, unchosen};
use crate::cli::args::{Count, ReportFormat};
use crate::cli::outcome::{NoResult, Notice};
use compline::words::noun;

/// A chart that is to be changed, with what there is to choose from.
pub(super) struct ChangeRequest<'a> {
    pub chart: &'a Chart,
    pub name: &'a str,
    pub listed: &'a [Listed],
    pub terms: Terms,
    pub count: Count,
}

impl ChangeRequest<'_> {
    /// The best changes on these terms: the page with them, and the table.
    pub fn best(
        &self,
        to: ReportFormat,
        remarks: Vec<Notice>,
        settings: &Settings,
        cache: &mut Cache,
    ) -> ReharmResult {
        let all: Vec<Replacement> = self.listed.iter().map(Listed::replacement).collect();
        let rungs = changes(
            self.chart,
            &all,
            &self.terms,
            settings,
            self.count.most,
            cache,
        );
        let rungs = rungs.map_err(unchosen)?;
        let mut ladder = Ladder {
            rungs: &rungs,
            listed: self.listed,
            asked: self.count.most,
            chosen: 0,
        };
        let Some(rung) = self.chosen(&rungs) else {
            return Err(self.impossible(&ladder));
        };
        ladder.chosen = rung.replacements.len();
        let report = match to {
            ReportFormat::Text => ReharmOutput {
                text: rung.chart.tidy(),
                table: Some(changes_text(&ladder)),
                ..ReharmOutput::default()
            },
            ReportFormat::Json => ReharmOutput::text(changes_json(self.name, self.chart, &ladder)),
        };
        report.on(&rung.chart, settings, remarks)
    }

    /// The row of so many changes, or of as many as fit; or of exactly so many.
    fn chosen<'r>(&self, rungs: &'r [Option<Rung>]) -> Option<&'r Rung> {
        if self.count.exactly {
            return rungs.get(self.count.most)?.as_ref();
        }
        rungs.iter().flatten().next_back()
    }

    fn impossible(&self, ladder: &Ladder<'_>) -> NoResult {
        let asked = self.count.most;
        let made = noun(asked, "change");
        let why = match ladder.no_more_than() {
            Some(0) => "nothing can be replaced here".to_owned(),
            Some(most) => format!("at most {most} can be made together"),
            None => "no choice of so many leaves every chord a voicing".to_owned(),
        };
        let help = "ask for fewer changes, or allow more --ways";
        NoResult::Unplanned(format!("no {asked} {made}: {why}"), Some(help.to_owned()))
    }
}
