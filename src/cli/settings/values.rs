//! The keys of a settings file, each with how its value is read. A row of [`KEYS`] a key.

use std::fmt::Display;
use std::path::{Path, PathBuf};
use std::str::FromStr;

use compline::chart::TopWish;
use compline::check::Severity;
use compline::hand::{LimitTable, Reach, key};
use compline::pitch::Pitch;
use compline::reharm::SetChangeWeight;
use compline::voicing::{Palette, SetSurcharge};
use toml::de::DeValue;

use super::tree::own_file;
use super::{SettingsLayer, arguments};

/// Why a value can't be used: what it is not, and what was expected in its place.
pub struct Refused {
    /// What is wrong with it.
    pub message: String,
    /// What was expected.
    pub expected: &'static str,
}

/// A key that stands for one value.
pub struct Setting {
    /// Its name: the long option's.
    pub name: &'static str,
    /// Puts a value into a layer; a file is named relative to the folder.
    pub set: fn(&mut SettingsLayer, &DeValue<'_>, &Path) -> Result<(), Refused>,
}

/// Every key that stands for one value, in the order they are listed to people.
pub const KEYS: &[Setting] = &[
    Setting {
        name: "low",
        set: |layer, value, _| put(&mut layer.low, note(value)),
    },
    Setting {
        name: "high",
        set: |layer, value, _| put(&mut layer.high, note(value)),
    },
    Setting {
        name: "reach",
        set: |layer, value, _| put(&mut layer.reach, reach(value)),
    },
    Setting {
        name: "hand",
        set: |layer, value, _| put(&mut layer.reach, hand(value)),
    },
    Setting {
        name: "limits",
        set: |layer, value, folder| {
            let name = text(value, "a table's name, or a file")?;
            let expected = "handbook, series, scores, none or a file beside this one";
            if let Some(table) = LimitTable::named(name) {
                layer.limits = Some(table);
                return Ok(());
            }
            let table = arguments::table(name, &own(folder, name, expected)?);
            put(&mut layer.limits, named(table, expected))
        },
    },
    Setting {
        name: "count-bass",
        set: |layer, value, _| put(&mut layer.count_bass, whole(value, "an octave such as 2")),
    },
    Setting {
        name: "palette",
        set: |layer, value, _| put(&mut layer.palette, palette(value)),
    },
    Setting {
        name: "colour",
        set: |layer, value, _| {
            put(
                &mut layer.colour,
                word(value, "written, natural or altered"),
            )
        },
    },
    Setting {
        name: "spelling",
        set: |layer, value, _| put(&mut layer.spelling, word(value, "strict or practical")),
    },
    Setting {
        name: "ignore-melody",
        set: |layer, value, _| put(&mut layer.ignore_melody, truth(value)),
    },
    Setting {
        name: "loop",
        set: |layer, value, _| put(&mut layer.looped, truth(value)),
    },
    Setting {
        name: "top",
        set: |layer, value, _| put(&mut layer.top, top(value)),
    },
    Setting {
        name: "leap",
        set: |layer, value, _| put(&mut layer.leap, leap(value)),
    },
    Setting {
        name: "fail-on",
        set: |layer, value, _| put(&mut layer.fail_on, word(value, "note, warning or error")),
    },
    Setting {
        name: "detour",
        set: |layer, value, _| {
            let expected = "semitones, such as 5";
            let number = u32::try_from(whole(value, expected)?).ok();
            let number = number.ok_or_else(|| not(value, "semitones", expected));
            put(&mut layer.detour, number)
        },
    },
    Setting {
        name: "restless",
        set: |layer, value, _| {
            let expected = "an allowance such as \"3/2+12\"";
            put(&mut layer.restless, word(value, expected))
        },
    },
    Setting {
        name: "known",
        set: |layer, value, folder| {
            let expected = "a file made with `check --record`, beside this one";
            layer.known = Some(own(folder, text(value, expected)?, expected)?);
            Ok(())
        },
    },
];

/// A surcharge of this name.
pub fn surcharge(name: &str, value: &DeValue<'_>) -> Result<SetSurcharge, Refused> {
    let expected = match name {
        "floor" => "a note such as \"Eb3\" or 51",
        _ => "a whole number from 0 to 1000",
    };
    named(SetSurcharge::new(name, &typed(value, expected)?), expected)
}

/// A weight of a choice of changes of this name.
pub fn change_weight(name: &str, value: &DeValue<'_>) -> Result<SetChangeWeight, Refused> {
    let expected = "a whole number from 0 to 1000";
    named(
        SetChangeWeight::new(name, &typed(value, expected)?),
        expected,
    )
}

/// The severity a rule is given; `None` is off.
pub fn level(value: &DeValue<'_>) -> Result<Option<Severity>, Refused> {
    let expected = "\"off\", \"note\", \"warning\" or \"error\"";
    match text(value, expected)? {
        "off" => Ok(None),
        word => named(word.parse().map(Some), expected),
    }
}

/// A file that the settings name.
fn own(folder: &Path, name: &str, expected: &'static str) -> Result<PathBuf, Refused> {
    own_file(folder, name).ok_or_else(|| Refused {
        message: format!("`{name}` is no file in the folder of this file, or below it"),
        expected,
    })
}

fn put<T>(place: &mut Option<T>, value: Result<T, Refused>) -> Result<(), Refused> {
    *place = Some(value?);
    Ok(())
}

fn text<'a>(value: &'a DeValue<'_>, expected: &'static str) -> Result<&'a str, Refused> {
    value
        .as_str()
        .ok_or_else(|| not(value, "a text in quotes", expected))
}

/// A word, or several, that can be read.
fn word<T>(value: &DeValue<'_>, expected: &'static str) -> Result<T, Refused>
where
    T: FromStr<Err: Display>,
{
    named(text(value, expected)?.parse(), expected)
}

fn truth(value: &DeValue<'_>) -> Result<bool, Refused> {
    let expected = "true or false";
    value
        .as_bool()
        .ok_or_else(|| not(value, "true or false", expected))
}

fn whole(value: &DeValue<'_>, expected: &'static str) -> Result<i32, Refused> {
    let number = value.as_integer().and_then(|number| {
        i32::from_str_radix(&number.as_str().replace('_', ""), number.radix()).ok()
    });
    number.ok_or_else(|| not(value, "a whole number", expected))
}

/// A whole number, or one in quotes, as it would be typed.
fn typed(value: &DeValue<'_>, expected: &'static str) -> Result<String, Refused> {
    match value.as_str() {
        Some(text) => Ok(text.to_owned()),
        None => whole(value, expected).map(|number| number.to_string()),
    }
}

fn note(value: &DeValue<'_>) -> Result<Pitch, Refused> {
    let expected = "a note such as \"C3\", \"Bb2\" or 48";
    let typed = typed(value, expected)?;
    key(&typed).ok_or_else(|| Refused {
        message: format!("`{typed}` is not a note"),
        expected,
    })
}

fn reach(value: &DeValue<'_>) -> Result<Reach, Refused> {
    let expected = "semitones, from 7 to 24";
    named(typed(value, expected)?.parse(), expected)
}

fn hand(value: &DeValue<'_>) -> Result<Reach, Refused> {
    let expected = "a length such as \"200mm\"";
    named(Reach::of_hand(text(value, expected)?), expected)
}

fn leap(value: &DeValue<'_>) -> Result<u8, Refused> {
    let expected = "semitones, from 0 to 127";
    let number = u8::try_from(whole(value, expected)?).ok();
    let number = number.filter(|number| *number <= 127);
    number.ok_or_else(|| not(value, "a leap", expected))
}

fn top(value: &DeValue<'_>) -> Result<TopWish, Refused> {
    let expected = "\"held\", \"step\" or \"free\"";
    let word = text(value, expected)?;
    let found = TopWish::ALL.into_iter().find(|top| top.to_string() == word);
    found.ok_or_else(|| Refused {
        message: format!("`{word}` is not something the top note can do"),
        expected,
    })
}

fn palette(value: &DeValue<'_>) -> Result<Palette, Refused> {
    let expected = "shapes such as [\"rootless\", \"shell\"]";
    let names = match value.as_array() {
        Some(names) => {
            let names = names.iter().map(|name| text(name.get_ref(), expected));
            names.collect::<Result<Vec<_>, _>>()?.join(",")
        }
        None => text(value, expected)?.to_owned(),
    };
    named(names.parse(), expected)
}

fn named<T, E: Display>(value: Result<T, E>, expected: &'static str) -> Result<T, Refused> {
    value.map_err(|why| Refused {
        message: format!("{why:#}"),
        expected,
    })
}

fn not(value: &DeValue<'_>, what: &str, expected: &'static str) -> Refused {
    Refused {
        message: format!("this {} is not {what}", value.type_str()),
        expected,
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_songbook_to_be_copied_shows_every_key() {
        let shown = include_str!("../../../examples/songbook/compline.toml");
        for setting in super::KEYS {
            let line = format!("\n{} = ", setting.name);
            let off = format!("\n# {} = ", setting.name);
            assert!(
                shown.contains(&line) || shown.contains(&off),
                "{}",
                setting.name
            );
        }
    }
}
