//! From arguments to settings, once. Nothing later looks at what was typed.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result, anyhow, bail};
use compline::arrange::Settings;
use compline::chart::Chart;
use compline::hand::{Hand, LimitTable, Range, Reach, key};
use compline::pitch::{Interval, Key, Pitch};
use compline::voicing::{self, Colour, Palette};

use super::args::{ColourName, HandArguments};
use super::wishes::top;

/// The settings the arguments ask for.
///
/// # Errors
///
/// A value that isn't one, naming the option it was given to.
pub fn settings(arguments: &HandArguments) -> Result<Settings> {
    Ok(Settings {
        voicing: voicing::Settings {
            hand: hand(arguments)?,
            palette: palette(&arguments.palette)?,
            colour: arguments.colour.map_or_else(Colour::default, colour),
        },
        looped: arguments.looped,
        ignore_melody: arguments.ignore_melody,
        top: arguments.top.map(top),
        leap: arguments.leap,
        ..Settings::default()
    })
}

fn hand(arguments: &HandArguments) -> Result<Hand> {
    let usual = Hand::default();
    let reach = match (&arguments.reach, &arguments.span) {
        (Some(text), _) => text.parse::<Reach>().context("--reach")?,
        (None, Some(text)) => Reach::of_hand(text).context("--hand")?,
        (None, None) => usual.reach,
    };
    Ok(Hand {
        range: range(arguments, usual.range)?,
        limits: arguments
            .limits
            .as_deref()
            .map_or(Ok(usual.limits), limits)?,
        reach,
        bass: arguments.count_bass,
    })
}

fn range(arguments: &HandArguments, usual: Range) -> Result<Range> {
    let low = end("--low", arguments.low.as_deref(), usual.low())?;
    let high = end("--high", arguments.high.as_deref(), usual.high())?;
    Range::new(low, high).ok_or_else(|| anyhow!("--low must lie below --high"))
}

fn end(option: &str, text: Option<&str>, usual: Pitch) -> Result<Pitch> {
    match text {
        None => Ok(usual),
        Some(text) => key(text)
            .ok_or_else(|| anyhow!("{option}: `{text}` is not a note such as C3, Bb2 or 48")),
    }
}

/// The table with this name, or in this file.
///
/// # Errors
///
/// No table of this name and no such file, or a file with mistakes: all of them, with their lines.
pub fn limits(text: &str) -> Result<LimitTable> {
    if let Some(table) = LimitTable::named(text) {
        return Ok(table);
    }
    let path = Path::new(text);
    if !path.exists() {
        let names = LimitTable::NAMES.join(", ");
        bail!("--limits: there is no table `{text}` ({names}) and no such file");
    }
    let source = fs::read_to_string(path).with_context(|| format!("can't read {text}"))?;
    LimitTable::read(&source).map_err(|mistakes| {
        let lines: Vec<String> = mistakes
            .iter()
            .map(|mistake| format!("{text}:{}: {mistake}", mistake.line))
            .collect();
        anyhow!("--limits: the table can't be used\n{}", lines.join("\n"))
    })
}

fn palette(names: &[String]) -> Result<Palette> {
    if names.is_empty() {
        return Ok(Palette::default());
    }
    names.join(",").parse().context("--palette")
}

fn colour(name: ColourName) -> Colour {
    match name {
        ColourName::Written => Colour::Written,
        ColourName::Natural => Colour::Natural,
        ColourName::Altered => Colour::Altered,
    }
}

/// The key to transpose to.
///
/// # Errors
///
/// A text that is no key.
pub fn target_key(text: Option<&str>) -> Result<Option<Key>> {
    text.map(|text| text.parse().context("--key")).transpose()
}

/// The chart in another key, moved the nearer way.
///
/// # Errors
///
/// A chart that doesn't say its key, or is in the other mode.
pub fn in_key(chart: Chart, target: Option<Key>) -> Result<Chart> {
    let Some(target) = target else {
        return Ok(chart);
    };
    let Some(key) = chart.key() else {
        bail!(
            "the chart doesn't say which key it is in, so it can't be moved to {target}: add a line such as `key: Eb`"
        );
    };
    if key.mode() != target.mode() {
        bail!(
            "the chart is in {key} and {target} is of the other mode: to play it on that tonic, write --key {}",
            other_mode(target)
        );
    }
    let interval = Interval::between(key.tonic(), target.tonic()).nearer();
    chart.transposed(interval).ok_or_else(|| {
        anyhow!("moved from {key} to {target}, the tune or a chord leaves what can be written")
    })
}

fn other_mode(key: Key) -> String {
    match key.mode() {
        compline::pitch::Mode::Major => format!("{}m", key.tonic()),
        compline::pitch::Mode::Minor => key.tonic().to_string(),
    }
}
