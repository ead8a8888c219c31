//! What a check finds, and what mending makes of it.

use compline::arrange::{Cache, Trouble};
use compline::chart::{Chart, Wish};
use compline::check::{Finding, Report, check, mend};
use compline::formats::ShownChart;

use super::{joined, place};
use crate::recorded::ask::Ask;

pub fn findings(
    ask: &Ask,
    chart: &Chart,
    text: &str,
    cache: &mut Cache,
) -> Result<String, Trouble> {
    let report = check(chart, text, None, &ask.rules, cache)?;
    Ok(told(chart, text, &report))
}

fn told(chart: &Chart, text: &str, report: &Report) -> String {
    let ground = ShownChart::of_text(chart, text);
    let line = |found: &Finding, waived: &str| {
        let shown = ground.shown(std::iter::once(found));
        let (place, fix) = (shown[0].place(), shown[0].mend());
        let at = shown[0].region.map_or_else(String::new, |region| {
            let column = region
                .column
                .map_or_else(String::new, |column| format!(":{column}"));
            format!("{}{column} ", region.line)
        });
        let caution = if found.caution.is_some() {
            " (caution)"
        } else {
            ""
        };
        let (severity, rule) = (found.severity, found.rule.name);
        format!(
            "{waived}{at}{severity} {rule} {place}: {} [{fix}]{caution}\n",
            found.message
        )
    };
    let mut out: String = report
        .findings
        .iter()
        .map(|found| line(found, ""))
        .collect();
    out.extend(report.suppressed.iter().map(|found| {
        let why = found.suppressed.as_deref().unwrap_or("");
        line(found, &format!("waived ({why}) "))
    }));
    let effort = |totals: Option<compline::arrange::Totals>| {
        totals.map_or_else(
            || "unknown".to_owned(),
            |totals| totals.cost.effort.to_string(),
        )
    };
    let (given, best) = (effort(report.as_given), effort(report.best));
    let (all, slots, open) = (report.given, report.slots, report.open);
    out + &format!("{all} of {slots} given, {open} open; effort {given}, best {best}\n")
}

pub fn mended(ask: &Ask, chart: &Chart, text: &str, cache: &mut Cache) -> Result<String, Trouble> {
    let mended = mend(chart, text, &ask.rules, cache)?;
    let hands = mended
        .chart
        .slots()
        .into_iter()
        .map(|slot| match &slot.wish {
            Wish::Given(notes) => format!("{} {}", place(&slot), joined(notes.iter(), ".")),
            other => format!("{} {other:?}", place(&slot)),
        });
    let hands: Vec<String> = hands.collect();
    let changed = mended.changed.iter().map(|at| hands[*at].clone());
    let left = mended.after.findings.iter();
    let left = left.map(|found| format!("{} {}", found.rule.name, found.place.bar.unwrap_or(0)));
    Ok(format!(
        "mended to {}; left: {}\n",
        joined(changed, ", "),
        joined(left, ", ")
    ))
}

pub fn rewritten(
    ask: &Ask,
    chart: &Chart,
    text: &str,
    cache: &mut Cache,
) -> Result<String, Trouble> {
    Ok(mend(chart, text, &ask.rules, cache)?.text)
}
