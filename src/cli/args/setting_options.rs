//! The options of a table of settings: made from its rows.

use std::fmt;
use std::marker::PhantomData;

use anyhow::{Result, anyhow};
use clap::builder::{PossibleValue, PossibleValuesParser, StringValueParser};
use clap::{Arg, ArgAction, ArgMatches, Args, Command, FromArgMatches, ValueHint, value_parser};

use super::suggested::{self, suggested};
use crate::cli::settings::{CHECKING, Kind, PLAYING, Setting, SettingsLayer, ValueOrigin};

/// Which rows are options.
pub trait SettingRows {
    /// They.
    const ROWS: &'static [Setting];
}

/// Those of the commands that voice.
pub enum Playing {}

impl SettingRows for Playing {
    const ROWS: &'static [Setting] = PLAYING;
}

/// Those that only `check` has.
pub enum Checking {}

impl SettingRows for Checking {
    const ROWS: &'static [Setting] = CHECKING;
}

/// What was typed for the options of some rows.
pub struct SettingOptions<R> {
    typed: Vec<(&'static Setting, String)>,
    rows: PhantomData<fn() -> R>,
}

impl<R> SettingOptions<R> {
    /// As a layer of settings.
    ///
    /// # Errors
    ///
    /// A value that isn't one, naming the option it was given to.
    pub fn layer(&self) -> Result<SettingsLayer> {
        let mut layer = SettingsLayer::default();
        for (setting, text) in &self.typed {
            let set = setting.set(&mut layer, text, ValueOrigin::Typed);
            set.map_err(|why| anyhow!("--{}: {why}", setting.name))?;
        }
        Ok(layer)
    }
}

impl<R> fmt::Debug for SettingOptions<R> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let typed = self
            .typed
            .iter()
            .map(|(setting, text)| (setting.name, text));
        f.debug_map().entries(typed).finish()
    }
}

impl<R: SettingRows> Args for SettingOptions<R> {
    fn augment_args(command: Command) -> Command {
        R::ROWS
            .iter()
            .fold(command, |command, setting| command.arg(option(setting)))
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl<R: SettingRows> FromArgMatches for SettingOptions<R> {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let typed = R::ROWS
            .iter()
            .filter_map(|setting| Some((setting, typed(setting, matches)?)));
        Ok(Self {
            typed: typed.collect(),
            rows: PhantomData,
        })
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

/// The option of a setting.
fn option(setting: &Setting) -> Arg {
    let usual = setting
        .usual
        .map_or_else(String::new, |usual| format!(" [default: {usual}]"));
    let help = format!("{}{usual}", setting.help);
    let more = (setting.more)();
    let mut arg = Arg::new(setting.name).long(setting.name);
    if !more.is_empty() {
        arg = arg.long_help(format!("{help}\n\n{more}"));
    }
    if let Some(heading) = setting.heading {
        arg = arg.help_heading(heading).hide_short_help(true);
    }
    if let Some(other) = setting.in_place_of {
        arg = arg.conflicts_with(other);
    }
    valued(arg.help(help), &setting.kind)
}

/// The option with what its values look like.
fn valued(arg: Arg, kind: &Kind) -> Arg {
    match kind {
        Kind::Truth => arg.action(ArgAction::SetTrue),
        Kind::Whole(name, bounds) => arg
            .value_name(*name)
            .allow_negative_numbers(*bounds.start() < 0)
            .value_parser(value_parser!(i64).range(bounds.clone())),
        Kind::Word(name, words) => {
            let words = words
                .iter()
                .map(|(word, means)| PossibleValue::new(*word).help(*means));
            arg.value_name(*name)
                .value_parser(PossibleValuesParser::new(words))
        }
        // The only list is that of shapes.
        Kind::List(name, _) => arg
            .value_name(*name)
            .value_delimiter(',')
            .value_parser(suggested(StringValueParser::new(), suggested::shapes))
            .hide_possible_values(true)
            .action(ArgAction::Append),
        Kind::File(name, _) => arg.value_name(*name).value_hint(ValueHint::FilePath),
        Kind::Text(name, _) | Kind::TextOrNumber(name, _) => arg.value_name(*name),
    }
}

/// What was typed for a setting, if anything was.
fn typed(setting: &Setting, matches: &ArgMatches) -> Option<String> {
    let name = setting.name;
    match &setting.kind {
        Kind::Truth => matches.get_flag(name).then(|| true.to_string()),
        Kind::Whole(..) => matches.get_one::<i64>(name).map(i64::to_string),
        Kind::List(..) => {
            let all: Vec<&str> = matches
                .get_many::<String>(name)?
                .map(String::as_str)
                .collect();
            Some(all.join(","))
        }
        Kind::Word(..) | Kind::Text(..) | Kind::TextOrNumber(..) | Kind::File(..) => {
            matches.get_one(name).cloned()
        }
    }
}
