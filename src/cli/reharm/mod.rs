//! `reharm`: other chords under the same melody, listed, applied, or chosen as whole arrangements.

mod changes;
mod list;
mod versions;

use std::collections::BTreeSet;

use anyhow::{Result, anyhow};
use compline::arrange::{Cache, Settings, Trouble};
use compline::chart::{Bar, Chart, Replacement};
use compline::formats::{Comparison, reharm_schema};
use compline::pitch::Key;
use compline::reharm::{
    AskedPlaces, Listed, Proposed, Unproposed, Ways, priced, reharm, replaced, worth_a_change,
};

use changes::ChangeRequest;
use list::ListRequest;

use super::Status;
use super::args::{Count, ListArguments, Names, Places, ReharmArguments, ReportFormat};
use super::batch;
use super::input::{self, ENDING, Source};
use super::outcome::{ChartOutcome, Notice};
use super::output::{Destination, Output, Replacing};
use super::reading::ReadOptions;
use super::settings::{Finder, InForce, in_key, target_key};
use super::terminal::Terminal;
use versions::VersionsRequest;

/// The kind of notices where nothing is listed.
const UNPROPOSED: &str = "there is nothing to propose";

/// What `reharm` was asked for, besides the settings of each chart.
struct ReharmJob<'a> {
    task: ReharmTask<'a>,
    to: ReportFormat,
    ways: Ways,
    places: Option<&'a Places>,
    how: &'a ListArguments,
    hold: &'a [Places],
    free: &'a [Places],
    key: Option<Key>,
    vary: bool,
}

enum ReharmTask<'a> {
    List,
    Apply(&'a Names),
    Changes(Count),
    Versions(VersionsRequest),
    Undo,
}

/// What comes of a chart: what is written, and a table beside it.
#[derive(Default)]
struct ReharmOutput {
    text: String,
    table: Option<String>,
    /// Charts that go into files of their own where there is a folder for them.
    pages: Vec<String>,
}

impl ReharmOutput {
    /// A page.
    fn of(page: &Chart) -> Self {
        Self::text(page.tidy())
    }

    /// A text, with nothing beside it.
    fn text(text: String) -> Self {
        Self {
            text,
            ..Self::default()
        }
    }

    /// With what the chords can't carry of the melody, on the page as it is now: a replacement that
    /// cures a fault takes it away, and brings none.
    fn on(self, page: &Chart, settings: &Settings, mut remarks: Vec<Notice>) -> ChartOutcome<Self> {
        if settings.ignore_melody {
            return ChartOutcome::Done(self, remarks);
        }
        match Notice::uncarried(page, settings.looped) {
            Ok(told) => {
                remarks.extend(told);
                ChartOutcome::Done(self, remarks)
            }
            Err(trouble) => trouble.into(),
        }
    }
}

/// Runs the command.
pub fn run(arguments: &ReharmArguments, terminal: &mut Terminal) -> Result<Status> {
    if arguments.schema {
        terminal.print(&reharm_schema())?;
        terminal.flush()?;
        return Ok(Status::Done);
    }
    let job = job(arguments)?;
    let reading = ReadOptions::of(&arguments.reading)?;
    let sources = input::sources(&arguments.charts, &reading)?;
    let replacing = Replacing::of(arguments.force);
    let many = sources.len() > 1 || job.is_in_parts();
    let output = Output::of(arguments.output.as_deref(), many);
    if let ReharmTask::Versions(request) = &job.task {
        request.refuse_originals(&output, &sources)?;
    }
    let output = Destination::of(output, replacing, &sources, job.ending())?;
    let settings = Finder::new(arguments.asked()?)?.all(&sources, terminal)?;
    let several = sources.len() > 1;
    let mut first = true;
    let status = batch::each(
        &sources,
        &reading,
        terminal,
        |at, chart, _, cache| match (sources.get(at), settings.get(at)) {
            (Some(source), Some(settings)) => job.on(chart, source, settings, cache),
            _ => ChartOutcome::Failed(anyhow!("no settings")),
        },
        |at, report: ReharmOutput, terminal| {
            let name = sources.get(at).map(Source::name).filter(|_| several);
            let headed = job.is_prose() && output.is_stdout(at);
            let text = match name
                .as_deref()
                .filter(|_| headed && !report.text.is_empty())
            {
                Some(name) => under(name, &report.text, std::mem::take(&mut first)),
                None => report.text,
            };
            if job.in_files(&output, at, &report.pages) {
                versions::put(&output, at, &report.pages, terminal)?;
                terminal.print(&text)?;
            } else {
                output.put(at, text.as_bytes(), terminal)?;
            }
            if let Some(table) = report.table {
                terminal.flush()?;
                let table = match name.as_deref() {
                    Some(name) => under(name, &table, std::mem::take(&mut first)),
                    None => table,
                };
                terminal.say(&table);
            }
            Ok(Status::Done)
        },
    )?;
    terminal.flush()?;
    Ok(status)
}

/// A text under the name of its chart, apart from the one before.
fn under(name: &str, text: &str, first: bool) -> String {
    let gap = if first { "" } else { "\n" };
    format!("{gap}{name}:\n{text}")
}

fn job(arguments: &ReharmArguments) -> Result<ReharmJob<'_>> {
    Ok(ReharmJob {
        task: match (&arguments.apply, arguments.changes) {
            _ if arguments.undo => ReharmTask::Undo,
            _ if arguments.versions.is_some() => {
                ReharmTask::Versions(VersionsRequest::of(arguments)?)
            }
            (Some(names), _) => ReharmTask::Apply(names),
            (None, Some(count)) => ReharmTask::Changes(count),
            (None, None) => ReharmTask::List,
        },
        to: arguments.to,
        places: arguments.bar.as_ref(),
        how: &arguments.list,
        hold: &arguments.hold,
        free: &arguments.free,
        ways: arguments.ways.clone().unwrap_or_default(),
        key: target_key(arguments.key.as_deref())?,
        vary: arguments.vary,
    })
}

impl ReharmJob<'_> {
    /// The ending of the files that are written.
    const fn ending(&self) -> &'static str {
        match (&self.task, self.to) {
            (ReharmTask::Apply(_) | ReharmTask::Undo, _) => ENDING,
            (ReharmTask::Changes(_), ReportFormat::Text) => ENDING,
            (ReharmTask::Versions(request), _) if request.take.is_some() => ENDING,
            (_, ReportFormat::Json) => "json",
            (_, ReportFormat::Text) => "txt",
        }
    }

    /// Whether what is written is neither a chart nor for programs.
    fn is_prose(&self) -> bool {
        self.ending() == "txt"
    }

    fn on(
        &self,
        chart: Chart,
        source: &Source,
        settings: &InForce,
        cache: &mut Cache,
    ) -> ChartOutcome<ReharmOutput> {
        let chart = match in_key(chart, self.key) {
            Ok(chart) => chart,
            Err(error) => return ChartOutcome::Failed(error),
        };
        let chart = match self.vary.then(|| chart.play_order()) {
            Some(Ok(order)) => chart.unrolled(&order),
            Some(Err(problems)) => return Trouble::PlayOrder(problems).into(),
            None => chart,
        };
        self.report(&chart, &source.path_name(), settings, cache)
    }

    /// Whether a chart becomes several files.
    fn is_in_parts(&self) -> bool {
        matches!(self.task, ReharmTask::Versions(_)) && self.is_prose()
    }

    /// Whether versions are written as files, the comparison being printed.
    fn in_files(&self, output: &Destination, at: usize, pages: &[String]) -> bool {
        !pages.is_empty() && !output.is_stdout(at) && self.is_prose()
    }

    fn report(
        &self,
        chart: &Chart,
        name: &str,
        in_force: &InForce,
        cache: &mut Cache,
    ) -> ChartOutcome<ReharmOutput> {
        let settings = &in_force.arrange;
        if matches!(self.task, ReharmTask::Undo) {
            return undone(chart, settings);
        }
        let asked = match self.asked(chart) {
            Ok(asked) => asked,
            Err(error) => return ChartOutcome::Failed(error),
        };
        let proposed = match reharm(chart, settings, &self.ways, &asked) {
            Ok(proposed) => proposed,
            Err(trouble) => return trouble.into(),
        };
        let mut remarks = match proposed.listed.is_empty() {
            true => self.unproposed(chart, settings, &asked),
            false => Vec::new(),
        };
        let proposed = match self.within(chart, proposed, &mut remarks) {
            Ok(proposed) => proposed,
            Err(error) => return ChartOutcome::Failed(error),
        };
        let listed = &proposed.listed;
        let text = match &self.task {
            ReharmTask::Changes(count) => {
                let listed = worth_a_change(proposed.listed);
                let asked = ChangeRequest {
                    chart,
                    name,
                    listed: &listed,
                    terms: in_force.changes.terms(&listed),
                    count: *count,
                };
                return asked.best(self.to, remarks, settings, cache);
            }
            ReharmTask::Versions(request) => {
                let listed = worth_a_change(proposed.listed);
                return match request.arranged(chart, &listed, in_force, cache) {
                    Ok(versions) => {
                        let comparison = Comparison {
                            chart,
                            versions: &versions,
                            listed: &listed,
                        };
                        request.report(name, &comparison, (self.to, remarks), settings)
                    }
                    Err(trouble) => unchosen(trouble),
                };
            }
            ReharmTask::Apply(names) => {
                let taken = names.of(&proposed);
                let all: Vec<Replacement> = listed.iter().map(Listed::replacement).collect();
                let page = taken.and_then(|taken| Ok(replaced(chart, &all, &taken)?));
                return match page {
                    Ok(page) => ReharmOutput::of(&page).on(&page, settings, remarks),
                    Err(error) => ChartOutcome::Failed(error),
                };
            }
            _ => {
                let proposed = match priced(chart, proposed, settings, cache) {
                    Ok(proposed) => proposed,
                    Err(trouble) => return trouble.into(),
                };
                let list = ListRequest {
                    chart,
                    name,
                    proposed: &proposed,
                    places: self.places,
                    how: self.how,
                };
                match list.text(self.to) {
                    Ok(text) => text,
                    Err(error) => return ChartOutcome::Failed(error),
                }
            }
        };
        ReharmOutput::text(text).on(chart, settings, remarks)
    }

    /// The places that are to be held and freed.
    fn asked(&self, chart: &Chart) -> Result<AskedPlaces> {
        let slots = chart.slots();
        let at = |option: &str, places: &[Places]| {
            let mut found = BTreeSet::new();
            for place in places {
                place.check(option, chart)?;
                found.extend(place.slots(slots.iter()));
            }
            Ok::<_, anyhow::Error>(found)
        };
        Ok(AskedPlaces {
            hold: at("--hold", self.hold)?,
            free: at("--free", self.free)?,
        })
    }

    /// What is proposed for the bars that were asked about, with a remark where that is nothing.
    fn within(
        &self,
        chart: &Chart,
        mut proposed: Proposed,
        remarks: &mut Vec<Notice>,
    ) -> Result<Proposed> {
        let Some(places) = self.places else {
            return Ok(proposed);
        };
        places.check("--bar", chart)?;
        let within = &mut proposed.listed;
        let any = !within.is_empty();
        let asked = places.slots(chart.slots().iter());
        within.retain(|listed| listed.replacement().slots.all(|slot| asked.contains(&slot)));
        if any && within.is_empty() {
            let what = format!("nothing to propose in {places} alone");
            let help = "leave --bar out for the whole tune";
            remarks.push(Notice::About {
                kind: UNPROPOSED,
                message: what,
                help: Some(help),
            });
        }
        Ok(proposed)
    }

    /// Why nothing is listed.
    fn unproposed(&self, chart: &Chart, settings: &Settings, asked: &AskedPlaces) -> Vec<Notice> {
        let why = Unproposed::of(chart, settings, &self.ways, asked);
        let remark = why.map(|why| Notice::About {
            kind: UNPROPOSED,
            message: why.to_string(),
            help: why.help(),
        });
        remark.into_iter().collect()
    }
}

/// What becomes of a chart among whose changes nothing can be chosen: a page that can't be planned fails.
fn unchosen(trouble: Trouble) -> ChartOutcome<ReharmOutput> {
    match trouble {
        Trouble::NoPlan(why) => ChartOutcome::Failed(anyhow!("{why}")),
        trouble => trouble.into(),
    }
}

fn undone(chart: &Chart, settings: &Settings) -> ChartOutcome<ReharmOutput> {
    let nothing = "no chord was replaced here: the chart is printed as it is";
    let unchanged = !chart.bars().any(Bar::is_changed);
    let remark = unchanged.then(|| Notice::About {
        kind: nothing,
        message: nothing.to_owned(),
        help: None,
    });
    let page = chart.before();
    ReharmOutput::of(&page).on(&page, settings, remark.into_iter().collect())
}
