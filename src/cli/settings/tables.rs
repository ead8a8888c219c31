//! The tables of a settings file: settings with a name of their own in each row, such as `[rules]`. Each
//! is one row of [`TABLES`]; on the command line they are given as `NAME=VALUE`.

use anyhow::{Result, anyhow};
use compline::check::{self, RULES, RuleSettings, Severity};
use compline::reharm::SetChangeWeight;
use compline::voicing::SetSurcharge;

use super::layer::{GivenValue, SettingsLayer};

/// A table of settings.
pub struct SettingTable {
    /// Its name in a file.
    pub name: &'static str,
    /// What its rows are called.
    pub what: &'static str,
    /// The option that sets its rows, and a value of it.
    pub option: (&'static str, &'static str),
    /// The names of its rows.
    pub rows: fn() -> Vec<&'static str>,
    /// Where the names are listed.
    pub listed: fn() -> String,
    /// What a file should say in a row.
    pub expected: fn(&str) -> &'static str,
    /// Whether a file may say it as a mere number.
    pub numbers: bool,
    /// The value of a row as it is read: where it goes, or what is wrong with it or its name.
    pub read: fn(&str, &str) -> Result<GivenValue, String>,
}

/// Severities for rules.
pub static RULE_LEVELS: SettingTable = SettingTable {
    name: "rules",
    what: "rule",
    option: ("--rule", "muddy=error"),
    rows: || RULES.map(|rule| rule.name).to_vec(),
    listed: || "`compline check --rules` lists them".to_owned(),
    expected: |_| "\"off\", \"note\", \"warning\" or \"error\"",
    numbers: false,
    read: level,
};

/// Surcharges.
pub static SURCHARGES: SettingTable = SettingTable {
    name: "surcharges",
    what: "surcharge",
    option: ("--surcharge", "plain=6"),
    rows: || SetSurcharge::NAMES.to_vec(),
    listed: || format!("the surcharges are {}", SetSurcharge::NAMES.join(", ")),
    expected: |row| match row {
        "floor" => "a note such as \"Eb3\" or 51",
        _ => A_WEIGHT,
    },
    numbers: true,
    read: |row, text| {
        let set = SetSurcharge::new(row, text).map_err(|why| why.to_string())?;
        Ok(GivenValue::new(set, set, |draft, set| {
            let weights = &mut draft.settings.arrange.voicing.surcharges;
            *weights = set.in_table(*weights);
        }))
    },
};

/// Weights of a choice of changes.
pub static CHANGE_WEIGHTS: SettingTable = SettingTable {
    name: "reharm",
    what: "weight",
    option: ("--weigh", "strain=3"),
    rows: || SetChangeWeight::NAMES.to_vec(),
    listed: || format!("the weights are {}", SetChangeWeight::NAMES.join(", ")),
    expected: |_| A_WEIGHT,
    numbers: true,
    read: |row, text| {
        let set = SetChangeWeight::new(row, text).map_err(|why| why.to_string())?;
        Ok(GivenValue::new(set, set, |draft, set| {
            let weights = &mut draft.settings.changes;
            *weights = set.in_table(*weights);
        }))
    },
};

/// Every table, in the order they are listed to people.
pub static TABLES: [&SettingTable; 3] = [&RULE_LEVELS, &SURCHARGES, &CHANGE_WEIGHTS];

const A_WEIGHT: &str = "a whole number from 0 to 1000";

impl SettingTable {
    /// Puts the value of a row into a layer, or says what is wrong with it.
    pub fn set(&self, layer: &mut SettingsLayer, row: &str, text: &str) -> Result<(), String> {
        layer.set(format!("{}.{row}", self.name), (self.read)(row, text)?);
        Ok(())
    }

    /// The layer of `NAME=VALUE` typed several times.
    ///
    /// # Errors
    ///
    /// The first that can't be used.
    pub fn typed(&self, texts: &[String]) -> Result<SettingsLayer> {
        let (option, example) = self.option;
        let mut layer = SettingsLayer::default();
        for text in texts {
            let set = match text.split_once('=') {
                Some((row, value)) => self.set(&mut layer, row.trim(), value.trim()),
                None => Err(format!(
                    "a name and a value were expected, such as {example}"
                )),
            };
            set.map_err(|why| anyhow!("{option} {text}: {why}"))?;
        }
        Ok(layer)
    }
}

fn level(row: &str, text: &str) -> Result<GivenValue, String> {
    // A name that is none is told with the one that may be meant.
    RuleSettings::default()
        .set(row, None)
        .map_err(|why| why.to_string())?;
    let rule = check::rule(row).ok_or_else(|| format!("there is no rule `{row}`"))?;
    let level: Option<Severity> = match text {
        "off" => None,
        word => Some(word.parse().map_err(|why| format!("{why}, off"))?),
    };
    let word = level.map_or("off", Severity::name);
    Ok(GivenValue::new(
        word,
        (rule.name, level),
        |draft, (name, level)| {
            // Only rules that there are get here.
            let _ = draft.settings.check.set(name, level);
        },
    ))
}
