//! `reharm --versions`: whole arrangements of a tune beside each other.

use anyhow::{Result, bail};
use compline::arrange::{Cache, Settings, Trouble};
use compline::chart::Chart;
use compline::formats::{Comparison, versions_json, versions_text};
use compline::reharm::{Listed, Version, usual_changes, versions};

use super::result::{ReharmOutput, ReharmResult};
use crate::cli::args::{ReharmArguments, ReportFormat};
use crate::cli::outcome::{NoResult, Notice};
use crate::cli::output::Destination;
use crate::cli::settings::InForce;
use crate::cli::terminal::Terminal;

/// The kind of notices where there are fewer versions than were asked for.
const FEW: &str = "there are fewer versions";

/// What may bring more.
const FEWER: &str = "ask for fewer --versions or fewer --changes, or allow more --ways";

/// What `--versions` asks for.
pub(super) struct VersionsRequest {
    count: usize,
    /// How many changes each version is to have, if it was said.
    changes: Option<usize>,
    /// The one that is to be printed.
    pub(super) take: Option<usize>,
    width: usize,
}

impl VersionsRequest {
    /// # Errors
    ///
    /// A version that is not among those asked for, and a number of changes that may not be less.
    pub(super) fn of(arguments: &ReharmArguments) -> Result<Self> {
        let count = arguments.versions.map_or(0, usize::from);
        let take = arguments.take.map(usize::from);
        if let Some(take) = take.filter(|take| *take > count) {
            bail!("--take {take}: only {count} are asked for with --versions");
        }
        if arguments.changes.is_some_and(|changes| changes.exactly) {
            bail!(
                "--changes exactly: a version has fewer where so many don't fit; write --changes N"
            );
        }
        Ok(Self {
            count,
            changes: arguments.changes.map(|count| count.most),
            take,
            width: usize::from(arguments.width),
        })
    }

    /// What the files of the versions have in their names.
    pub(super) fn parts(&self) -> Vec<String> {
        (1..=self.count).map(|number| number.to_string()).collect()
    }

    pub(super) fn arranged(
        &self,
        chart: &Chart,
        listed: &[Listed],
        in_force: &InForce,
        cache: &mut Cache,
    ) -> Result<Vec<Version>, Trouble> {
        let changes = self.changes.unwrap_or_else(|| usual_changes(chart));
        let asked = (self.count, changes);
        versions(
            chart,
            listed,
            in_force.changes,
            &in_force.arrange,
            asked,
            cache,
        )
    }

    pub(super) fn report(
        &self,
        name: &str,
        comparison: &Comparison<'_>,
        (to, remarks): (ReportFormat, Vec<Notice>),
        settings: &Settings,
    ) -> ReharmResult {
        let versions = comparison.versions;
        let missing = self.missing(versions.len());
        let Some(version) = versions.get(self.take.unwrap_or(1) - 1) else {
            return Err(NoResult::Unplanned(missing, Some(FEWER.to_owned())));
        };
        if self.take.is_some() {
            let page = &version.rung.chart;
            return ReharmOutput::of(page).on(page, settings, remarks);
        }
        let fewer = (versions.len() < self.count).then_some(Notice::About {
            kind: FEW,
            message: missing,
            help: Some(FEWER),
        });
        let pages = versions.iter().map(|version| version.rung.chart.tidy());
        let output = ReharmOutput {
            text: match to {
                ReportFormat::Text => versions_text(comparison, self.width),
                ReportFormat::Json => versions_json(name, comparison),
            },
            pages: pages.collect(),
            ..ReharmOutput::default()
        };
        Ok((output, remarks.into_iter().chain(fewer).collect()))
    }

    /// What there is instead of so many versions.
    fn missing(&self, there: usize) -> String {
        let what = match there {
            0 => "nothing can be changed here".to_owned(),
            _ => format!("only {there} can be made that differ in a third of their changes"),
        };
        format!("no {} versions: {what}", self.count)
    }
}

/// Writes the versions of the chart at this place beside each other: `NAME-1.chart`, `NAME-2.chart`.
///
/// # Errors
///
/// As [`Destination::put`].
pub(super) fn put(
    output: &Destination,
    at: usize,
    pages: &[String],
    terminal: &mut Terminal,
) -> Result<()> {
    for (number, page) in pages.iter().enumerate() {
        let number = (number + 1).to_string();
        output.put_part(at, Some(&number), page.as_bytes(), terminal)?;
    }
    Ok(())
}
