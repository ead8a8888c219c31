//! The list of proposals, as it was asked for.

use anyhow::Result;
use compline::chart::Chart;
use compline::formats::{held_text, proposals_json, ranking_text, reasons_text};
use compline::reharm::{Listed, Proposed, Ranking};

use crate::cli::args::{ListArguments, Places, ReportFormat};

/// What there is to list of a chart.
pub(super) struct ListRequest<'a> {
    pub chart: &'a Chart,
    /// The chart's path as it was given.
    pub name: &'a str,
    pub proposed: &'a Proposed,
    pub places: Option<&'a Places>,
    pub how: &'a ListArguments,
}

impl ListRequest<'_> {
    /// The list.
    ///
    /// # Errors
    ///
    /// A name that is not proposed.
    pub fn text(&self, to: ReportFormat) -> Result<String> {
        if let Some(names) = &self.how.why {
            let asked = names.of_any(self.proposed, self.chart)?;
            let listed = asked.iter().filter_map(|at| self.proposed.listed.get(*at));
            return Ok(reasons_text(listed));
        }
        let ranking = Ranking::of(self.proposed.listed.clone(), self.how.welcome());
        Ok(match to {
            ReportFormat::Json => {
                let most = self.how.best;
                proposals_json(self.name, self.chart, &ranking, most, self.proposed)
            }
            ReportFormat::Text if self.how.reasons => reasons_text(self.shown(&ranking)),
            ReportFormat::Text => ranking_text(&ranking, self.how.most()) + &self.held(),
        })
    }

    fn shown<'r>(&self, ranking: &'r Ranking) -> Box<dyn Iterator<Item = &'r Listed> + 'r> {
        match self.how.most() {
            Some(most) => Box::new(ranking.best.iter().take(most)),
            None => Box::new(ranking.all()),
        }
    }

    /// What holds the bars that were asked about.
    fn held(&self) -> String {
        let slots = self.chart.slots();
        let asked = self.places.map(|places| places.slots(slots.iter()));
        let text = asked.map(|asked| held_text(&slots, self.proposed, &asked));
        text.unwrap_or_default()
    }
}
