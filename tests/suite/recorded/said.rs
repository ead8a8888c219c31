//! The answers, as lines.

mod each;
mod findings;
mod harmony;
mod plans;
mod proposals;
mod symbols;
mod tally;
mod whole;
mod words;

use std::fmt::Display;

use compline::arrange::{Cache, Trouble};
use compline::chart::{self, Slot};
use compline::voicing::Voicing;

use super::ask::Ask;

/// The answers to all questions about a chart.
pub fn said(ask: &Ask, text: &str, cache: &mut Cache) -> String {
    let asked = |name: &str| ask.questions.iter().any(|(question, _)| question == name);
    if asked("symbols") || asked("tones") {
        let line = |symbol| symbols::symbol(symbol, asked("symbols"));
        return text.split_whitespace().map(line).collect();
    }
    if asked("formula") {
        return text.lines().map(formula).collect();
    }
    if asked("words") {
        return text.lines().map(words::read).collect();
    }
    if asked("judge") {
        return text.lines().map(|line| each::judged(ask, line)).collect();
    }
    if asked("under") {
        let each = text.split_whitespace();
        return each.map(|chords| each::under(ask, chords, cache)).collect();
    }
    if asked("each") {
        return text
            .split_whitespace()
            .map(|symbol| each::counted(ask, symbol, cache))
            .collect();
    }
    let chart = match chart::read(text) {
        Ok(chart) => chart,
        Err(mistakes) => {
            return mistakes
                .iter()
                .map(|mistake| format!("{mistake}\n"))
                .collect();
        }
    };
    let mut out: String = chart
        .warnings()
        .iter()
        .map(|told| format!("{told}\n"))
        .collect();
    for (question, number) in &ask.questions {
        let answer = match question.as_str() {
            "plan" => plans::plan(ask, &chart, 0, cache),
            "best" => plans::plan(ask, &chart, *number, cache),
            "prices" => plans::prices(ask, &chart, cache),
            "told" => whole::told(ask, &chart, text, cache),
            "offered" => whole::offered(ask, &chart, *number, cache),
            "tally" => tally::tally(ask, &chart, cache),
            "ground" => plans::grounds(ask, &chart, cache),
            "harmony" => harmony::harmony(ask, &chart),
            "check" => findings::findings(ask, &chart, text, cache),
            "rewritten" => findings::rewritten(ask, &chart, text, cache),
            "mend" => findings::mended(ask, &chart, text, cache),
            "list" => proposals::list(ask, &chart, *number, cache),
            "changes" => proposals::chosen(ask, &chart, *number, cache),
            _ => proposals::arrangements(ask, &chart, *number, cache),
        };
        out += &answer.unwrap_or_else(|trouble| troubled(&trouble));
    }
    out
}

/// The chords of a formula, bar by bar.
fn formula(text: &str) -> String {
    match compline::harmony::formula(text) {
        Ok(chart) => format!(
            "{text}: {}\n",
            joined(chart.tidy().lines().skip(1), " ").trim()
        ),
        Err(wrong) => format!("{text}: at {:?} {wrong}\n", wrong.span),
    }
}

/// Why there is no plan.
fn troubled(trouble: &Trouble) -> String {
    let told = match trouble {
        Trouble::PlayOrder(mistakes) => joined(mistakes, "\n"),
        Trouble::Stuck(slots) => {
            let slots = slots.iter().map(|stuck| {
                let why = format!("{}: {}", place(&stuck.slot), stuck.why);
                let help = stuck.why.help().unwrap_or_default();
                format!("stuck {why}; {help}")
            });
            slots.collect::<Vec<_>>().join("\n")
        }
        Trouble::NoPlan(why) => format!("no plan: {why}"),
        Trouble::Broken(broken) => format!("broken: {broken}"),
    };
    told + "\n"
}

/// A slot as places are written: the bar, and which of its chords where it has several, with the symbol.
fn place(slot: &Slot) -> String {
    match slot.place.chord {
        0 if slot.beats == slot.bar_beats => format!("{} {}", slot.bar, slot.symbol),
        chord => format!("{}.{} {}", slot.bar, chord + 1, slot.symbol),
    }
}

fn notes(voicing: Option<&Voicing>) -> String {
    voicing.map_or_else(
        || "-".to_owned(),
        |voicing| joined(voicing.notes.iter().map(|note| note.note), "."),
    )
}

fn joined(all: impl IntoIterator<Item = impl Display>, joint: &str) -> String {
    let all = all.into_iter().map(|one| one.to_string());
    all.collect::<Vec<_>>().join(joint)
}
