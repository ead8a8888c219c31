//! Charts in hand to be checked: from text, from a line of JSON, from a file of another format, or with the
//! left hand of a MIDI file that was played to a chart.

use std::path::Path;

use anyhow::{Context, Result, anyhow};
use compline::chart::{self, Chart};
use compline::check::{Finding, Fix, Report};
use compline::formats::midi::{PlayedHand, left_hand};
use compline::formats::{ChartFromJson, ShownChart, read_voiced};
use compline::pitch::Key;

use super::pieces::What;
use crate::cli::input::Source;
use crate::cli::outcome::ChartOutcome;
use crate::cli::reading::{self, ReadOptions, Taken};
use crate::cli::settings::in_key;

/// A chart in hand.
pub struct ReadChart {
    /// The chart.
    pub chart: Chart,
    /// Its text; empty where it was not read from text.
    pub text: String,
    /// The order its slots are played in, where the file says.
    pub played: Option<Vec<usize>>,
    /// The line of JSON it was.
    pub line: Option<usize>,
    /// What is to be known of a file of another format.
    pub other: Option<OtherFile>,
}

impl ReadChart {
    /// A chart that was read from this text.
    pub const fn of(chart: Chart, text: String) -> Self {
        Self {
            chart,
            text,
            played: None,
            line: None,
            other: None,
        }
    }

    /// The chart with the places that its findings are told by: lines of JSON, bars of another format, lines of a
    /// text.
    pub fn with_places(&self) -> ShownChart<'_> {
        match (self.line, &self.other) {
            (Some(line), _) => ShownChart::of_line(&self.chart, line),
            (None, Some(other)) => ShownChart::of_bars(&self.chart, &other.places),
            (None, None) => ShownChart::of_text(&self.chart, &self.text),
        }
    }
}

/// What is to be known of a file that is no chart.
pub struct OtherFile {
    /// What it calls each bar of the chart.
    pub places: Vec<String>,
    /// For each bar of the chart the bar of the page, from 1, where the chart is a play order written out.
    written: Option<Vec<usize>>,
    /// What of it a chart has no place for.
    pub lost: Vec<String>,
}

impl OtherFile {
    /// Counts the bars of findings as the page does.
    pub fn to_page(&self, report: &mut Report) {
        let Some(written) = &self.written else { return };
        let on_page = |bar: &mut usize| {
            let page = bar.checked_sub(1).and_then(|bar| written.get(bar));
            *bar = page.copied().unwrap_or(*bar);
        };
        let findings = report.findings.iter_mut().chain(&mut report.suppressed);
        for Finding { place, fix, .. } in findings {
            place.bar.iter_mut().for_each(on_page);
            if let Fix::Replan(replan) = fix {
                let changes = replan.changes.iter_mut();
                changes.for_each(|change| on_page(&mut change.bar));
            }
        }
    }
}

/// A chart that could not be checked, and its text if something is to be shown in it.
pub type Bad = (ChartOutcome<()>, String);

/// A chart that left hands are played to.
pub struct Companion<'a> {
    /// Where it is.
    pub chart: &'a Source,
    /// The track with the left hand.
    pub track: Option<&'a str>,
}

impl Companion<'_> {
    /// The chart with the left hand of a MIDI file.
    ///
    /// # Errors
    ///
    /// What came of it instead.
    pub fn played(
        &self,
        source: &Source,
        what: &What,
        reading: &ReadOptions,
    ) -> Result<ReadChart, Box<Bad>> {
        let page = read(self.chart, &What::File, reading)?;
        let order = page.chart.play_order();
        let order = order.map_err(|problems| {
            Box::new((ChartOutcome::Mistaken(problems.into()), page.text.clone()))
        })?;
        let bytes = match what {
            What::Text(bytes) => Ok(bytes.clone()),
            _ => source.read(),
        };
        let bytes = bytes.or_else(failed)?;
        let hand = left_hand(&bytes, self.track, &page.chart, &order);
        let hand = hand.map_err(|error| Box::new((reading::unreadable(error), String::new())))?;
        Ok(with_hand(hand))
    }
}

fn with_hand(hand: PlayedHand) -> ReadChart {
    let bars = hand.written.as_ref().map_or(0, Vec::len);
    let lost = hand.report.items().into_iter().map(|item| item.text);
    ReadChart {
        played: Some(hand.played),
        other: Some(OtherFile {
            places: (1..=bars).map(|bar| format!("played bar {bar}")).collect(),
            written: hand.written,
            lost: lost.collect(),
        }),
        ..ReadChart::of(hand.chart, String::new())
    }
}

/// Nothing but why.
///
/// # Errors
///
/// Always.
pub fn failed<T>(error: anyhow::Error) -> Result<T, Box<Bad>> {
    Err(Box::new((ChartOutcome::Failed(error), String::new())))
}

/// Reads a piece of a source.
///
/// # Errors
///
/// What came of it instead.
pub fn read(source: &Source, what: &What, reading: &ReadOptions) -> Result<ReadChart, Box<Bad>> {
    let read = as_it_is(source, what, reading)?;
    match source.asked().key {
        Some(key) if read.chart.key() != Some(key) => moved(read.chart, key),
        _ => Ok(read),
    }
}

/// The chart in the key that a set list asks for, in a text of its own.
fn moved(chart: Chart, key: Key) -> Result<ReadChart, Box<Bad>> {
    let moved = in_key(chart, Some(key)).or_else(failed)?;
    let text = moved.tidy();
    // Read again, so that its spans point into that text.
    let chart = chart::read(&text).unwrap_or(moved);
    let place = format!("in {key}");
    Ok(ReadChart {
        other: Some(OtherFile {
            places: vec![place; chart.bars().count()],
            written: None,
            lost: Vec::new(),
        }),
        ..ReadChart::of(chart, text)
    })
}

fn as_it_is(source: &Source, what: &What, reading: &ReadOptions) -> Result<ReadChart, Box<Bad>> {
    match what {
        What::Unreadable(error) => failed(anyhow!("{error:#}")),
        What::Line(number, line) => {
            let voiced = voiced(line).with_context(|| format!("{}:{number}", source.name()));
            match voiced {
                Ok(voiced) => Ok(ReadChart {
                    line: Some(*number),
                    played: Some(voiced.played),
                    ..ReadChart::of(voiced.chart, voiced.waivers.join("\n"))
                }),
                Err(error) => failed(error),
            }
        }
        What::Text(bytes) => of_bytes(bytes, source.path(), reading),
        What::File => match source.read() {
            Ok(bytes) => of_bytes(&bytes, source.path(), reading),
            Err(error) => failed(error),
        },
    }
}

fn voiced(line: &[u8]) -> Result<ChartFromJson> {
    let line = std::str::from_utf8(line).context("this is not UTF-8")?;
    let help =
        "a voiced chart an object a line was expected, as `compline voice --to json` writes it";
    read_voiced(line).map_err(|why| anyhow!("{why}; {help}"))
}

fn of_bytes(
    bytes: &[u8],
    path: Option<&Path>,
    reading: &ReadOptions,
) -> Result<ReadChart, Box<Bad>> {
    match reading.taken(bytes, path) {
        Ok(Taken::Chart(chart)) => {
            let text = String::from_utf8_lossy(bytes).into_owned();
            Ok(ReadChart::of(chart, text))
        }
        Ok(Taken::Tune(tune)) => {
            let lost = tune.report.items().into_iter().map(|item| item.text);
            Ok(ReadChart {
                other: Some(OtherFile {
                    places: tune.places,
                    written: None,
                    lost: lost.collect(),
                }),
                ..ReadChart::of(tune.chart, tune.text)
            })
        }
        Err(bad) => Err(Box::new((bad, String::from_utf8_lossy(bytes).into_owned()))),
    }
}
