//! A chord that can't carry what the melody sings over it.

use crate::chart::MiddleC;
use crate::pitch::{Degree, Note};

/// A chord, and the notes of the melody that it can't carry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Uncarried {
    /// The chord symbol.
    pub symbol: String,
    /// The slots it stands in, rising: more than one where the same notes stand over it again.
    pub slots: Vec<usize>,
    /// Their written bars, each once.
    pub bars: Vec<usize>,
    /// The notes, in the order they are first heard, each once, with what they would be in the chord.
    pub notes: Vec<(Note, Degree)>,
    /// Whether one of them lasts: see [`lasts`](crate::harmony::lasts). The others lean on the chord for a beat.
    pub held: bool,
    /// How the page counts octaves.
    pub middle_c: MiddleC,
}

impl Uncarried {
    fn is_alike(&self, other: &Self) -> bool {
        self.symbol == other.symbol && self.notes == other.notes
    }
}

/// What is alike put together, at its first place.
pub(super) fn gathered(each: Vec<Uncarried>) -> Vec<Uncarried> {
    let mut all: Vec<Uncarried> = Vec::new();
    for one in each {
        match all.iter_mut().find(|known| known.is_alike(&one)) {
            Some(known) => {
                known.slots.extend(one.slots);
                known.bars.extend(one.bars);
                known.bars.dedup();
                known.held |= one.held;
            }
            None => all.push(one),
        }
    }
    all
}
