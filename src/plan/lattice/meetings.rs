//! Which states may meet on a passage, and at what cost, without looking at
//! the pairs that the labels forbid.

use super::net::{Net, moved};
use super::state::{Labels, Passage, State};
use crate::plan::cost::{IMPOSSIBLE, Key};
use std::collections::BTreeMap;

/// In place of a key that was not computed yet.
const UNKNOWN: Key = Key::MAX;

impl Net<'_> {
    /// All pairs of states that may meet on a passage, seen from its end `own`.
    pub(super) fn meetings(&self, passage: usize, own: usize) -> Meetings {
        let other = self.other(passage, own);
        let offers = Offers::new(&self.passages[passage], own, &self.points[own].states);
        let (kinds, there) = (&self.kinds[own], &self.kinds[other]);
        let mut steps = vec![UNKNOWN; kinds.count * there.count];
        let mut meetings = Meetings {
            starts: vec![0],
            pairs: Vec::new(),
        };
        let taken = &self.passages[passage];
        for (index, state) in self.points[other].states.iter().enumerate() {
            let line = there.of[index] as usize * kinds.count;
            offers.each(state, |own_index| {
                let cell = &mut steps[line + kinds.of[own_index as usize] as usize];
                if *cell == UNKNOWN {
                    // Neither the step nor its rule depends on the direction.
                    *cell = moved(taken, &self.points[own].states[own_index as usize], state);
                }
                if *cell < IMPOSSIBLE {
                    meetings.pairs.push((own_index, *cell));
                }
            });
            meetings.starts.push(meetings.pairs.len());
        }
        meetings
    }
}

/// For each state of the other end of a passage, the own states that it may
/// meet, rising, and what the passage costs between them.
#[derive(Debug)]
pub(super) struct Meetings {
    starts: Vec<usize>,
    pairs: Vec<(u32, Key)>,
}

impl Meetings {
    /// The own states that may meet this state of the other end.
    pub(super) fn line(&self, there: usize) -> &[(u32, Key)] {
        &self.pairs[self.starts[there]..self.starts[there + 1]]
    }
}

/// The first channel that is checked.
struct First {
    channel: usize,
    /// The own states of each label.
    listed: BTreeMap<u32, Vec<u32>>,
    /// Those that have all labels.
    any: Vec<u32>,
}

/// The own states of a passage's end, found by the labels they must share.
struct Offers<'p> {
    passage: &'p Passage,
    states: &'p [State],
    /// Whether the own states come before the others.
    before: bool,
    first: Option<First>,
}

impl<'p> Offers<'p> {
    fn new(passage: &'p Passage, own: usize, states: &'p [State]) -> Offers<'p> {
        let before = passage.from == own;
        let channel = passage.checks.iter().position(|check| *check);
        let first = channel.map(|channel| {
            let (mut listed, mut any) = (BTreeMap::<u32, Vec<u32>>::new(), Vec::new());
            for (index, state) in (0u32..).zip(states) {
                match side(state, channel, before).listed() {
                    None => any.push(index),
                    Some(labels) => labels
                        .iter()
                        .for_each(|label| listed.entry(*label).or_default().push(index)),
                }
            }
            First {
                channel,
                listed,
                any,
            }
        });
        Offers {
            passage,
            states,
            before,
            first,
        }
    }

    /// Names the own states that the labels let meet this one, rising.
    fn each(&self, state: &State, mut found: impl FnMut(u32)) {
        let asked = self.first.as_ref().and_then(|first| {
            let labels = side(state, first.channel, !self.before).listed()?;
            Some((labels, first))
        });
        match asked {
            None => (0..self.states.len() as u32)
                .filter(|&own| self.joins(own, state))
                .for_each(found),
            Some((labels, first)) => {
                let mut fitting: Vec<u32> = labels
                    .iter()
                    .filter_map(|label| first.listed.get(label))
                    .flatten()
                    .copied()
                    .collect();
                fitting.extend(&first.any);
                fitting.sort_unstable();
                fitting.dedup();
                fitting.retain(|&own| self.joins(own, state));
                fitting.into_iter().for_each(&mut found);
            }
        }
    }

    fn joins(&self, own: u32, other: &State) -> bool {
        let own = &self.states[own as usize];
        if self.before {
            self.passage.joins(own, other)
        } else {
            self.passage.joins(other, own)
        }
    }
}

fn side(state: &State, channel: usize, before: bool) -> &Labels {
    let joint = &state.joints[channel];
    if before { &joint.out } else { &joint.into }
}
