//! The list of rules, with their severities in force.

use std::fmt::Write;

use schemars::JsonSchema;
use serde::Serialize;

use crate::check::{RULES, Rule, RuleSettings, Severity};
use crate::formats::json::line;

/// The rules with what they are worth under these settings and why they are there, for people.
pub fn rules_text(settings: &RuleSettings) -> String {
    let width = RULES.iter().map(|rule| rule.name.len()).max().unwrap_or(0);
    let mut text = String::new();
    for rule in RULES {
        let level = word(settings.severity(rule));
        let also = also(rule, settings);
        let mends = if rule.mends { "mends" } else { "" };
        let _ = writeln!(
            text,
            "{:width$}  {level:7}  {mends:5}  {}{also}",
            rule.name, rule.why
        );
    }
    text
}

/// The severities of its own that the rule gives some findings, where the settings give it none.
fn of_its_own(rule: &Rule, settings: &RuleSettings) -> &'static [(Severity, &'static str)] {
    match settings.is_set(rule) {
        true => &[],
        false => rule.also,
    }
}

fn also(rule: &Rule, settings: &RuleSettings) -> String {
    let each = of_its_own(rule, settings).iter();
    let each = each.map(|(severity, which)| format!(" {severity}: {which}."));
    each.collect()
}

/// The same, one object a line.
pub fn rules_json(settings: &RuleSettings) -> String {
    let report = |rule: &&'static Rule| line(&RuleReport::of(rule, settings));
    RULES.iter().map(report).collect()
}

/// A rule with what it is worth.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Rule")]
pub(super) struct RuleReport {
    /// Its name.
    rule: &'static str,
    /// The severity in force: `note`, `warning`, `error` or `off`.
    severity: &'static str,
    /// The severity unless set otherwise.
    default: &'static str,
    /// The severities of its own that it gives some findings.
    also: Vec<AlsoJson>,
    /// Whether `--mend` cures its findings.
    mends: bool,
    /// Why it is there.
    why: &'static str,
    /// A chart it refuses.
    refused: &'static str,
    /// The nearest chart it accepts.
    accepted: &'static str,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Also")]
struct AlsoJson {
    /// The severity.
    severity: &'static str,
    /// Which findings have it.
    which: &'static str,
}

impl RuleReport {
    fn of(rule: &'static Rule, settings: &RuleSettings) -> Self {
        let also = of_its_own(rule, settings).iter();
        Self {
            rule: rule.name,
            severity: word(settings.severity(rule)),
            default: word(rule.severity),
            also: also
                .map(|(severity, which)| AlsoJson {
                    severity: severity.name(),
                    which,
                })
                .collect(),
            mends: rule.mends,
            why: rule.why,
            refused: rule.refused,
            accepted: rule.accepted,
        }
    }
}

fn word(severity: Option<Severity>) -> &'static str {
    severity.map_or("off", Severity::name)
}
