//! The layer of the command line: what the options say, checked once.

use std::collections::BTreeMap;
use std::path::Path;

use anyhow::{Context, Result, anyhow, bail};
use compline::hand::{LimitTable, Reach, key};
use compline::pitch::{Pitch, Spelling};
use compline::voicing::{Colour, Palette, SetSurcharge};

use super::SettingsLayer;
use crate::cli::args::{ColourName, HandArguments};
use crate::cli::read_file::read_text;
use crate::cli::wishes::top;

/// A file longer than this is no table of limits.
const LONGEST: u64 = 1 << 20;

/// What the options say.
///
/// # Errors
///
/// A value that isn't one, naming the option it was given to.
pub fn layer(arguments: &HandArguments) -> Result<SettingsLayer> {
    Ok(SettingsLayer {
        low: end("--low", arguments.low.as_deref())?,
        high: end("--high", arguments.high.as_deref())?,
        reach: reach(arguments)?,
        limits: arguments.limits.as_deref().map(limits).transpose()?,
        count_bass: arguments.count_bass,
        palette: palette(&arguments.palette)?,
        colour: arguments.colour.map(colour),
        spelling: arguments.spelling.map(Spelling::from),
        ignore_melody: arguments.ignore_melody.then_some(true),
        looped: arguments.looped.then_some(true),
        top: arguments.top.map(top),
        leap: arguments.leap,
        surcharges: surcharges(&arguments.surcharge)?,
        ..SettingsLayer::default()
    })
}

fn surcharges(typed: &[String]) -> Result<BTreeMap<&'static str, SetSurcharge>> {
    let each = typed.iter().map(|text| {
        let set: SetSurcharge = text.parse().context("--surcharge")?;
        Ok((set.name(), set))
    });
    each.collect()
}

fn reach(arguments: &HandArguments) -> Result<Option<Reach>> {
    Ok(match (&arguments.reach, &arguments.span) {
        (Some(text), _) => Some(text.parse::<Reach>().context("--reach")?),
        (None, Some(text)) => Some(Reach::of_hand(text).context("--hand")?),
        (None, None) => None,
    })
}

fn end(option: &str, text: Option<&str>) -> Result<Option<Pitch>> {
    let Some(text) = text else {
        return Ok(None);
    };
    let pitch = key(text);
    let pitch =
        pitch.ok_or_else(|| anyhow!("{option}: `{text}` is not a note such as C3, Bb2 or 48"))?;
    Ok(Some(pitch))
}

fn palette(names: &[String]) -> Result<Option<Palette>> {
    if names.is_empty() {
        return Ok(None);
    }
    Ok(Some(names.join(",").parse().context("--palette")?))
}

fn colour(name: ColourName) -> Colour {
    match name {
        ColourName::Written => Colour::Written,
        ColourName::Natural => Colour::Natural,
        ColourName::Altered => Colour::Altered,
    }
}

/// The table with this name, or in this file.
///
/// # Errors
///
/// No table of this name and no such file, or a file with mistakes: all of them, with their lines.
pub fn limits(text: &str) -> Result<LimitTable> {
    table(text, Path::new(text)).context("--limits")
}

/// The table with this name, or else in the file at `path`.
///
/// # Errors
///
/// As [`limits`], without the name of the option.
pub fn table(name: &str, path: &Path) -> Result<LimitTable> {
    if let Some(table) = LimitTable::named(name) {
        return Ok(table);
    }
    if !path.exists() {
        let names = LimitTable::NAMES.join(", ");
        bail!("there is no table `{name}` ({names}) and no such file");
    }
    let shown = path.display();
    let source = read_text(path, LONGEST)?;
    LimitTable::read(&source).map_err(|mistakes| {
        let lines: Vec<String> = mistakes
            .iter()
            .map(|mistake| format!("{shown}:{}: {mistake}", mistake.line))
            .collect();
        anyhow!("the table can't be used\n{}", lines.join("\n"))
    })
}
