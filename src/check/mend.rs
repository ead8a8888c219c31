//! Does what the findings say would fix them.
//!
//! The fixes of all findings are done at once; they agree with one another (see [`super::fix`]). Then the
//! chart is checked again: fixing one fault may have made room to fix another. Each round leaves fewer
//! faulty slots and steps than it found, since every new voicing is legal and breaks no wish for a step.

use std::collections::{BTreeMap, BTreeSet};

use super::context::Context;
use super::rewrite::rewritten;
use super::{Finding, Fix, Mended, Report, RuleSettings, VoicingChange, report, waivers};
use crate::arrange::{Cache, Trouble};
use crate::chart::{self, Chart};
use crate::voicing::Voicing;

/// Mends a chart: replans the voicings that break a rule, and holds all others. Where a mend makes the hand
/// go astray beside it, that is left, and is in [`Mended::after`]: only what was found at the first look is
/// replaced.
///
/// Findings below [`RuleSettings::mend_from`] and suppressed ones are left. What no voicing can fix is left
/// as well, and is in [`Mended::after`]. Mending what was mended changes nothing.
///
/// ```
/// use compline::arrange::Cache;
/// use compline::chart;
/// use compline::check::{RuleSettings, mend};
///
/// let source = "| Dm7 | G7 | ; typed in haste\nlh | F2.A2.C3.E3 | F3.A3.B3.E4 |\n";
/// let chart = chart::read(source).unwrap();
/// let mended = mend(&chart, source, &RuleSettings::default(), &mut Cache::default()).unwrap();
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
    settings: &RuleSettings,
    cache: &mut Cache,
) -> Result<Mended, Trouble> {
    mend_unknown(chart, source, settings, cache, |_, _, findings| {
        vec![false; findings.len()]
    })
}

/// Mends a chart as [`mend`] does, and leaves the findings that are known as they are, with their voicings.
///
/// `known` is asked about the findings of a chart and its text, anew after each round, and answers for each
/// in their order.
///
/// # Errors
///
/// As [`mend`].
pub fn mend_unknown(
    chart: &Chart,
    source: &str,
    settings: &RuleSettings,
    cache: &mut Cache,
    known: impl Fn(&Chart, &str, &[Finding]) -> Vec<bool>,
) -> Result<Mended, Trouble> {
    let settings = &settings.on(chart);
    let (mut chart, mut text) = (chart.clone(), source.to_owned());
    let (mut first, mut changed) = (None, BTreeSet::new());
    let mut faulty = None;
    let mut rounds = 0;
    loop {
        let suppressions = waivers::read(&chart, &text);
        let context = Context::of(&chart, Some(&text), None, suppressions, settings, cache)?;
        let known = |findings: &[Finding]| known(&chart, &text, findings);
        let (after, next) = found_and_mended(&context, settings, known, &mut faulty)?;
        let before = first.get_or_insert_with(|| after.clone());
        // Each round leaves fewer faulty slots and steps; the rest are one for the whole hand, one
        // for the remarks, one for the layout.
        let most = before.findings.len() + 3;
        rounds += 1;
        let next = next.filter(|(_, new, _)| *new != text && rounds <= most);
        let Some((new_chart, new_text, slots)) = next else {
            return Ok(Mended {
                before: before.clone(),
                chart,
                text,
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

/// What is found in a chart, and the chart with what can be mended of it now. No voicing is touched but those that
/// the first findings were about, which `faulty` keeps from round to round.
fn found_and_mended(
    context: &Context<'_>,
    settings: &RuleSettings,
    known: impl Fn(&[Finding]) -> Vec<bool>,
    faulty: &mut Option<BTreeSet<usize>>,
) -> Result<(Report, Option<Round>), Trouble> {
    let (found, leave) = found_and_known(context, known)?;
    let minded = minded(&found, &leave, settings);
    let faulty = faulty.get_or_insert_with(|| named_in(&minded, found.slots));
    let next = round(context, &minded, faulty);
    Ok((found, next))
}

/// What is found in a chart, and which of it is known. The voicings of known findings stay: what is found
/// beside them is found again without fixes that would change them.
fn found_and_known(
    context: &Context<'_>,
    known: impl Fn(&[Finding]) -> Vec<bool>,
) -> Result<(Report, Vec<bool>), Trouble> {
    let found = report(context, &BTreeSet::new())?;
    let leave = known(&found.findings);
    if !leave.contains(&true) {
        return Ok((found, leave));
    }
    let found = report(context, &slots_of(&found.findings, &leave))?;
    let leave = known(&found.findings);
    Ok((found, leave))
}

/// The slots of the findings that are to be left.
fn slots_of(findings: &[Finding], leave: &[bool]) -> BTreeSet<usize> {
    let left = findings.iter().zip(leave).filter(|(_, leave)| **leave);
    left.filter_map(|(finding, _)| finding.place.slot).collect()
}

type Round = (Chart, String, Vec<usize>);

/// The findings that are to be mended.
fn minded<'a>(report: &'a Report, leave: &[bool], settings: &RuleSettings) -> Vec<&'a Finding> {
    let least = settings.mend_from;
    let severe = |finding: &Finding| least.is_none_or(|least| finding.severity >= least);
    let all = report.findings.iter().zip(leave);
    all.filter(|(finding, leave)| !**leave && severe(finding))
        .map(|(finding, _)| finding)
        .collect()
}

/// The slots these findings are about, and those whose voicings their fixes replace; all of `slots` where
/// one is about the whole hand.
fn named_in(findings: &[&Finding], slots: usize) -> BTreeSet<usize> {
    let whole = |finding: &&Finding| {
        finding.rule.mends
            && finding.place.slot.is_none()
            && !matches!(finding.fix, Fix::Rewrite(_))
    };
    if findings.iter().any(whole) {
        return (0..slots).collect();
    }
    let slots = findings.iter().flat_map(|finding| {
        let changed = replaced(finding).map(|change| change.slot);
        changed.chain(finding.place.slot)
    });
    slots.collect()
}

fn replaced(finding: &Finding) -> impl Iterator<Item = &VoicingChange> {
    let changes = match &finding.fix {
        Fix::Replan(replan) => replan.changes.as_slice(),
        _ => &[],
    };
    changes.iter()
}

/// The chart with all fixed that can be fixed now without touching a voicing that isn't `faulty`; `None`
/// where there is nothing more to do.
fn round(context: &Context<'_>, minded: &[&Finding], faulty: &BTreeSet<usize>) -> Option<Round> {
    let mut changes: BTreeMap<usize, Voicing> = BTreeMap::new();
    for finding in minded {
        if replaced(finding).all(|change| faulty.contains(&change.slot)) {
            for change in replaced(finding) {
                let new = || change.voicing.clone();
                changes.entry(change.slot).or_insert_with(new);
            }
        }
    }
    if !changes.is_empty() {
        let slots = changes.keys().copied().collect();
        let (chart, text) = rewritten(context, &changes);
        return Some((chart, text, slots));
    }
    minded.iter().find_map(|finding| match &finding.fix {
        Fix::Rewrite(text) => Some((context.chart.clone(), text.clone(), Vec::new())),
        _ => None,
    })
}
