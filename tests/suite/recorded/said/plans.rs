//! Plans, the best of them, and what every other voicing costs.

use std::fmt::Write;

use compline::arrange::{
    Arranged, Arrangement, Cache, Compare, Settings, Trouble, arrange, options,
};
use compline::chart::Chart;
use compline::voicing::Voicing;

use super::{joined, notes, place};
use crate::recorded::ask::Ask;

/// How many voicings of a slot are named with their prices.
const NAMED: usize = 4;

pub fn plan(ask: &Ask, chart: &Chart, best: usize, cache: &mut Cache) -> Result<String, Trouble> {
    let settings = Settings {
        alternatives: best,
        ..ask.settings().clone()
    };
    let plan = arrange(chart.clone(), &settings, cache)?;
    let mut out: String = plan.slots.iter().map(slot).collect();
    out += &sums(&plan);
    out += &others(&plan);
    for warning in &plan.warnings {
        writeln!(out, "told: {warning}").unwrap();
    }
    Ok(out)
}

fn slot(arranged: &Arranged) -> String {
    let voicing = arranged.voicing.as_ref();
    let given = if arranged.given { " given" } else { "" };
    format!(
        "{} {}{}{given}\n",
        place(&arranged.slot),
        notes(voicing),
        voicing.map_or_else(String::new, shape)
    )
}

/// Degrees, shape and charges of a voicing.
pub fn shape(voicing: &Voicing) -> String {
    let form = voicing
        .form
        .map_or_else(String::new, |form| format!(" {form:?}"));
    let turned = if voicing.turned { " turned" } else { "" };
    let thinned = if voicing.thinned { " thinned" } else { "" };
    let charged = voicing.surcharges;
    let charged = match charged.sum() {
        0 => String::new(),
        _ => format!(
            " +{}/{}/{}",
            charged.register, charged.plain, charged.melody
        ),
    };
    let degrees = joined(voicing.notes.iter().map(|note| note.degree), " ");
    format!(
        " ({degrees}) {}{form}{turned}{thinned}{charged}",
        voicing.shape_name()
    )
}

/// The sums; in brackets those that decide between plans of equal effort, and how wide the search was.
fn sums(plan: &Arrangement) -> String {
    let totals = plan.totals;
    let cost = totals.cost;
    let (effort, motion) = (cost.effort, totals.motion());
    let parts = totals.surcharges;
    let written = totals
        .as_written
        .map_or_else(String::new, |cost| format!(", {} as written", cost.effort));
    let proved = if totals.optimal { "" } else { ", not proved" };
    format!(
        "effort {effort} = {motion} + {}/{}/{}{written} ({}, {}, {}){proved}\n",
        parts.register, parts.plain, parts.melody, cost.largest, cost.off_centre, totals.width
    )
}

/// The plans after the first: what each costs, and where it differs.
fn others(plan: &Arrangement) -> String {
    let mut out = String::new();
    for other in plan.alternatives.iter().skip(1) {
        let slots = plan.slots.iter().zip(&other.voicings);
        let differs = slots.filter(|(arranged, voicing)| arranged.voicing != **voicing);
        let differs = differs.map(|(arranged, voicing)| {
            format!("{} {}", place(&arranged.slot), notes(voicing.as_ref()))
        });
        let cost = other.cost;
        let key = format!("{} ({}, {})", cost.effort, cost.largest, cost.off_centre);
        writeln!(out, "or {key}: {}", joined(differs, ", ")).unwrap();
    }
    out
}

pub fn prices(ask: &Ask, chart: &Chart, cache: &mut Cache) -> Result<String, Trouble> {
    let slots = options(chart.clone(), ask.settings(), cache)?;
    let lines = slots.iter().map(|slot| {
        let named = slot.voicings.iter().take(NAMED);
        let named =
            named.map(|priced| format!("{} {}", priced.price, notes(Some(&priced.voicing))));
        let rest = slot.voicings.len().saturating_sub(NAMED);
        let all: u64 = slot.voicings.iter().map(|priced| priced.price).sum();
        let rest = match rest {
            0 => String::new(),
            _ => format!("; {rest} more, {all} in all"),
        };
        format!(
            "price {}: {}{rest}\n",
            place(&slot.slot),
            joined(named, ", ")
        )
    });
    Ok(lines.collect())
}

/// What each voicing would be taken for, and what to touch; then the two yardsticks.
pub fn grounds(ask: &Ask, chart: &Chart, cache: &mut Cache) -> Result<String, Trouble> {
    let plan = arrange(chart.clone(), ask.settings(), cache)?;
    let slots = plan.slots.iter().zip(plan.groundings());
    let lines = slots.filter_map(|(arranged, grounding)| {
        let grounding = grounding?;
        let heard = grounding.heard_as.iter();
        let heard = heard.map(|heard| format!("{heard} ({})", heard.how));
        let touch = grounding.touch.iter();
        let touch =
            touch.map(|touch| format!("{} {} {:?}", touch.degree, touch.name, touch.reason));
        let (slot, notes) = (place(&arranged.slot), notes(arranged.voicing.as_ref()));
        let (heard, touch) = (joined(heard, ", "), joined(touch, ", "));
        Some(format!("{slot} {notes} heard as {heard}; touch {touch}\n"))
    });
    let compare = Compare::of(&plan);
    let (root, nearest, motion) = (
        compare.block_root,
        compare.block_nearest,
        plan.totals.motion(),
    );
    let steps: Vec<String> = plan
        .motions()
        .iter()
        .map(|moved| joined(moved, "+"))
        .collect();
    let sum = format!(
        "motion {motion} ({}), in root position {root}, nearest {nearest}\n",
        joined(steps, " ")
    );
    Ok(lines.collect::<String>() + &sum)
}
