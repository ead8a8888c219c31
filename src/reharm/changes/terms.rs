//! On which terms a replacement may be taken.

/// What replacements are charged beside the effort of the page, and how many of a kind may be taken.
///
/// ```
/// use compline::reharm::{AtMost, Terms};
/// let terms = Terms {
///     charges: vec![3, -4, 0],
///     limits: vec![AtMost { members: vec![0, 2], most: 1 }],
/// };
/// assert_eq!(terms.charge(&[0, 1]), -1);
/// assert!(terms.allow(&[0, 1]) && !terms.allow(&[0, 2]));
/// ```
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Terms {
    /// For each replacement what it adds to the score if it is taken, in semitones of motion; one that
    /// has none is charged nothing.
    pub charges: Vec<i64>,
    /// Replacements of which only so many may be taken.
    pub limits: Vec<AtMost>,
}

/// Some replacements, of which no more than `most` may be taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AtMost {
    /// The replacements, by their places in the list.
    pub members: Vec<usize>,
    /// How many of them may be taken.
    pub most: usize,
}

impl Terms {
    /// What some replacements are charged together.
    pub fn charge(&self, taken: &[usize]) -> i64 {
        taken.iter().map(|at| self.charge_of(*at)).sum()
    }

    /// Whether some replacements may be taken together.
    pub fn allow(&self, taken: &[usize]) -> bool {
        self.limits
            .iter()
            .all(|limit| limit.count(taken) <= limit.most)
    }

    /// What each of so many replacements costs the engine: its charge and the multipliers of its limits.
    pub(super) fn tolls(&self, multipliers: &[i64], replacements: usize) -> Vec<i64> {
        let of = |at: usize| {
            self.charge_of(at)
                .saturating_add(self.paid(at, multipliers))
        };
        (0..replacements).map(of).collect()
    }

    /// The multipliers a replacement pays.
    pub(super) fn paid(&self, at: usize, multipliers: &[i64]) -> i64 {
        let limits = self.limits.iter().zip(multipliers);
        let mine = limits.filter(|(limit, _)| limit.members.contains(&at));
        mine.map(|(_, multiplier)| multiplier).sum()
    }

    /// What a choice that keeps the limits pays in multipliers at the most.
    pub(super) fn allowance(&self, multipliers: &[i64]) -> i64 {
        let limits = self.limits.iter().zip(multipliers);
        let each = limits.map(|(limit, multiplier)| {
            i64::try_from(limit.most)
                .unwrap_or(i64::MAX)
                .saturating_mul(*multiplier)
        });
        each.sum()
    }

    /// What one replacement is charged.
    pub(super) fn charge_of(&self, at: usize) -> i64 {
        self.charges.get(at).copied().unwrap_or_default()
    }
}

impl AtMost {
    /// How many of the members are among some replacements.
    pub(super) fn count(&self, taken: &[usize]) -> usize {
        let members = taken.iter().filter(|at| self.members.contains(at));
        members.count()
    }
}
