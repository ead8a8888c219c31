//! Does what the findings say would fix them.
//!
//! All slots in which a voicing has to change are freed at once and planned together, exactly, with
//! everything else held; what is still to be planned is left to be planned. Then the chart is checked
//! again: fixing one fault may have made room to fix another. Each round leaves fewer faulty slots
//! and steps than it found, since every new voicing is legal and breaks no wish for a step.

use std::collections::{BTreeMap, BTreeSet};

use super::context::Context;
use super::rewrite::rewritten;
use super::{Finding, Fix, Mended, Replan, Report, Settings, report};
use crate::arrange::{Cache, Hold, Trouble};
use crate::chart::{self, Chart};
use crate::voicing::Voicing;

/// Mends a chart: replans the voicings that break a rule, and holds all others.
///
/// Findings below [`Settings::mend_from`] and suppressed ones are left. What no voicing can fix is left
/// as well, and is in [`Mended::after`]. Mending what was mended changes nothing.
///
/// ```
/// use compline::arrange::Cache;
/// use compline::chart;
/// use compline::check::{Settings, mend};
///
/// let source = "| Dm7 | G7 | ; typed in haste\nlh | F2.A2.C3.E3 | F3.A3.B3.E4 |\n";
/// let chart = chart::read(source).unwrap();
/// let mended = mend(&chart, source, &Settings::default(), &mut Cache::default()).unwrap();
/// assert_eq!(mended.text, source.replace("F2.A2.C3.E3", "F3.A3.C4.E4"));
/// assert_eq!(mended.changed, [0]);
/// ```
///
/// # Errors
///
/// As [`check`](super::check).
pub fn mend(
    chart: &Chart,
    source: &str,
    settings: &Settings,
    cache: &mut Cache,
) -> Result<Mended, Trouble> {
    let settings = &settings.on(chart);
    let (mut chart, mut text) = (chart.clone(), source.to_owned());
    let (mut first, mut changed) = (None, BTreeSet::new());
    let mut rounds = 0;
    loop {
        let context = Context::of(&chart, Some(&text), None, settings, cache)?;
        let found = report(&context);
        let next = round(&context, &found, settings)?;
        let after = found.clone();
        let before = first.get_or_insert(found);
        // Each round leaves fewer faulty slots and steps; the rest are one for the whole hand, one
        // for the remarks, one for the layout.
        let most = before.findings.len() + 3;
        rounds += 1;
        let next = next.filter(|(_, new, _)| *new != text && rounds <= most);
        let Some((new_chart, new_text, slots)) = next else {
            let before = before.clone();
            return Ok(Mended {
                chart,
                text,
                before,
                after,
                changed: changed.into_iter().collect(),
            });
        };
        changed.extend(slots);
        // Read again, so that its spans point into the new text.
        chart = chart::read(&new_text).unwrap_or(new_chart);
        text = new_text;
    }
}

type Round = (Chart, String, Vec<usize>);

/// The chart with all fixed that can be fixed now; `None` where there is nothing more to do.
fn round(
    context: &Context<'_>,
    report: &Report,
    settings: &Settings,
) -> Result<Option<Round>, Trouble> {
    let least = settings.mend_from;
    let minded = |finding: &&Finding| least.is_none_or(|least| finding.severity >= least);
    let minded: Vec<&Finding> = report.findings.iter().filter(minded).collect();
    let replans = |whole: bool| {
        let of_kind = minded
            .iter()
            .filter(move |f| f.place.slot.is_none() == whole);
        let replans = of_kind.filter_map(|finding| match &finding.fix {
            Fix::Replan(replan) => Some(replan),
            _ => None,
        });
        replans.collect::<Vec<&Replan>>()
    };
    let (single, whole) = (replans(false), replans(true));
    let changes = if single.is_empty() {
        let changes = whole.iter().flat_map(|replan| &replan.changes);
        changes
            .map(|change| (change.slot, change.voicing.clone()))
            .collect()
    } else {
        together(context, &single)?
    };
    if !changes.is_empty() {
        let slots = changes.keys().copied().collect();
        let (chart, text) = rewritten(context, &changes);
        return Ok(Some((chart, text, slots)));
    }
    Ok(minded.iter().find_map(|finding| match &finding.fix {
        Fix::Rewrite(text) => Some((context.chart.clone(), text.clone(), Vec::new())),
        _ => None,
    }))
}

/// The best voicings for all slots that these fixes would change, planned together.
fn together(
    context: &Context<'_>,
    replans: &[&Replan],
) -> Result<BTreeMap<usize, Voicing>, Trouble> {
    let changes = replans.iter().flat_map(|replan| &replan.changes);
    let free: BTreeSet<usize> = changes.map(|change| change.slot).collect();
    let hold = |slot: usize| match context.voiced.given.get(slot) {
        Some(Some(voicing)) if !free.contains(&slot) => Hold::At(voicing),
        _ => Hold::Free,
    };
    match context.voiced.plan(hold, true) {
        Ok(plan) => {
            let new = free.iter().filter_map(|slot| {
                let voicing = plan.voicings.get(*slot)?.clone()?;
                Some((*slot, voicing))
            });
            Ok(new.collect())
        }
        Err(Trouble::Broken(_)) => Ok(apart(context, replans)),
        Err(trouble) => Err(trouble),
    }
}

/// As many of these fixes as don't touch one another, each as it stands: where the wishes for the
/// steps leave no plan for all of them together.
fn apart(context: &Context<'_>, replans: &[&Replan]) -> BTreeMap<usize, Voicing> {
    let mut touched = BTreeSet::new();
    let mut changes = BTreeMap::new();
    for replan in replans {
        let slots = || replan.changes.iter().map(|change| change.slot);
        if slots().any(|slot| touched.contains(&slot)) {
            continue;
        }
        for change in &replan.changes {
            touched.insert(change.slot);
            touched.extend(context.hand.neighbours(change.slot));
            changes.insert(change.slot, change.voicing.clone());
        }
    }
    changes
}
