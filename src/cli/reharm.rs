//! `reharm`: other chords under the same tune, listed, applied, or chosen for the smoothest hand.

use std::ffi::OsString;

use anyhow::{Result, anyhow, bail};
use compline::arrange::{Cache, Listed, Rung, Settings, Trouble, Ways, changes, reharm, replaced};
use compline::chart::{Chart, Replacement};
use compline::write::{ladder_text, proposals_json, proposals_text};

use super::Status;
use super::args::{ReharmArguments, ReportFormat};
use super::batch::{self, Outcome, Remark};
use super::settings::{Finder, Layer, in_key, target_key};
use super::slots::one_chart;
use super::terminal::Terminal;

/// What comes of a chart: what goes to standard output, and a table beside it.
struct Report {
    text: String,
    table: Option<String>,
}

impl Report {
    /// With what the chords can't carry of the tune, on the page as it is now: a replacement that
    /// cures a fault takes it away, and brings none.
    fn on(self, page: &Chart, settings: &Settings) -> Outcome<Self> {
        if settings.ignore_melody {
            return Outcome::Done(self, Vec::new());
        }
        match Remark::uncarried(page, settings.looped) {
            Ok(remarks) => Outcome::Done(self, remarks),
            Err(trouble) => trouble.into(),
        }
    }
}

/// Runs the command.
pub fn run(arguments: &ReharmArguments, terminal: &mut Terminal) -> Result<Status> {
    let sources = one_chart(&arguments.chart, "chords are replaced")?;
    let mut finder = Finder::new(&arguments.hand, &Layer::default())?;
    let settings = finder.all(&sources, terminal)?;
    let key = target_key(arguments.key.as_deref())?;
    let status = batch::each(
        &sources,
        terminal,
        |at, chart, _, cache| match (in_key(chart, key), settings.get(at)) {
            (Ok(chart), Some(settings)) => report(&chart, arguments, &settings.arrange, cache),
            (Err(error), _) => Outcome::Failed(error),
            (_, None) => Outcome::Failed(anyhow!("no settings")),
        },
        |_, report, terminal| {
            terminal.out().write_all(report.text.as_bytes())?;
            if let Some(table) = report.table {
                terminal.flush()?;
                terminal.say(&table);
            }
            Ok(Status::Done)
        },
    )?;
    terminal.flush()?;
    Ok(status)
}

fn report(
    chart: &Chart,
    arguments: &ReharmArguments,
    settings: &Settings,
    cache: &mut Cache,
) -> Outcome<Report> {
    if arguments.undo {
        let page = chart.before();
        return printed(&page, None).on(&page, settings);
    }
    let ways = arguments
        .ways
        .as_deref()
        .map_or(Ok(Ways::default()), str::parse);
    let ways = match ways {
        Ok(ways) => ways,
        Err(why) => return Outcome::Failed(anyhow!("--ways: {why}")),
    };
    let listed = match reharm(chart, settings, &ways) {
        Ok(listed) => listed,
        Err(trouble) => return trouble.into(),
    };
    if !arguments.apply.is_empty() {
        return match applied(chart, &listed, &arguments.apply) {
            Ok(page) => printed(&page, None).on(&page, settings),
            Err(error) => Outcome::Failed(error),
        };
    }
    match arguments.changes {
        Some(count) => smoothest(chart, &listed, count, settings, cache),
        None => {
            let (text, table) = (list(&listed, arguments.to), None);
            Report { text, table }.on(chart, settings)
        }
    }
}

fn printed(page: &Chart, table: Option<String>) -> Report {
    let text = page.tidy();
    Report { text, table }
}

fn list(listed: &[Listed], to: ReportFormat) -> String {
    match to {
        ReportFormat::Text => proposals_text(listed),
        ReportFormat::Json => proposals_json(listed),
    }
}

fn applied(chart: &Chart, listed: &[Listed], numbers: &[usize]) -> Result<Chart> {
    let mut taken = Vec::new();
    for &number in numbers {
        let known = number.checked_sub(1).filter(|at| *at < listed.len());
        let Some(at) = known else {
            bail!(
                "--apply {number}: there are proposals 1 to {}",
                listed.len()
            );
        };
        if !taken.contains(&at) {
            taken.push(at);
        }
    }
    for (place, &one) in taken.iter().enumerate() {
        let meets = |other: &&usize| overlap(listed.get(one), listed.get(**other));
        if let Some(other) = taken.iter().take(place).find(meets) {
            bail!(
                "--apply: proposals {} and {} want the same chord; take one of them",
                other + 1,
                one + 1
            );
        }
    }
    let replacements: Vec<Replacement> = listed.iter().map(Listed::replacement).collect();
    replaced(chart, &replacements, &taken).map_err(|why| anyhow!("--apply: {why}"))
}

fn overlap(a: Option<&Listed>, b: Option<&Listed>) -> bool {
    let slots = a.zip(b).map(|(a, b)| (&a.slots, &b.slots));
    slots.is_some_and(|(a, b)| a.start < b.end && b.start < a.end)
}

/// The arguments with `--changes exactly 3` joined into one value, since it is typed as two words.
pub fn joined(words: impl Iterator<Item = OsString>) -> Vec<OsString> {
    let mut joined: Vec<OsString> = Vec::new();
    let mut words = words.peekable();
    while let Some(mut word) = words.next() {
        let of_changes = joined.last().is_some_and(|last| last == "--changes");
        if of_changes && word == "exactly" {
            word.push(" ");
            word.extend(words.next());
        }
        joined.push(word);
    }
    joined
}

/// How many changes are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Count {
    /// The number.
    pub most: usize,
    /// Whether it has to be so many.
    pub exactly: bool,
}

impl std::str::FromStr for Count {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let number = text.strip_prefix("exactly").map(str::trim_start);
        let most = number.unwrap_or(text).parse();
        let most =
            most.map_err(|_| "a number was expected, such as 3 or `exactly 3`".to_owned())?;
        Ok(Self {
            most,
            exactly: number.is_some(),
        })
    }
}

fn smoothest(
    chart: &Chart,
    listed: &[Listed],
    count: Count,
    settings: &Settings,
    cache: &mut Cache,
) -> Outcome<Report> {
    let replacements: Vec<Replacement> = listed.iter().map(Listed::replacement).collect();
    let rungs = match changes(chart, &replacements, settings, count.most, cache) {
        Ok(rungs) => rungs,
        Err(Trouble::NoPlan(why)) => return Outcome::Failed(anyhow!("{why}")),
        Err(trouble) => return trouble.into(),
    };
    let table = ladder_text(&rungs, listed);
    match chosen(&rungs, count) {
        Some(rung) => printed(&rung.chart, Some(table)).on(&rung.chart, settings),
        None => Outcome::Unplanned(
            format!("no {} proposals fit beside each other", count.most),
            Some("ask for fewer changes, or allow more --ways".to_owned()),
        ),
    }
}

/// The smoothest of at most so many changes, the fewest among equals; or of exactly so many.
fn chosen(rungs: &[Option<Rung>], count: Count) -> Option<&Rung> {
    if count.exactly {
        return rungs.get(count.most)?.as_ref();
    }
    let rungs = rungs.iter().flatten();
    rungs.min_by_key(|rung| (rung.cost, rung.replacements.len()))
}
