//! The price of every candidate of a graph: a second pass over the buckets,
//! from the slots eliminated last to those eliminated first.
//!
//! The first pass told each bucket what the slots eliminated before it cost. The
//! second tells it what all the others cost, as a function of the
//! bucket's scope. Both together make every bucket's sums whole: the
//! least sum in which a candidate occurs is the cost of the best plan with it.

use super::cost::{IMPOSSIBLE, Key};
use super::elimination::Elimination;
use super::network::join;

impl Elimination<'_> {
    /// The least total for each candidate of each slot, packed like the
    /// candidates; [`IMPOSSIBLE`] if there is none.
    pub(super) fn min_marginals(&self) -> Vec<Key> {
        let mut prices = vec![IMPOSSIBLE; self.folded.own.len()];
        let place = self.places();
        // What lies outside each slot's table, over the same scope.
        let mut outside: Vec<Vec<Key>> = vec![Vec::new(); place.len()];
        for &slot in self.order.slots.iter().rev() {
            let mut outer = std::mem::take(&mut outside[slot]);
            if self.order.scopes[slot].is_empty() {
                outer = vec![without(self.total, self.tables[slot][0])];
            }
            let span = self.folded.network.packed.span(slot);
            self.hand_down(slot, &place, &outer, &mut outside, &mut prices[span]);
        }
        self.price_held(&mut prices);
        prices
    }

    fn hand_down(
        &self,
        slot: usize,
        place: &[usize],
        outer: &[Key],
        outside: &mut [Vec<Key>],
        prices: &mut [Key],
    ) {
        let children = &self.children[slot];
        for &child in children {
            outside[child] = vec![IMPOSSIBLE; self.tables[child].len()];
        }
        self.each_line(slot, place, |line| {
            for (index, &sum) in line.sums.iter().enumerate() {
                let whole = join(sum, outer[line.cell]);
                prices[index] = prices[index].min(whole);
                for (which, &child) in children.iter().enumerate() {
                    let cell = line.child_cells[which] + index * line.child_strides[which];
                    outside[child][cell] = outside[child][cell].min(whole);
                }
            }
        });
        // The child's own table is the same in all sums of a cell, so it can
        // be taken out of their minimum.
        for &child in children {
            for (cell, &own) in outside[child].iter_mut().zip(&self.tables[child]) {
                *cell = without(*cell, own);
            }
        }
    }

    fn price_held(&self, prices: &mut [Key]) {
        for (slot, held) in self.folded.held.iter().enumerate() {
            if let Some(candidate) = held {
                prices[self.folded.network.packed.span(slot).start + candidate] = self.total;
            }
        }
    }
}

fn without(sum: Key, part: Key) -> Key {
    if sum >= IMPOSSIBLE || part >= IMPOSSIBLE {
        return IMPOSSIBLE;
    }
    sum - part
}
