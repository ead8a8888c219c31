//! A chart of which a part has a left hand and a part has none.
//!
//! Found are chords still to be planned (`?`, or no `lh` row) in a chart that gives voicings elsewhere;
//! once a chart, with its bars. A chart without any left hand is no fault.

use crate::check::context::Context;
use crate::check::rule::{Fault, FixKind, Test};
use crate::check::{Rule, Severity};
use crate::explain::bars;

pub(super) const RULE: Rule = Rule {
    name: "half-voiced",
    severity: Some(Severity::Note),
    also: &[],
    why: "A player who finds the left hand written out trusts that it is there to the end.",
    refused: "| Fm7 | Bb7 |\nlh | Ab3.C4.Eb4.G4 | ? |",
    accepted: "| Fm7 | Bb7 |\nlh | Ab3.C4.Eb4.G4 | - |",
    mends: false,
    check: Test::Chart(faults),
};

fn faults(context: &Context<'_>) -> Vec<Fault> {
    let slots = context.voiced.problem.slots.iter();
    // A chord that no voicing fits is found for that.
    let legal = &context.voiced.legal;
    let fits = |slot: usize| legal.get(slot).is_none_or(|legal| legal.is_ok());
    let open = slots.filter(|slot| slot.is_open() && fits(slot.index));
    let open: Vec<(usize, usize)> = open.map(|slot| (slot.index, slot.bar)).collect();
    let first = open.first().filter(|_| context.given().next().is_some());
    let one_bar = open.windows(2).all(|pair| pair[0].1 == pair[1].1);
    let fault = |(slot, _): &(usize, usize)| Fault {
        place: context.symbol_place(*slot),
        message: format!(
            "{} {} no left hand yet, though other bars have one",
            stretches(open.iter().map(|(_, bar)| *bar)),
            if one_bar { "has" } else { "have" },
        ),
        fix: FixKind::Advice("`compline voice` plans the rest around what is given".to_owned()),
        violation: None,
        severity: None,
    };
    first.map(fault).into_iter().collect()
}

/// So many stretches of bars are named; the rest are counted.
const NAMED: usize = 4;

/// Rising bars in words: `bar 2, bars 5-8 and 3 more stretches`.
fn stretches(all: impl Iterator<Item = usize>) -> String {
    let mut found: Vec<(usize, usize)> = Vec::new();
    for bar in all {
        match found.last_mut() {
            Some((_, last)) if bar <= *last + 1 => *last = bar,
            _ => found.push((bar, bar)),
        }
    }
    let named: Vec<String> = found.iter().take(NAMED).map(|one| bars(*one)).collect();
    match found.len().saturating_sub(NAMED) {
        0 => named.join(", "),
        1 => format!("{} and one more stretch", named.join(", ")),
        more => format!("{} and {more} more stretches", named.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::rules::tests::{found_under, messages_under, settings};

    fn told(chart: &str) -> Vec<String> {
        let mut settings = settings();
        settings.set("half-voiced", Some(Severity::Note)).unwrap();
        messages_under("half-voiced", chart, &settings)
    }

    #[test]
    fn what_is_left_open_is_told_once_with_its_bars() {
        let row = "lh | Ab3.C4.Eb4.G4 | ? | ? | Ab3.C4.Eb4.G4 | ? |";
        let chart = format!("| Fm7 | Bb7 | Bb7 | Fm7 | Bb7 |\n{row}");
        let left = "no left hand yet, though other bars have one";
        assert_eq!(told(&chart), [format!("bars 2-3, bar 5 have {left}")]);
        let pair = "| Fm7 | Bb7 Bb13 |\nlh | Ab3.C4.Eb4.G4 | ? ? |";
        assert_eq!(told(pair), [format!("bar 2 has {left}")]);
        let system = "| Fm7 |\nlh | Ab3.C4.Eb4.G4 |\n\n[B]\n| Bb7 |\n";
        assert_eq!(told(system), [format!("bar 2 has {left}")]);
    }

    #[test]
    fn none_at_all_and_silence_are_no_fault() {
        for chart in [
            "| Fm7 | Bb7 |",
            "| Fm7 |\nlh | ? |",
            "| Fm7 | Bb7 |\nlh | Ab3.C4.Eb4.G4 | - |",
        ] {
            assert_eq!(told(chart), [""; 0], "{chart}");
        }
        assert_eq!(
            found_under("| Fm7 | N.C. |\nlh | Ab3.C4.Eb4.G4 | ? |", &settings()),
            [""; 0]
        );
    }

    #[test]
    fn a_wish_that_cant_be_met_is_found_once() {
        let chart = "| Fm7 | Bb7 |\nlh | Ab3.C4.Eb4.G4 | ?with=C3.D3 |";
        assert_eq!(told(chart), [""; 0]);
    }

    #[test]
    fn a_long_list_is_cut() {
        let bars = stretches([1, 3, 5, 6, 7, 9, 11, 13].into_iter());
        assert_eq!(bars, "bar 1, bar 3, bars 5-7, bar 9 and 2 more stretches");
    }
}
