//! Limits that the engine counts itself, beside the number of replacements.
//!
//! The engine tells total weights apart. A replacement weighs 1, and for each counted limit it is a member of
//! as much more as makes a new digit: with up to 8 replacements 9 for the first limit, and 27 for the next
//! where the first allows 2. A choice that breaks a counted limit weighs too much or something else than it
//! should, so what is found for a number of replacements is never dearer than a choice that keeps the limit; if
//! it takes so many and keeps the limits, it is such a choice.

use std::cmp::Reverse;

use super::choice_part::ChoicePart;
use super::terms::Terms;

/// A part with one more limit counted: the one that is broken worst, or else priced highest without being
/// used up. `None` where there is none, or where with up to `most` replacements there is no room for so
/// many weights.
pub(super) fn counting_more(
    terms: &Terms,
    part: &ChoicePart,
    taken: &[usize],
    (most, room): (usize, usize),
) -> Option<ChoicePart> {
    let limits = terms.limits.iter().enumerate();
    let open = limits.filter(|(at, _)| !part.counted.contains(at));
    let open = open.filter_map(|(at, limit)| {
        let multiplier = part.multipliers.get(at).copied().unwrap_or_default();
        let (excess, unused) = match limit.count(taken) {
            count if count > limit.most => (count - limit.most, 0),
            count if count < limit.most => (0, multiplier),
            _ => (0, 0),
        };
        (excess > 0 || unused > 0).then_some((excess, unused, Reverse(at)))
    });
    let (_, _, Reverse(limit)) = open.max()?;
    let counted = [&part.counted[..], &[limit]].concat();
    let fits = CountedLimits::of(terms, &counted, most).len() <= room;
    let mut multipliers = part.multipliers.clone();
    *multipliers.get_mut(limit)? = 0;
    fits.then(|| ChoicePart {
        counted,
        multipliers,
        ..part.clone()
    })
}

/// Some limits, each a digit of the weight.
pub(super) struct CountedLimits<'t> {
    terms: &'t Terms,
    /// The limits, with what a member weighs more.
    digits: Vec<(usize, usize)>,
    /// How many numbers of replacements there are.
    base: usize,
    /// How many total weights there are.
    weights: usize,
}

impl<'t> CountedLimits<'t> {
    /// These limits where up to so many replacements are taken.
    pub fn of(terms: &'t Terms, limits: &[usize], most: usize) -> Self {
        let base = most.saturating_add(1);
        let (mut digits, mut weights) = (Vec::new(), base);
        for &limit in limits {
            digits.push((limit, weights));
            let allowed = terms.limits.get(limit).map_or(0, |limit| limit.most);
            weights = weights.saturating_mul(allowed.saturating_add(1));
        }
        Self {
            terms,
            digits,
            base,
            weights,
        }
    }

    /// How many total weights are told apart. What the engine holds and does grows with them.
    pub fn len(&self) -> usize {
        self.weights
    }

    /// What a replacement weighs.
    pub fn weight(&self, at: usize) -> u32 {
        let is_member = |limit: usize| {
            let limit = self.terms.limits.get(limit);
            limit.is_some_and(|limit| limit.members.contains(&at))
        };
        let mine = self.digits.iter().filter(|(limit, _)| is_member(*limit));
        let weight = 1 + mine.map(|(_, more)| more).sum::<usize>();
        u32::try_from(weight).unwrap_or(u32::MAX)
    }

    /// What so many replacements may weigh together.
    pub fn weights(&self, count: usize) -> Vec<usize> {
        (count..self.weights).step_by(self.base).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reharm::AtMost;

    fn terms() -> Terms {
        let limit = |members: &[usize], most| AtMost {
            members: members.to_vec(),
            most,
        };
        Terms {
            charges: Vec::new(),
            limits: vec![limit(&[0, 1, 2], 2), limit(&[2, 3], 1)],
        }
    }

    #[test]
    fn each_limit_is_a_digit() {
        let terms = terms();
        let both = CountedLimits::of(&terms, &[0, 1], 8);
        let weights: Vec<u32> = (0..5).map(|at| both.weight(at)).collect();
        assert_eq!(weights, [10, 10, 37, 28, 1]);
        assert_eq!(both.weights(8), [8, 17, 26, 35, 44, 53]);
        assert_eq!(both.len(), 54);
        let none = CountedLimits::of(&terms, &[], 8);
        assert_eq!((none.weight(2), none.weights(3)), (1, vec![3]));
    }
}
