//! What the rules' tests share, and what holds for every rule.

use super::{RULES, Rule};
use crate::arrange::Cache;
use crate::chart::{self, Chart, TopWish};
use crate::check::{Report, RuleSettings, Severity, check};
use crate::hand::LimitTable;
use crate::voicing::SurchargeWeights;
use std::str::FromStr;

use crate::pitch::{Interval, Key, Name};

/// Leaps of a fifth at most. How far the hand moves in all, how its top note goes and how the chart is
/// laid out count only where they are asked for.
pub(in crate::check) fn settings() -> RuleSettings {
    let mut settings = RuleSettings::default();
    settings.arrange.leap = Some(7);
    settings.set("restless-hand", None).unwrap();
    settings.set("half-voiced", None).unwrap();
    settings
}

/// The settings under which a rule's examples are meant.
fn settings_for(rule: &Rule) -> RuleSettings {
    let mut settings = settings();
    if matches!(rule.name, "untidy" | "restless-hand" | "half-voiced") {
        settings.set(rule.name, Some(Severity::Warning)).unwrap();
    }
    if rule.name == "top-line" {
        settings.arrange.top = Some(TopWish::Step);
    }
    settings
}

pub(in crate::check) fn report(source: &str, settings: &RuleSettings) -> Report {
    let chart = chart::read(source).unwrap_or_else(|problems| panic!("{source}: {problems:?}"));
    check(&chart, source, None, settings, &mut Cache::default()).unwrap()
}

pub(in crate::check) fn found_under(source: &str, settings: &RuleSettings) -> Vec<&'static str> {
    let findings = report(source, settings).findings;
    findings.iter().map(|finding| finding.rule.name).collect()
}

/// The names of the rules that a chart breaks.
pub(in crate::check) fn found(source: &str) -> Vec<&'static str> {
    found_under(source, &settings())
}

/// Whether a rule is broken, as often as it may be, in each of the twelve keys: where on the
/// keyboard a key puts the notes is left out of account.
pub(in crate::check) fn in_every_key(name: &str, source: &str, broken: bool) {
    let rule = super::rule(name).unwrap();
    let mut settings = settings_for(rule);
    settings.arrange.voicing.hand.range = "C2-C7".parse().unwrap();
    settings.arrange.voicing.hand.limits = LimitTable::none();
    // How low or high a hand lies differs from key to key.
    settings.arrange.voicing.surcharges = SurchargeWeights::NONE;
    let chart = chart::read(&format!("key: C\n{source}")).unwrap();
    for tonic in [
        "C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B",
    ] {
        let key: Key = tonic.parse().unwrap();
        let source = moved(&chart, key).tidy();
        let found = found_under(&source, &settings);
        assert_eq!(found.contains(&rule.name), broken, "{name}: {source}");
    }
}

fn moved(chart: &Chart, key: Key) -> Chart {
    chart
        .transposed(Interval::between(Name::from_str("C").unwrap(), key.tonic()))
        .unwrap()
}

#[test]
fn the_examples_of_every_rule_are_right() {
    for rule in RULES {
        let settings = settings_for(rule);
        let found = found_under(rule.refused, &settings);
        assert!(found.contains(&rule.name), "{}: {found:?}", rule.name);
        let found = found_under(rule.accepted, &settings);
        assert!(!found.contains(&rule.name), "{}: {found:?}", rule.name);
    }
}

#[test]
fn names_and_sentences_are_fit_to_be_shown() {
    let mut names: Vec<&str> = RULES.iter().map(|rule| rule.name).collect();
    for rule in RULES {
        let plain = |c: char| c.is_ascii_lowercase() || c == '-';
        assert!(rule.name.chars().all(plain), "{}", rule.name);
        assert!(
            rule.why.ends_with('.') && !rule.why.contains(". "),
            "{}",
            rule.why
        );
    }
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), RULES.len());
}

/// Charts that break a rule and charts that keep it, each in every key.
pub(super) fn in_all_keys(rule: &str, refused: &[&str], accepted: &[&str]) {
    refused
        .iter()
        .for_each(|chart| in_every_key(rule, chart, true));
    accepted
        .iter()
        .for_each(|chart| in_every_key(rule, chart, false));
}

/// What a rule says about a chart.
pub(super) fn messages(rule: &str, chart: &str) -> Vec<String> {
    messages_under(rule, chart, &settings())
}

/// The same under these settings.
pub(super) fn messages_under(rule: &str, chart: &str, settings: &RuleSettings) -> Vec<String> {
    let findings = report(chart, settings).findings.into_iter();
    let own = findings.filter(|finding| finding.rule.name == rule);
    own.map(|finding| finding.message).collect()
}
