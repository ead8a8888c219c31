//! Which severity the settings give a rule, and rules found by their names.

use super::rules::{RULES, rule};
use super::unknown_rule::UnknownRule;
use super::{Rule, RuleSettings, Severity};
use crate::chart::nearest;

impl RuleSettings {
    /// How much a finding of this rule matters; `None` when the rule is off.
    pub fn severity(&self, rule: &Rule) -> Option<Severity> {
        let set = self.severities.get(rule.name).copied();
        set.unwrap_or(rule.severity)
    }

    /// Whether the rule's severity was set, to whatever.
    pub fn is_set(&self, rule: &Rule) -> bool {
        self.severities.contains_key(rule.name)
    }

    /// Gives a rule another severity, or turns it off with `None`.
    ///
    /// # Errors
    ///
    /// When there is no rule of this name, with the nearest there is.
    pub fn set(&mut self, name: &str, severity: Option<Severity>) -> Result<(), UnknownRule> {
        let rule = rule(name).ok_or_else(|| UnknownRule::new(name))?;
        self.severities.insert(rule.name, severity);
        Ok(())
    }
}

impl UnknownRule {
    pub(super) fn new(name: &str) -> Self {
        let typed = name.to_ascii_lowercase();
        Self {
            name: name.to_owned(),
            nearest: nearest(&typed, RULES.iter().map(|rule| rule.name)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn far_names_have_no_neighbour() {
        assert_eq!(UnknownRule::new("xylophone").nearest, None);
        assert_eq!(UnknownRule::new(&"x".repeat(1000)).nearest, None);
        assert_eq!(
            UnknownRule::new("Minor-Nineth").nearest,
            Some("minor-ninth")
        );
    }
}
