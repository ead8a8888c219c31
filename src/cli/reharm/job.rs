//! What `reharm` was asked for, and what it makes of one chart.

use std::collections::BTreeSet;

use anyhow::{Result, anyhow, bail};
use compline::arrange::{Cache, Settings, Trouble};
use compline::chart::sizes::{MOST_CHOSEN_FROM, MOST_REHARMONISED};
use compline::chart::{Bar, Chart};
use compline::pitch::Key;
use compline::reharm::{AskedPlaces, KeptOut, Listed, Proposed, Unproposed, Ways, reharm};

use super::chart_proposals::{ChartProposals, Showing};
use super::result::{ReharmOutput, ReharmResult};
use super::versions::VersionsRequest;
use crate::cli::args::{BarsOrChord, Count, Names, Places, ReharmArguments, ReportFormat};
use crate::cli::input::{ENDING, Source};
use crate::cli::outcome::{NoResult, Notice};
use crate::cli::output::{Destination, ResultFiles};
use crate::cli::set_list::in_tempo;
use crate::cli::settings::{InForce, in_key, target_key};

/// The kind of notices where nothing is listed.
const UNPROPOSED: &str = "there is nothing to propose";

/// What `reharm` was asked for, besides the settings of each chart.
pub(super) struct ReharmJob<'a> {
    pub task: ReharmTask<'a>,
    showing: Showing<'a>,
    ways: Ways,
    hold: &'a [BarsOrChord],
    free: &'a [BarsOrChord],
    key: Option<Key>,
    vary: bool,
    replan: bool,
}

/// What is to be done.
pub(super) enum ReharmTask<'a> {
    List,
    Apply(&'a Names),
    Changes(Count),
    Versions(VersionsRequest),
    Undo,
}

impl<'a> ReharmJob<'a> {
    /// What the arguments ask for.
    ///
    /// # Errors
    ///
    /// A value that isn't one, and weights where nothing is chosen.
    pub fn of(arguments: &'a ReharmArguments) -> Result<Self> {
        let chooses = arguments.changes.is_some() || arguments.versions.is_some();
        if !arguments.weigh.is_empty() && !chooses {
            bail!("--weigh: there is nothing to choose without --changes or --versions");
        }
        Ok(Self {
            task: match (&arguments.apply, arguments.changes) {
                _ if arguments.undo => ReharmTask::Undo,
                _ if arguments.versions.is_some() => {
                    ReharmTask::Versions(VersionsRequest::of(arguments)?)
                }
                (Some(names), _) => ReharmTask::Apply(names),
                (None, Some(count)) => ReharmTask::Changes(count),
                (None, None) => ReharmTask::List,
            },
            showing: Showing {
                to: arguments.to,
                places: arguments.bar.as_ref(),
                list: &arguments.list,
            },
            hold: &arguments.hold,
            free: &arguments.free,
            ways: arguments.ways.clone().unwrap_or_default(),
            key: target_key(arguments.key.as_deref())?,
            vary: arguments.vary,
            replan: arguments.replan,
        })
    }
}

impl ReharmJob<'_> {
    /// The ending of the files that are written.
    pub const fn ending(&self) -> &'static str {
        match (&self.task, self.showing.to) {
            (ReharmTask::Apply(_) | ReharmTask::Undo, _) => ENDING,
            (ReharmTask::Changes(_), ReportFormat::Text) => ENDING,
            (ReharmTask::Versions(request), _) if request.take.is_some() => ENDING,
            (_, ReportFormat::Json) => "json",
            (_, ReportFormat::Text) => "txt",
        }
    }

    /// The files that may be written for these charts.
    pub fn files<'s>(&self, sources: &'s [Source]) -> ResultFiles<'s> {
        match &self.task {
            ReharmTask::Versions(request) if self.is_in_parts() => {
                ResultFiles::of(sources, ENDING).in_parts(request.parts())
            }
            _ => ResultFiles::of(sources, self.ending()),
        }
    }

    /// Whether what is written is neither a chart nor for programs.
    pub fn is_prose(&self) -> bool {
        self.ending() == "txt"
    }

    /// What comes of a chart.
    pub fn on(
        &self,
        chart: Chart,
        source: &Source,
        settings: &InForce,
        cache: &mut Cache,
    ) -> ReharmResult {
        let key = self.key.or(source.asked().key);
        let page = self.page(in_tempo(chart, source.asked().tempo), key)?;
        let page = self.refuse_long(page)?;
        self.report(&page, &source.path_name(), settings, cache)
    }

    /// The chart in the key it is wanted in, without its left hand where that is planned anew, and written out
    /// where its passes are to differ.
    fn page(&self, chart: Chart, key: Option<Key>) -> Result<Chart, NoResult> {
        let chart = match self.replan {
            true => chart.without_hands(),
            false => chart,
        };
        let chart = in_key(chart, key)?;
        if !self.vary {
            return Ok(chart);
        }
        let order = chart.play_order().map_err(Trouble::PlayOrder)?;
        Ok(chart.unfolded(&order))
    }

    /// The page, unless other chords are to be looked for or chosen from in more of it than can be.
    fn refuse_long(&self, page: Chart) -> Result<Chart, NoResult> {
        let slots = page.slots();
        let asked = match self.showing.places {
            Some(places) => places.slots(slots.iter()).len(),
            None => slots.len(),
        };
        let chooses = match self.task {
            ReharmTask::Undo => return Ok(page),
            ReharmTask::List | ReharmTask::Apply(_) => false,
            ReharmTask::Changes(_) | ReharmTask::Versions(_) => true,
        };
        if slots.len() > MOST_REHARMONISED {
            return Err(NoResult::from(anyhow!(
                "this chart has {} chords: other chords are looked for in tunes of up to \
                 {MOST_REHARMONISED}",
                slots.len()
            )));
        }
        if chooses && asked > MOST_CHOSEN_FROM {
            return Err(NoResult::from(anyhow!(
                "there are {asked} chords here: changes are chosen among up to {MOST_CHOSEN_FROM}; \
                 ask for part of the tune, such as --bar 1-32"
            )));
        }
        Ok(page)
    }

    /// Whether a chart becomes several files.
    pub fn is_in_parts(&self) -> bool {
        matches!(self.task, ReharmTask::Versions(_)) && self.is_prose()
    }

    /// Whether versions are written as files, the comparison being printed.
    pub fn in_files(&self, output: &Destination, at: usize, pages: &[String]) -> bool {
        !pages.is_empty() && !output.is_stdout(at) && self.is_prose()
    }

    fn report(
        &self,
        chart: &Chart,
        name: &str,
        in_force: &InForce,
        cache: &mut Cache,
    ) -> ReharmResult {
        let settings = &in_force.arrange;
        if matches!(self.task, ReharmTask::Undo) {
            return undone(chart, settings);
        }
        let asked = self.asked(chart)?;
        let proposed = reharm(chart, settings, &self.ways, &asked)?;
        let mut remarks = match proposed.listed.is_empty() {
            true => self.unproposed(chart, settings, &asked),
            false => Vec::new(),
        };
        self.refuse_outside(chart, &proposed)?;
        let proposed = self.within(chart, proposed, &mut remarks)?;
        let found = ChartProposals {
            chart,
            name,
            in_force,
            showing: self.showing,
            proposed,
            remarks,
        };
        match &self.task {
            ReharmTask::List | ReharmTask::Undo => found.listed(cache),
            ReharmTask::Apply(names) => found.applied(names),
            ReharmTask::Changes(count) => found.changed(*count, cache),
            ReharmTask::Versions(request) => found.in_versions(request, cache),
        }
    }

    /// The places that are to be held and freed.
    fn asked(&self, chart: &Chart) -> Result<AskedPlaces> {
        let slots = chart.slots();
        let at = |option: &str, places: &[BarsOrChord]| {
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

    /// Refuses a proposal that was asked for by name and lies outside the bars that were asked about.
    fn refuse_outside(&self, chart: &Chart, proposed: &Proposed) -> Result<()> {
        let names = match &self.task {
            ReharmTask::Apply(names) => Some(*names),
            _ => self.showing.list.why.as_ref(),
        };
        let Some((names, places)) = names.zip(self.showing.places) else {
            return Ok(());
        };
        let asked = places.slots(chart.slots().iter());
        for at in names.of_any(proposed, chart)? {
            let listed = proposed.listed.get(at);
            let outside = |one: &&Listed| !one.slots.clone().all(|slot| asked.contains(&slot));
            if let Some(one) = listed.filter(outside) {
                bail!("{} lies outside {places}, which --bar asks about", one.name);
            }
        }
        Ok(())
    }

    /// What is proposed for the bars that were asked about, with a remark where that is nothing.
    fn within(
        &self,
        chart: &Chart,
        mut proposed: Proposed,
        remarks: &mut Vec<Notice>,
    ) -> Result<Proposed> {
        let Some(places) = self.showing.places else {
            return Ok(proposed);
        };
        places.check("--bar", chart)?;
        let within = &mut proposed.listed;
        let any = !within.is_empty();
        let asked = places.slots(chart.slots().iter());
        within.retain(|listed| listed.replacement().slots.all(|slot| asked.contains(&slot)));
        if any && within.is_empty() {
            let inside = |one: &&KeptOut| one.slots.clone().all(|slot| asked.contains(&slot));
            let held = proposed.kept_out.iter().filter(inside).count();
            remarks.push(nothing_within(places, held));
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

/// That there is nothing in some places alone, where so many proposals are kept out.
fn nothing_within(places: &Places, held: usize) -> Notice {
    let (because, help) = match held {
        0 => ("", "leave --bar out for the whole tune"),
        _ => (
            ": what there would be takes what is held",
            "--free PLACE frees a place, --bar PLACE says what holds it",
        ),
    };
    Notice::About {
        kind: UNPROPOSED,
        message: format!("nothing to propose in {places} alone{because}"),
        help: Some(help),
    }
}

fn undone(chart: &Chart, settings: &Settings) -> ReharmResult {
    let nothing = "no chord was replaced here: the chart is printed in its standard layout";
    let unchanged = !chart.bars().any(Bar::is_changed);
    let remark = unchanged.then(|| Notice::About {
        kind: nothing,
        message: nothing.to_owned(),
        help: None,
    });
    let page = chart.before();
    ReharmOutput::of(&page).on(&page, settings, remark.into_iter().collect())
}
