//! The rules a voiced chart is held against, and what would mend it.
//!
//! [`check`] holds a chart against every rule of [`RULES`] and says what it finds, where, and what
//! would fix it with the least effort; [`mend()`] does what can be done. What a hand may play is
//! decided in [`crate::hand`], which voicings a chord has in [`crate::voicing`], what costs least in
//! [`crate::optimise`]: this module asks them about voicings that somebody wrote. So a voicing planned
//! under the same settings never gives a finding.
//!
//! Each rule is one file under `rules`. Nothing here prints: a [`Finding`] has its place as a span of
//! the source, and whoever shows it draws the line.
//!
//! ```
//! use compline::arrange::Cache;
//! use compline::chart;
//! use compline::check::{RuleSettings, check, mend};
//!
//! let source = "     | Fm7        |\nlh   | F2.Ab2.Eb3 |\n";
//! let chart = chart::read(source).unwrap();
//! let report = check(&chart, source, None, &RuleSettings::default(), &mut Cache::default()).unwrap();
//! let found: Vec<&str> = report.findings.iter().map(|finding| finding.rule.name).collect();
//! assert_eq!(found, ["muddy", "out-of-range"]);
//!
//! let mended = mend(&chart, source, &RuleSettings::default(), &mut Cache::default()).unwrap();
//! assert_eq!(mended.after.findings, []);
//! assert_eq!(mended.text, "     | Fm7           |\nlh   | Eb3.G3.Ab3.C4 |\n");
//! ```

mod alone;
mod best_in_row;
mod context;
mod detour;
mod finding;
mod finding_place;
mod fix;
mod greedy_repair;
mod left_hand;
mod mend;
mod minimal_repair;
mod motion;
mod motion_faults;
mod repair;
mod report;
mod rewrite;
mod rule;
mod rules;
mod settings;
mod severities;
mod severity;
mod step_repair;
mod suppression;
mod unknown_rule;
mod waivers;

pub use finding::{Finding, Fix, Opinion, Replan, VoicingChange};
pub use finding_place::FindingPlace;
pub use mend::{mend, mend_unknown};
pub use report::{Mended, Report};
pub use rule::Rule;
pub use rules::{RULES, rule};
pub use settings::{Allowance, DETOUR, NotAnAllowance, RuleSettings};
pub use severity::{NotASeverity, Severity};
pub use unknown_rule::UnknownRule;
pub use waivers::waivers;

use std::collections::BTreeSet;

use crate::arrange::{Cache, Trouble};
use crate::chart::Chart;
use context::Context;
use fix::Fixer;
use motion::Motion;
use motion_faults::MotionFaults;
use rule::{Fault, FixKind, Test};

/// Holds a chart against the rules.
///
/// `source` is the text the chart was read from; spans point into it. For a chart that was read from
/// something else `played` says in which order its slots are played (by index, from 0) and `source` has its
/// suppressions, one a line, as [`waivers`] gives them; then no finding has a span, and rules about the
/// text are not asked.
///
/// # Errors
///
/// A play order that can't be played, and a chart too long to be measured. That no voicing fits a chord is
/// a finding and not an error.
pub fn check(
    chart: &Chart,
    source: &str,
    played: Option<&[usize]>,
    settings: &RuleSettings,
    cache: &mut Cache,
) -> Result<Report, Trouble> {
    let text = played.is_none().then_some(source);
    let settings = &settings.on(chart);
    let suppressions = match played {
        None => waivers::read(chart, source),
        Some(_) => waivers::beside(chart, source),
    };
    let context = Context::of(chart, text, played, suppressions, settings, cache)?;
    report(&context, &BTreeSet::new())
}

/// A fault with the rule it breaks and its severity here.
type Found = (&'static Rule, Severity, Fault);

/// What there is to say about a chart that is ready for the rules. The voicings in `left` are to stay.
fn report(context: &Context<'_>, left: &BTreeSet<usize>) -> Result<Report, Trouble> {
    let of_chart = found(context, |rule| match rule.check {
        Test::Violations(kind) => Some(rules::violating(context, kind)),
        Test::Chart(check) => Some(check(context)),
        Test::Motion(_) => None,
    });
    let faulty = faulty(context, &of_chart, left);
    let mut meant = meant(context, &of_chart, left);
    meant.retain(|slot| !faulty.contains(slot));
    let motion = Motion::of(context, &faulty, &meant)?;
    let faults = MotionFaults::of(motion);
    let of_motion = found(context, |rule| match rule.check {
        Test::Violations(_) | Test::Chart(_) => None,
        Test::Motion(check) => Some(check(&faults)),
    });
    let motion = &faults.motion;
    let fixer = Fixer::of(motion);
    let findings = of_chart.into_iter().chain(of_motion);
    let findings = findings.map(|(rule, severity, fault)| fixer.finding(rule, severity, fault));
    let (suppressed, mut findings) = suppress(context, findings.collect());
    findings.extend(unused(context, &suppressed, &fixer));
    if context.source.is_none() {
        findings
            .iter_mut()
            .for_each(|finding| finding.place.span = None);
    }
    findings.sort_by_key(|finding| finding.place.slot);
    let slots = &context.voiced.problem.slots;
    Ok(Report {
        title: context.chart.title().map(str::to_owned),
        findings,
        suppressed,
        slots: slots.len(),
        given: context.given().count(),
        open: slots.iter().filter(|slot| slot.is_open()).count(),
        as_given: context.as_given,
        best: motion.best.as_ref().map(|(_, totals)| *totals),
    })
}

/// The faults of the rules that are asked, each with its severity.
fn found(context: &Context<'_>, ask: impl Fn(&Rule) -> Option<Vec<Fault>>) -> Vec<Found> {
    let mut all = Vec::new();
    for rule in RULES {
        let Some(severity) = context.settings.severity(rule) else {
            continue;
        };
        let set = context.settings.is_set(rule);
        for fault in ask(rule).unwrap_or_default() {
            let own = fault.severity.filter(|_| !set);
            all.push((rule, own.unwrap_or(severity), fault));
        }
    }
    all
}

/// The slots whose voicing is to be replaced.
fn faulty(context: &Context<'_>, found: &[Found], left: &BTreeSet<usize>) -> BTreeSet<usize> {
    let least = context.settings.mend_from;
    let replaced = found
        .iter()
        .filter_map(|(rule, severity, fault)| match fault.fix {
            FixKind::Slot(slot) => {
                let minded = least.is_none_or(|least| *severity >= least);
                let stays = left.contains(&slot) || context.is_suppressed(rule.name, Some(slot));
                (minded && !stays).then_some(slot)
            }
            _ => None,
        });
    replaced.collect()
}

/// The slots whose voicing is meant as it is: what is wrong with it is suppressed.
fn meant(context: &Context<'_>, found: &[Found], left: &BTreeSet<usize>) -> BTreeSet<usize> {
    let suppressed = found.iter().filter_map(|(rule, _, fault)| match fault.fix {
        FixKind::Slot(slot) => context.is_suppressed(rule.name, Some(slot)).then_some(slot),
        _ => None,
    });
    let slots = context.voiced.problem.slots.iter();
    let pinned = slots.filter(|slot| context.suppressions.pins(slot));
    let pinned = pinned.map(|slot| slot.index);
    suppressed
        .chain(pinned)
        .chain(left.iter().copied())
        .collect()
}

/// The findings the chart suppresses, and the rest.
fn suppress(context: &Context<'_>, mut findings: Vec<Finding>) -> (Vec<Finding>, Vec<Finding>) {
    for finding in &mut findings {
        let mut all = context.suppressions_of(finding.rule.name, finding.place.slot);
        let first = all.next().and_then(|at| context.suppressions.good.get(at));
        finding.suppressed = first.map(|suppression| suppression.reason.clone());
    }
    findings.sort_by_key(|finding| finding.place.slot);
    let suppressed = |finding: &Finding| finding.suppressed.is_some();
    findings.into_iter().partition(suppressed)
}

/// The suppressions that suppressed nothing, as findings.
fn unused(context: &Context<'_>, suppressed: &[Finding], fixer: &Fixer<'_>) -> Vec<Finding> {
    let rule = &rules::WAIVER;
    let Some(severity) = context.settings.severity(rule) else {
        return Vec::new();
    };
    let used: BTreeSet<usize> = suppressed
        .iter()
        .filter_map(|finding| {
            // The first is enough, and its reason is the one that is told.
            let mut all = context.suppressions_of(finding.rule.name, finding.place.slot);
            all.next()
        })
        .collect();
    let asked = |name: &str| {
        let rule = rules::rule(name);
        rule.is_some_and(|rule| context.settings.severity(rule).is_some())
    };
    let suppressions = context.suppressions.good.iter().enumerate();
    let idle =
        suppressions.filter(|(at, suppression)| !used.contains(at) && asked(suppression.rule));
    let faults: Vec<Fault> = idle
        .map(|(_, suppression)| rules::unused(suppression))
        .collect();
    let findings = faults.into_iter();
    findings
        .map(|fault| fixer.finding(rule, severity, fault))
        .collect()
}
