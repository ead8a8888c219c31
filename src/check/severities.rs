//! Which severity the settings give a rule, and rules found by their names.

use super::rules::{RULES, rule};
use super::unknown_rule::UnknownRule;
use super::{Rule, RuleSettings, Severity};

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
        let near = RULES
            .iter()
            .map(|rule| (distance(&typed, rule.name), rule.name));
        let near = near.filter(|(distance, known)| distance * 3 <= known.len());
        Self {
            name: name.to_owned(),
            nearest: near.min().map(|(_, known)| known),
        }
    }
}

/// How many letters have to be changed, put in or left out to make one word of the other; names
/// beyond 64 letters count as far from everything.
fn distance(a: &str, b: &str) -> usize {
    if a.len() > 64 {
        return usize::MAX / 4;
    }
    let b: Vec<char> = b.chars().collect();
    let mut line: Vec<usize> = (0..=b.len()).collect();
    for (row, letter) in a.chars().enumerate() {
        let mut diagonal = row;
        let mut left = row + 1;
        for (cell, other) in line.iter_mut().skip(1).zip(&b) {
            let change = diagonal + usize::from(letter != *other);
            diagonal = *cell;
            left = change.min(left + 1).min(*cell + 1);
            *cell = left;
        }
        if let Some(first) = line.first_mut() {
            *first = row + 1;
        }
    }
    line.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_are_counted() {
        for (a, b, count) in [
            ("", "abc", 3),
            ("muddy", "muddy", 0),
            ("mudy", "muddy", 1),
            ("kitten", "sitting", 3),
        ] {
            assert_eq!(distance(a, b), count, "{a} {b}");
            assert_eq!(distance(b, a), count, "{b} {a}");
        }
    }

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
