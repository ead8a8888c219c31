//! A page as the rules look at it: slots in a row, how they are played, and what is home.

use crate::arrange::Problem;
use crate::chart::Slot;
use crate::chord::Chord;
use crate::harmony::chord_kind::RootAndKind;
use crate::pitch::{Key, PitchClass};
use crate::reharm::phrase::Phrases;

/// A page for the rules.
pub(super) struct HeldPage<'p> {
    pub problem: &'p Problem<'p>,
    pub phrases: Phrases,
}

impl<'p> HeldPage<'p> {
    pub fn of(problem: &'p Problem<'p>) -> Self {
        Self {
            problem,
            phrases: Phrases::of(&problem.slots),
        }
    }

    pub fn slot(&self, at: usize) -> Option<&'p Slot> {
        self.problem.slots.get(at)
    }

    pub fn chord(&self, at: usize) -> Option<&'p Chord> {
        self.slot(at)?.symbol.chord()
    }

    pub fn key(&self, at: usize) -> Option<Key> {
        self.problem.keys.get(at).copied().flatten()
    }

    /// Whether a slot's chord is the tonic of its key, or the I7 of a blues.
    pub fn is_tonic(&self, at: usize) -> bool {
        let context = self.problem.contexts.get(at);
        let root = self.chord(at).map(|chord| RootAndKind::of(chord).root);
        let tonic = self.key(at).map(|key| key.tonic().class().number());
        context.is_some_and(|context| context.tonic || context.blues && root == tonic)
    }

    /// The slots in the order they are played.
    pub fn visits(&self) -> &'p [usize] {
        self.problem.performance.visits()
    }

    /// The slots with a chord that only ever follow each other, run by run; in each run every chord with
    /// the slots in a row that carry it.
    pub fn runs(&self) -> Vec<Vec<ChordRun<'p>>> {
        let mut runs: Vec<Vec<ChordRun<'p>>> = Vec::new();
        let mut before: Option<usize> = None;
        for at in 0..self.problem.slots.len() {
            let Some(chord) = self.chord(at) else {
                before = None;
                continue;
            };
            let goes_on = before.is_some_and(|before| self.problem.performance.joins(before, at));
            before = Some(at);
            match runs.last_mut().filter(|_| goes_on) {
                Some(run) => match run.last_mut() {
                    Some(last) if last.chord.symbol() == chord.symbol() => last.slots.push(at),
                    _ => run.push(ChordRun::of(chord, at)),
                },
                None => runs.push(vec![ChordRun::of(chord, at)]),
            }
        }
        runs
    }
}

/// A chord with the slots in a row that carry it.
pub(super) struct ChordRun<'p> {
    pub chord: &'p Chord,
    pub slots: Vec<usize>,
}

impl<'p> ChordRun<'p> {
    fn of(chord: &'p Chord, at: usize) -> Self {
        let slots = vec![at];
        Self { chord, slots }
    }

    /// The pitch class in the bass.
    pub fn bass(&self) -> PitchClass {
        self.chord.lowest().class()
    }

    /// Whether it stands over another bass than its root.
    pub fn is_slash(&self) -> bool {
        self.bass() != self.chord.root().class()
    }
}
