//! The list of rules, with their severities in force.

use std::fmt::Write;

use serde_json::json;

use crate::check::{RULES, Rule, RuleSettings, Severity};

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
    let line = |rule: &Rule| {
        let object = json!({
            "rule": rule.name,
            "severity": word(settings.severity(rule)),
            "default": word(rule.severity),
            "also": also_json(rule, settings),
            "mends": rule.mends,
            "why": rule.why,
            "refused": rule.refused,
            "accepted": rule.accepted,
        });
        format!("{object}\n")
    };
    RULES.iter().copied().map(line).collect()
}

fn also_json(rule: &Rule, settings: &RuleSettings) -> Vec<serde_json::Value> {
    let each = of_its_own(rule, settings).iter();
    each.map(|(severity, which)| json!({"severity": severity.name(), "which": which}))
        .collect()
}

fn word(severity: Option<Severity>) -> &'static str {
    severity.map_or("off", Severity::name)
}
