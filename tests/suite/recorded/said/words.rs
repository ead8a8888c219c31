//! What is typed for a setting: how it is read, or what is told of it.

use std::fmt::Display;
use std::str::FromStr;

use compline::check::{Allowance, RuleSettings, Severity};
use compline::hand::{LimitTable, Millimetres, Range, Reach, key};
use compline::reharm::{ProposalName, SetChangeWeight, Ways};
use compline::voicing::{Colour, Palette, SetSurcharge};

/// A kind, then what is typed; `/` stands for the end of a line.
pub fn read(line: &str) -> String {
    let (kind, typed) = line.split_once(' ').unwrap_or((line, ""));
    let told = match kind {
        "range" => parsed::<Range>(typed),
        "reach" => parsed::<Reach>(typed),
        "hand" => shown(Reach::of_hand(typed)),
        "length" => parsed::<Millimetres>(typed),
        "key" => key(typed).map_or_else(|| "no key".to_owned(), |key| key.midi().to_string()),
        "palette" => parsed::<Palette>(typed),
        "colour" => parsed::<Colour>(typed),
        "surcharge" => parsed::<SetSurcharge>(typed),
        "severity" => parsed::<Severity>(typed),
        "allowance" => parsed::<Allowance>(typed),
        "rule" => shown(RuleSettings::default().set(typed, None).map(|()| "a rule")),
        "weight" => parsed::<SetChangeWeight>(typed),
        "name" => parsed::<ProposalName>(typed),
        "ways" => shown(
            typed
                .parse::<Ways>()
                .map(|ways| ways.names().collect::<Vec<_>>().join(" ")),
        ),
        _ => limits(typed),
    };
    format!("{line}: {told}\n")
}

fn parsed<T: FromStr<Err: Display> + Display>(typed: &str) -> String {
    shown(typed.parse::<T>())
}

fn shown<T: Display, E: Display>(read: Result<T, E>) -> String {
    read.map_or_else(|wrong| format!("no: {wrong}"), |read| read.to_string())
}

fn limits(typed: &str) -> String {
    let text = typed.replace('/', "\n");
    let table = match LimitTable::read(&text) {
        Ok(table) => table,
        Err(mistakes) => {
            let told = mistakes.iter().map(ToString::to_string);
            return told.collect::<Vec<_>>().join("; ");
        }
    };
    let rows = table.rows().filter_map(|(name, semitones, _)| {
        let floor = table.floor(semitones)?;
        Some(format!("{name} {}", floor.midi()))
    });
    format!("{}: {}", table.name(), rows.collect::<Vec<_>>().join(", "))
}
