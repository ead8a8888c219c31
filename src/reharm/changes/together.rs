//! How many replacements can be taken together at the most, as far as their places and their limits tell.

use std::collections::BTreeSet;

use super::terms::Terms;
use crate::chart::Replacement;

/// No choice that keeps its limits has more replacements than this.
///
/// `breaks` tells which can't follow at once on which.
pub(super) fn most_together(
    replacements: &[Replacement],
    terms: &Terms,
    breaks: impl Fn(&Replacement, &Replacement) -> bool,
) -> usize {
    most_apart(replacements, breaks).min(most_within(terms, replacements.len()))
}

/// The most that lie beside each other. The one that ends first leaves the most room: one that overlaps it
/// can be exchanged for it in any choice.
fn most_apart(
    replacements: &[Replacement],
    breaks: impl Fn(&Replacement, &Replacement) -> bool,
) -> usize {
    let mut by_end: Vec<&Replacement> = replacements.iter().collect();
    by_end.sort_by_key(|one| one.slots.end);
    let mut taken: Vec<&Replacement> = Vec::new();
    for one in by_end {
        let fits = |last: &&Replacement| one.slots.start >= last.slots.end && !breaks(last, one);
        if taken.last().is_none_or(fits) {
            taken.push(one);
        }
    }
    taken.len()
}

/// The most of so many that limits without a common member leave.
fn most_within(terms: &Terms, replacements: usize) -> usize {
    let mut limited = vec![false; replacements];
    let mut left = replacements;
    for limit in &terms.limits {
        let is_limited = |at: &usize| limited.get(*at).is_none_or(|limited| *limited);
        let members: BTreeSet<usize> = limit.members.iter().copied().collect();
        if members.iter().any(is_limited) {
            continue;
        }
        left -= members.len().saturating_sub(limit.most);
        for at in members {
            limited.get_mut(at).into_iter().for_each(|one| *one = true);
        }
    }
    left
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reharm::AtMost;

    fn at(slots: std::ops::Range<usize>) -> Replacement {
        Replacement {
            slots,
            chords: Vec::new(),
        }
    }

    fn limit(members: &[usize], most: usize) -> AtMost {
        AtMost {
            members: members.to_vec(),
            most,
        }
    }

    #[test]
    fn what_overlaps_is_counted_once() {
        let all = [at(0..4), at(0..1), at(1..3), at(2..4), at(4..5)];
        let none = |_: &Replacement, _: &Replacement| false;
        assert_eq!(most_together(&all, &Terms::default(), none), 3);
        assert_eq!(most_together(&[], &Terms::default(), none), 0);
        let touches = |one: &Replacement, next: &Replacement| one.slots.end == next.slots.start;
        assert_eq!(most_together(&all, &Terms::default(), touches), 2);
    }

    #[test]
    fn limits_leave_so_many() {
        let all: Vec<Replacement> = (0..6).map(|place| at(place..place + 1)).collect();
        let terms = |limits: Vec<AtMost>| Terms {
            charges: Vec::new(),
            limits,
        };
        let apart = terms(vec![limit(&[0, 1, 2], 1), limit(&[3, 4], 2)]);
        assert_eq!(most_together(&all, &apart, |_, _| false), 4);
        // A member of both is not taken off twice.
        let crossed = terms(vec![limit(&[0, 1, 2], 1), limit(&[2, 3, 4], 1)]);
        assert_eq!(most_together(&all, &crossed, |_, _| false), 4);
    }
}
