//! The options of a chart's slots: every legal voicing with its price.

use std::fmt::Write;

use schemars::JsonSchema;
use serde::Serialize;

use super::json::{VoicingJson, voicing_json};
use crate::arrange::{OptionsOfSlot, Priced};
use crate::chart::MiddleC;

/// A slot's options, under their stable names: one object a line.
#[derive(Debug, Serialize, JsonSchema)]
pub struct OptionReport {
    /// The slot's place among all slots, from 0.
    index: usize,
    /// The section's name.
    section: String,
    /// The written bar, counted from 1.
    bar: usize,
    /// The beat it starts on, from 1: an exact fraction.
    beat: String,
    /// The symbol as written.
    symbol: String,
    /// Its voicings, cheapest first.
    options: Vec<OptionJson>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Option")]
struct OptionJson {
    /// By how much the effort of the whole tune grows: exact, in semitones.
    price: u64,
    /// The effort of the whole tune at best with this voicing here: motion and surcharges.
    effort: u64,
    /// Whether the plan takes it.
    planned: bool,
    voicing: VoicingJson,
}

/// The options as JSON, a line a slot.
pub fn options_json(slots: &[OptionsOfSlot]) -> String {
    slots
        .iter()
        .map(|slot| super::json::line(&OptionReport::of(slot)))
        .collect()
}

/// The JSON Schema of the lines, as indented text.
pub fn options_schema() -> String {
    super::json::schema_text::<OptionReport>()
}

impl OptionReport {
    /// The options of one slot.
    pub fn of(options: &OptionsOfSlot) -> Self {
        let slot = &options.slot;
        let given = matches!(slot.wish, crate::chart::Wish::Given(_));
        let rows = options.voicings.iter().map(|priced| OptionJson {
            price: priced.price,
            effort: priced.total.effort,
            planned: priced.planned,
            voicing: voicing_json(&priced.voicing, given),
        });
        Self {
            index: slot.index,
            section: slot.section.to_string(),
            bar: slot.bar,
            beat: slot.beat.to_string(),
            symbol: slot.symbol.text().to_owned(),
            options: rows.collect(),
        }
    }
}

/// The options for people: a paragraph a slot, the planned voicing marked.
pub fn options_text(slots: &[OptionsOfSlot]) -> String {
    let mut text = String::new();
    for options in slots {
        let slot = &options.slot;
        let _ = write!(
            text,
            "bar {}, beat {}: {}",
            slot.bar,
            slot.beat,
            slot.symbol.text()
        );
        text.push_str(if options.voicings.is_empty() {
            " (silent)\n"
        } else {
            "\n"
        });
        rows(&mut text, &options.voicings, slot.middle_c);
    }
    text
}

fn rows(text: &mut String, voicings: &[Priced], middle_c: MiddleC) {
    let cells: Vec<[String; 3]> = voicings.iter().map(|one| cells(one, middle_c)).collect();
    let width = |column: usize| cells.iter().map(|row| row[column].len()).max().unwrap_or(0);
    let widths = [width(0), width(1)];
    for (priced, [notes, degrees, shape]) in voicings.iter().zip(&cells) {
        let [a, b] = widths;
        let mark = if priced.planned { '*' } else { ' ' };
        let price = format!("+{}", priced.price);
        let _ = writeln!(
            text,
            "  {mark} {price:>4}  {notes:<a$}  {degrees:<b$}  {shape}"
        );
    }
}

fn cells(priced: &Priced, middle_c: MiddleC) -> [String; 3] {
    let voicing = &priced.voicing;
    let degrees: Vec<String> = voicing.notes.iter().map(|n| n.degree.to_string()).collect();
    let form = voicing
        .form
        .map(|form| format!(" {form}"))
        .unwrap_or_default();
    let charged = match voicing.surcharges.sum() {
        0 => String::new(),
        _ => format!("; {}", voicing.surcharges),
    };
    let shape = format!(
        "{}{form}, lowest {}{charged}",
        voicing.shape_name(),
        voicing.lowest
    );
    [voicing.written(middle_c, " "), degrees.join(" "), shape]
}
