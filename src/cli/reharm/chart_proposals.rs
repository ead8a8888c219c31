//! What is proposed for a chart, and what is made of it: listed, applied, or chosen from.

use compline::arrange::Cache;
use compline::chart::{Chart, Replacement};
use compline::formats::Comparison;
use compline::reharm::{Band, Listed, Proposed, priced, replaced, worth_a_change};

use super::changes::ChangeRequest;
use super::list::ListRequest;
use super::result::{ReharmOutput, ReharmResult, unchosen};
use super::versions::VersionsRequest;
use crate::cli::args::{Count, ListArguments, Names, Places, ReportFormat};
use crate::cli::outcome::Notice;
use crate::cli::settings::InForce;

/// What is shown of the proposals, and how.
#[derive(Clone, Copy)]
pub(super) struct Showing<'a> {
    pub to: ReportFormat,
    /// The places that were asked about.
    pub places: Option<&'a Places>,
    pub list: &'a ListArguments,
}

/// A chart with what is proposed for it, and what there is to say about that.
pub(super) struct ChartProposals<'a> {
    pub chart: &'a Chart,
    /// The chart's path as it was given.
    pub name: &'a str,
    pub in_force: &'a InForce,
    pub showing: Showing<'a>,
    pub proposed: Proposed,
    pub remarks: Vec<Notice>,
}

impl ChartProposals<'_> {
    /// The list, with prices.
    pub fn listed(self, cache: &mut Cache) -> ReharmResult {
        let settings = &self.in_force.arrange;
        let list = ListRequest {
            chart: self.chart,
            name: self.name,
            proposed: &priced(self.chart, self.proposed, settings, cache)?,
            places: self.showing.places,
            how: self.showing.list,
        };
        ReharmOutput::text(list.text(self.showing.to)?).on(self.chart, settings, self.remarks)
    }

    /// The chart with the proposals of these names.
    pub fn applied(self, names: &Names) -> ReharmResult {
        let taken = names.of(&self.proposed, self.chart)?;
        let all = self.proposed.listed.iter().map(Listed::replacement);
        let all: Vec<Replacement> = all.collect();
        let page = replaced(self.chart, &all, &taken).map_err(anyhow::Error::from)?;
        ReharmOutput::of(&page).on(&page, &self.in_force.arrange, self.remarks)
    }

    /// The chart with the best changes, so many of them.
    pub fn changed(self, count: Count, cache: &mut Cache) -> ReharmResult {
        let listed = welcome(worth_a_change(self.proposed.listed), self.showing.list);
        let asked = ChangeRequest {
            chart: self.chart,
            name: self.name,
            terms: self.in_force.changes.terms(&listed),
            listed: &listed,
            count,
        };
        asked.best(self.showing.to, self.remarks, &self.in_force.arrange, cache)
    }

    /// Whole arrangements beside each other.
    pub fn in_versions(self, request: &VersionsRequest, cache: &mut Cache) -> ReharmResult {
        let listed = worth_a_change(self.proposed.listed);
        let versions = request.arranged(self.chart, &listed, self.in_force, cache);
        let comparison = Comparison {
            chart: self.chart,
            versions: &versions.map_err(unchosen)?,
            listed: &listed,
        };
        let settings = &self.in_force.arrange;
        request.report(
            self.name,
            &comparison,
            (self.showing.to, self.remarks),
            settings,
        )
    }
}

/// Those that strain the tune no more than is welcome; what is beyond bold is another tune under the melody, and
/// that and what is out of the tune's style is chosen only where strain is asked for.
fn welcome(mut listed: Vec<Listed>, how: &ListArguments) -> Vec<Listed> {
    let asked = how.welcome();
    let welcome = asked.or(Band::Bold.most());
    listed.retain(|Listed { judgement, .. }| {
        let in_style = asked.is_some() || !judgement.is_out_of_style();
        in_style && welcome.is_none_or(|welcome| judgement.strain.total() <= welcome)
    });
    listed
}
