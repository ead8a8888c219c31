//! The value of `--apply`: names of proposals.

use std::collections::BTreeSet;
use std::str::FromStr;

use anyhow::{Result, anyhow, bail};
use compline::chart::{Chart, Wish};
use compline::explain::held_because;
use compline::reharm::{Listed, ProposalName, Proposed};

/// Names as they were asked for; each counts once, however often it is given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Names(Vec<ProposalName>);

impl FromStr for Names {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let names = text.split(',').map(str::trim);
        let names = names.map(|name| name.parse().map_err(|error| format!("{error}")));
        names.collect::<Result<_, _>>().map(Self)
    }
}

impl Names {
    /// The places of the proposals in the list, rising.
    ///
    /// # Errors
    ///
    /// A name that is not proposed, and two that replace the same chord.
    pub fn of(&self, proposed: &Proposed, chart: &Chart) -> Result<Vec<usize>> {
        let listed = &proposed.listed;
        let taken = self.of_any(proposed, chart)?;
        let chosen: Vec<&Listed> = taken.iter().filter_map(|&at| listed.get(at)).collect();
        for (place, one) in chosen.iter().enumerate() {
            if let Some(other) = chosen.iter().take(place).find(|other| one.meets(other)) {
                bail!(
                    "--apply: {} ({}) and {} ({}) replace the same chord: take one of them",
                    other.name,
                    other.in_short(),
                    one.name,
                    one.in_short()
                );
            }
        }
        Ok(taken.into_iter().collect())
    }

    /// The same, whether or not they go together.
    ///
    /// # Errors
    ///
    /// A name that is not proposed.
    pub fn of_any(&self, proposed: &Proposed, chart: &Chart) -> Result<BTreeSet<usize>> {
        let Self(names) = self;
        let place = |name: &ProposalName| {
            let place = proposed.listed.iter().position(|one| one.name == *name);
            place.ok_or_else(|| missing(name, proposed, chart))
        };
        names.iter().map(place).collect()
    }
}

fn missing(name: &ProposalName, proposed: &Proposed, chart: &Chart) -> anyhow::Error {
    let kept_out = proposed.kept_out.iter().find(|one| one.name == *name);
    if let Some(kept_out) = kept_out {
        let because = held_because(&kept_out.holds);
        return anyhow!("{name}: the place is held: {because}; --free frees it");
    }
    let here = proposed.listed.iter().map(|one| one.name);
    let here = here.filter(|one| (one.first, one.last) == (name.first, name.last));
    let here: Vec<String> = here.map(|one| one.to_string()).collect();
    match here.is_empty() {
        true if is_settled(name, chart) => anyhow!(
            "{name}: the `lh` row settles what is played there: write `?` in it, or leave it out of account \
             with --replan"
        ),
        true => anyhow!("{name}: nothing is proposed there"),
        false => anyhow!("{name}: there is {}", here.join(", ")),
    }
}

/// Whether the `lh` row gives or wishes something in the bars of a name.
fn is_settled(name: &ProposalName, chart: &Chart) -> bool {
    let bars = name.first.bar..=name.last.bar;
    let slots = chart.slots();
    let mut there = slots.iter().filter(|slot| bars.contains(&slot.bar));
    there.any(|slot| slot.symbol.chord().is_some() && slot.wish != Wish::PLAN)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_read_and_nothing_else() {
        let names = |text: &str| text.parse::<Names>().map(|Names(names)| names.len());
        assert_eq!(names("3:tritone, 11-12:backdoor"), Ok(2));
        for wrong in ["", "3", "3:tritone,", "tritone", "3:tritones"] {
            assert!(names(wrong).is_err(), "{wrong}");
        }
    }
}
