//! The performance of a chart: which slot is played when, and which slot follows which, how often.
//!
//! Repeats, endings, jumps and the order of the sections are settled by [`play_order`](super::play_order);
//! here they are counted once, for everyone who plans, measures or explains what the hand does.

use std::collections::BTreeMap;

use super::{Chart, Diagnostics, Slot};

/// Which slot is played when, and which slot follows which, how often.
///
/// ```
/// let chart = compline::chart::read("|: Dm7 | G7 :| Cmaj7 |").unwrap();
/// let performance = chart.performance(&chart.slots(), false).unwrap();
/// assert_eq!(performance.visits(), [0, 1, 0, 1, 2]);
/// assert_eq!(performance.times(1), 2);
/// let steps: Vec<_> = performance.transitions().iter().map(|t| (t.from, t.to, t.times)).collect();
/// assert_eq!(steps, [(0, 1, 2), (1, 0, 1), (1, 2, 1)]);
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Performance {
    visits: Vec<usize>,
    looped: bool,
    times: Vec<u64>,
    transitions: Vec<Transition>,
    /// For each slot the one it is joined to.
    joined: Vec<Option<usize>>,
}

/// A step of a performance from slot to slot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Transition {
    /// The slot it leaves.
    pub from: usize,
    /// The slot it reaches.
    pub to: usize,
    /// How often it is taken.
    pub times: u64,
}

impl Performance {
    /// The performance of so many slots in this order, round and round if `looped`. Visits to slots that
    /// are not there are left out.
    pub fn new(slots: usize, mut visits: Vec<usize>, looped: bool) -> Self {
        visits.retain(|&slot| slot < slots);
        let mut times = vec![0; slots];
        for &slot in &visits {
            if let Some(times) = times.get_mut(slot) {
                *times += 1;
            }
        }
        let mut transitions = transitions(slots, &visits);
        let joined = joined(&transitions, &times);
        if looped {
            go_round(&visits, &mut transitions);
        }
        Self {
            visits,
            looped,
            times,
            transitions,
            joined,
        }
    }

    /// The slots in the order they are played, each as often as it is.
    pub fn visits(&self) -> &[usize] {
        &self.visits
    }

    /// How many slots there are, played or not.
    pub fn slots(&self) -> usize {
        self.times.len()
    }

    /// Whether the last slot goes on to the first.
    pub const fn is_looped(&self) -> bool {
        self.looped
    }

    /// How often a slot is played.
    pub fn times(&self, slot: usize) -> u64 {
        self.times.get(slot).copied().unwrap_or(0)
    }

    /// Every step from slot to slot, each once, in the order in which it is first taken. In a loop the
    /// step from the last visit to the first is taken last.
    pub fn transitions(&self) -> &[Transition] {
        &self.transitions
    }

    /// Every visit with the slot that is played before it. Before the first visit there is none, or the
    /// last slot in a loop.
    pub fn arrivals(&self) -> impl Iterator<Item = (Option<usize>, usize)> + '_ {
        let last = self.visits.last().copied().filter(|_| self.looped);
        let before = self.visits.iter().copied().map(Some);
        [last]
            .into_iter()
            .chain(before)
            .zip(self.visits.iter().copied())
    }

    /// The slots that are played after the first visit to a slot, in a loop up to that visit again; none
    /// where it is never played.
    pub fn after_first(&self, slot: usize) -> impl Iterator<Item = usize> + '_ {
        let first = self.visits.iter().position(|&visit| visit == slot);
        let (before, after) = match first {
            Some(first) => self.visits.split_at(first + 1),
            None => Default::default(),
        };
        let round = before.iter().filter(|_| self.looped);
        after.iter().chain(round).copied()
    }

    /// The performance of some of the slots, the others passed over. `slots` are rising; each is from
    /// here on known by its place among them.
    #[must_use]
    pub fn among(&self, slots: &[usize]) -> Self {
        if slots.len() == self.slots() {
            return self.clone();
        }
        let visits = self.visits.iter();
        let visits = visits.filter_map(|slot| slots.binary_search(slot).ok());
        Self::new(slots.len(), visits.collect(), self.looped)
    }

    /// The performance of the slots that sound, the others passed over. Every slot keeps its number.
    #[must_use]
    pub fn sounding(&self, sounds: impl Fn(usize) -> bool) -> Self {
        if self.visits.iter().all(|&slot| sounds(slot)) {
            return self.clone();
        }
        let visits = self.visits.iter().copied().filter(|&slot| sounds(slot));
        Self::new(self.slots(), visits.collect(), self.looped)
    }

    /// Whether every slot is played once, in the order they are written.
    pub fn is_straight(&self) -> bool {
        self.visits.iter().copied().eq(0..self.slots())
    }

    /// Whether two slots are only ever played one after the other: nothing else comes after the first,
    /// nor before the second, and neither begins or ends the performance without the other. The way
    /// round of a loop doesn't count.
    pub fn joins(&self, from: usize, to: usize) -> bool {
        self.joined.get(from).copied().flatten() == Some(to)
    }

    /// For each slot what was found for its first visit; `None` where it is never played. `found` has an
    /// item for every visit.
    pub fn at_first<T>(&self, found: impl IntoIterator<Item = T>) -> Vec<Option<T>> {
        let mut first: Vec<Option<T>> = (0..self.slots()).map(|_| None).collect();
        for (&slot, found) in self.visits.iter().zip(found) {
            if let Some(first) = first.get_mut(slot) {
                first.get_or_insert(found);
            }
        }
        first
    }
}

/// Every step of these visits with how often it is taken, in the order in which it is first taken.
fn transitions(slots: usize, visits: &[usize]) -> Vec<Transition> {
    let onward = visits.iter().copied().zip(visits.iter().copied().skip(1));
    // Nearly every slot goes on to one other only: that step is found by the slot.
    let mut first = vec![usize::MAX; slots];
    let mut others: BTreeMap<(usize, usize), usize> = BTreeMap::new();
    let mut all: Vec<Transition> = Vec::with_capacity(slots);
    for (from, to) in onward {
        let next = all.len();
        let first = first.get_mut(from);
        let at = match first {
            Some(first) if *first == usize::MAX => {
                *first = next;
                next
            }
            Some(first) if all.get(*first).is_some_and(|step| step.to == to) => *first,
            _ => *others.entry((from, to)).or_insert(next),
        };
        match all.get_mut(at) {
            Some(known) => known.times += 1,
            None => all.push(Transition { from, to, times: 1 }),
        }
    }
    all
}

/// For each slot the one that comes after it as often as either is played.
fn joined(transitions: &[Transition], times: &[u64]) -> Vec<Option<usize>> {
    let mut joined = vec![None; times.len()];
    for step in transitions {
        let always = [step.from, step.to].map(|slot| times.get(slot) == Some(&step.times));
        if let Some(joined) = joined.get_mut(step.from).filter(|_| always == [true; 2]) {
            *joined = Some(step.to);
        }
    }
    joined
}

/// Counts the step from the last visit to the first.
fn go_round(visits: &[usize], transitions: &mut Vec<Transition>) {
    let Some((from, to)) = visits.last().copied().zip(visits.first().copied()) else {
        return;
    };
    let known = transitions
        .iter_mut()
        .find(|step| (step.from, step.to) == (from, to));
    match known {
        Some(step) => step.times += 1,
        None => transitions.push(Transition { from, to, times: 1 }),
    }
}

impl Chart {
    /// How the chart is performed, its slots known by their place among `slots`; round and round if
    /// `looped`.
    ///
    /// # Errors
    ///
    /// Those of [`Chart::play_order`].
    pub fn performance(&self, slots: &[Slot], looped: bool) -> Result<Performance, Diagnostics> {
        Ok(self.play_order()?.performance(slots, looped))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::read;

    fn performed(text: &str, looped: bool) -> Performance {
        let chart = read(text).unwrap();
        chart.performance(&chart.slots(), looped).unwrap()
    }

    fn steps(performance: &Performance) -> Vec<(usize, usize, u64)> {
        let steps = performance.transitions().iter();
        steps.map(|step| (step.from, step.to, step.times)).collect()
    }

    #[test]
    fn a_loop_counts_the_step_back_to_the_beginning() {
        let text = "| C | F | G |";
        assert_eq!(steps(&performed(text, false)), [(0, 1, 1), (1, 2, 1)]);
        let looped = performed(text, true);
        assert_eq!(steps(&looped), [(0, 1, 1), (1, 2, 1), (2, 0, 1)]);
        let arrivals: Vec<_> = looped.arrivals().collect();
        assert_eq!(arrivals, [(Some(2), 0), (Some(0), 1), (Some(1), 2)]);
        let first = performed(text, false).arrivals().next();
        assert_eq!(first, Some((None, 0)));
    }

    #[test]
    fn what_is_passed_over_leaves_a_step_between_its_neighbours() {
        let performance = performed("|: C | N.C. | G :|", false);
        let sounding = performance.sounding(|slot| slot != 1);
        assert_eq!(steps(&sounding), [(0, 2, 2), (2, 0, 1)]);
        assert_eq!((sounding.slots(), sounding.times(1)), (3, 0));
        let among = performance.among(&[0, 2]);
        assert_eq!(steps(&among), [(0, 1, 2), (1, 0, 1)]);
        assert_eq!(among.slots(), 2);
    }

    #[test]
    fn slots_are_joined_where_nothing_else_comes_between() {
        let performance = performed("|: C | F |1 G :|2 Am | Dm |", false);
        let joined: Vec<bool> = (0..4).map(|at| performance.joins(at, at + 1)).collect();
        assert_eq!(joined, [true, false, false, true]);
        // The way round of a loop joins nothing.
        assert!(!performed("play: B A\n[A]\n| C |\n[B]\n| F |", true).joins(0, 1));
    }

    #[test]
    fn what_comes_after_a_slot_is_known_for_its_first_visit() {
        let after = |looped, slot| -> Vec<usize> {
            let performance = performed("|: C | F :| G |", looped);
            performance.after_first(slot).collect()
        };
        assert_eq!(after(false, 1), [0, 1, 2]);
        assert_eq!(after(true, 1), [0, 1, 2, 0, 1]);
        assert_eq!(after(false, 9), [0; 0]);
        let performance = performed("|: C | F :|", false);
        let visits = performance.at_first(["a", "b", "c", "d"]);
        assert_eq!(visits, [Some("a"), Some("b")]);
        assert_eq!(performed("| C |", false).at_first([1]), [Some(1)]);
    }
}
