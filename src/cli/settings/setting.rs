//! What a row of the table of settings says, and how a value is read.

use std::fmt::Display;
use std::ops::RangeInclusive;
use std::path::{Path, PathBuf};
use std::str::FromStr;

use super::in_force::SettingsDraft;
use super::layer::{GivenValue, SettingsLayer};
use super::limits::Quoting;
use super::tree::own_file;

/// A setting: an option of the command line, and a key of a settings file, under one name.
pub struct Setting {
    /// The long option's name and the file's key.
    pub name: &'static str,
    /// The setting that it takes the place of, so that only one of the two can be set.
    pub in_place_of: Option<&'static str>,
    /// Under which heading the help lists it.
    pub heading: Option<&'static str>,
    /// What it is, in one line.
    pub help: &'static str,
    /// What is to be said besides.
    pub more: fn() -> String,
    /// Its value where nobody says anything, as it is typed, where the help names it.
    pub usual: Option<&'static str>,
    /// What its values look like.
    pub kind: Kind,
    /// The value as it is read: where it goes, or what is wrong with it.
    pub read: fn(&str, ValueOrigin<'_>) -> Result<GivenValue, String>,
}

/// What the values of a setting look like.
pub enum Kind {
    /// It is set or it isn't: an option without a value; `true` or `false` in a file.
    Truth,
    /// A whole number within bounds. What stands for it in the help.
    Whole(&'static str, RangeInclusive<i64>),
    /// One of these words, each with what it means. What stands for it in the help.
    Word(&'static str, &'static [(&'static str, &'static str)]),
    /// A text. What stands for it in the help, and what a file expects.
    Text(&'static str, &'static str),
    /// A text that may be a mere number. As above.
    TextOrNumber(&'static str, &'static str),
    /// The name of a file. As above.
    File(&'static str, &'static str),
    /// Several texts. As above.
    List(&'static str, &'static str),
}

/// Where a value stands.
#[derive(Debug, Clone, Copy)]
pub enum ValueOrigin<'a> {
    /// On the command line.
    Typed,
    /// In a settings file of this folder, which may name files in it and below and no others.
    FileIn(&'a Path),
}

impl ValueOrigin<'_> {
    /// What is shown of a file that is not what was expected.
    pub const fn quoting(self) -> Quoting {
        match self {
            Self::Typed => Quoting::Lines,
            Self::FileIn(_) => Quoting::Places,
        }
    }

    /// The file of this name.
    pub fn file(self, name: &str) -> Result<PathBuf, String> {
        match self {
            Self::Typed => Ok(PathBuf::from(name)),
            Self::FileIn(folder) => own_file(folder, name).ok_or_else(|| {
                format!("`{name}` is no file in the folder of this file, or below it; hidden ones are none")
            }),
        }
    }
}

impl Setting {
    /// Puts a value into a layer, or says what is wrong with it.
    pub fn set(
        &self,
        layer: &mut SettingsLayer,
        text: &str,
        origin: ValueOrigin<'_>,
    ) -> Result<(), String> {
        let value = (self.read)(text, origin)?;
        layer.set(self.in_place_of.unwrap_or(self.name), value);
        Ok(())
    }

    /// What a settings file should say.
    pub fn expected(&self) -> String {
        match &self.kind {
            Kind::Truth => "true or false".to_owned(),
            Kind::Whole(_, bounds) => {
                format!("a whole number from {} to {}", bounds.start(), bounds.end())
            }
            Kind::Word(_, words) => {
                let words: Vec<String> = words
                    .iter()
                    .map(|(word, _)| format!("\"{word}\""))
                    .collect();
                words.join(" or ")
            }
            Kind::Text(_, expected)
            | Kind::File(_, expected)
            | Kind::TextOrNumber(_, expected)
            | Kind::List(_, expected) => (*expected).to_owned(),
        }
    }
}

/// Reads a value that knows how it is typed and printed.
pub fn parsed<T>(text: &str, put: fn(&mut SettingsDraft, T)) -> Result<GivenValue, String>
where
    T: FromStr<Err: Display> + Display + Clone + Send + Sync + 'static,
{
    let value: T = text.parse().map_err(|why| format!("{why}"))?;
    Ok(GivenValue::new(value.to_string(), value, put))
}
