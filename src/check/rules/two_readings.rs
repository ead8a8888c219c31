//! A chord symbol that is read in two ways.
//!
//! Each symbol is found once, at its first place. Which reading was taken is said; nothing need be
//! done about it by those who agree.

use std::collections::BTreeSet;

use crate::check::context::Context;
use crate::check::rule::{Fault, FixKind, Test};
use crate::check::{Rule, Severity};
use crate::chord::Chord;

pub(super) const RULE: Rule = Rule {
    name: "two-readings",
    severity: Some(Severity::Note),
    also: &[],
    why: "A symbol that two players read differently is two chords on the night.",
    refused: "| C11 |",
    accepted: "| C9sus4 |",
    mends: false,
    check: Test::Chart(faults),
};

fn faults(context: &Context<'_>) -> Vec<Fault> {
    let mut seen = BTreeSet::new();
    let first = context
        .voiced
        .problem
        .slots
        .iter()
        .filter(|slot| seen.insert(slot.symbol.text()));
    first
        .filter_map(|slot| {
            let reading = slot.symbol.chord().and_then(Chord::reading)?;
            Some(Fault {
                place: context.symbol_place(slot.index),
                message: format!("`{}` is {reading}", slot.symbol.text()),
                fix: FixKind::Advice("write it in a way that everybody reads alike".to_owned()),
                violation: None,
                severity: None,
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::{found, in_all_keys};

    #[test]
    fn every_key_alike() {
        in_all_keys(
            "two-readings",
            &["| C11 |", "| CΔ |", "| C° |"],
            &["| C9sus4 |", "| Cmaj7 |", "| Cdim |"],
        );
    }

    #[test]
    fn a_symbol_is_found_once() {
        assert_eq!(found("| C11 | C11 | % | F11 |"), ["two-readings"; 2]);
    }
}
