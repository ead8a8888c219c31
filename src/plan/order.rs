//! In which order the slots are eliminated.
//!
//! Eliminating a slot joins all its neighbours in one table, and from then on
//! they are neighbours of each other. Taking the slot with the fewest neighbours first
//! (minimum degree) keeps the tables small on graphs that are nearly chains,
//! as repeats, endings and jumps make them.

use super::network::Folded;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// An order of elimination and what it leads to.
#[derive(Debug, Default)]
pub(super) struct Order {
    /// The open slots as they are eliminated.
    pub(super) slots: Vec<usize>,
    /// For each open slot its neighbours when it is eliminated, rising.
    pub(super) scopes: Vec<Vec<usize>>,
    /// The size of the largest scope.
    pub(super) width: usize,
}

/// Slots left over because every table would be too large.
#[derive(Debug)]
pub(super) struct Stuck {
    /// The least number of neighbours any of them has.
    pub(super) width: usize,
}

/// What the order depends on: how many candidates each slot has, and which
/// slots share a table with it.
#[derive(Debug)]
pub(super) struct Web {
    /// The number of candidates of each slot.
    pub(super) sizes: Vec<u64>,
    /// The open neighbours of each slot, rising; none for a slot not open.
    pub(super) neighbours: Vec<Vec<usize>>,
    /// Whether the slot is to be eliminated at all.
    pub(super) open: Vec<bool>,
}

impl Web {
    fn of(folded: &Folded<'_>) -> Web {
        let slots = 0..folded.held.len();
        let size = |slot| folded.size(slot) as u64;
        Web {
            sizes: slots.clone().map(size).collect(),
            neighbours: slots.map(|slot| neighbours(folded, slot)).collect(),
            open: folded.held.iter().map(Option::is_none).collect(),
        }
    }
}

struct Elimination {
    sizes: Vec<u64>,
    cells: u64,
    neighbours: Vec<Vec<usize>>,
    done: Vec<bool>,
    /// Fewest neighbours first, and the last slot among those. An entry is
    /// stale once the slot's number of neighbours has changed.
    heap: BinaryHeap<(Reverse<usize>, usize)>,
    order: Order,
}

/// Orders all open slots so that no table has more than `cells` cells.
///
/// Of several slots with the fewest neighbours the last is eliminated first:
/// on a chain or a loop the order is then from the last slot to the first.
/// Time is in proportion to the slots, with a logarithm, as long as the tables are bounded.
pub(super) fn order(folded: &Folded<'_>, cells: u64) -> Result<Order, Stuck> {
    order_web(Web::of(folded), cells)
}

/// [`order`] of slots that are given by their sizes and neighbours.
pub(super) fn order_web(web: Web, cells: u64) -> Result<Order, Stuck> {
    let mut elimination = Elimination::new(web, cells);
    elimination.run();
    elimination.finish()
}

/// Like [`order`]; where it gets stuck, slots are taken out of the graph in
/// the order of `preferred`, which must name every slot.
/// Returns the slots taken out.
pub(super) fn take_out(folded: &Folded<'_>, cells: u64, preferred: &[usize]) -> Vec<usize> {
    take_out_web(Web::of(folded), cells, preferred)
}

/// [`take_out`] of slots that are given by their sizes and neighbours.
pub(super) fn take_out_web(web: Web, cells: u64, preferred: &[usize]) -> Vec<usize> {
    let mut elimination = Elimination::new(web, cells);
    let mut out = Vec::new();
    elimination.run();
    for &slot in preferred {
        if !elimination.done[slot] {
            elimination.remove(slot);
            out.push(slot);
            elimination.run();
        }
    }
    out
}

impl Elimination {
    fn new(web: Web, cells: u64) -> Elimination {
        let degree = |slot: usize| (Reverse(web.neighbours[slot].len()), slot);
        let open = (0..web.open.len()).filter(|&slot| web.open[slot]);
        Elimination {
            cells,
            done: web.open.iter().map(|open| !open).collect(),
            heap: open.map(degree).collect(),
            order: Order {
                scopes: vec![Vec::new(); web.neighbours.len()],
                ..Order::default()
            },
            sizes: web.sizes,
            neighbours: web.neighbours,
        }
    }

    fn run(&mut self) {
        while let Some((Reverse(degree), slot)) = self.heap.pop() {
            // A slot whose table is too large is dropped here; it comes back
            // when one of its neighbours is eliminated.
            let stale = self.done[slot] || self.neighbours[slot].len() != degree;
            if !stale && self.fits(slot) {
                self.eliminate(slot);
            }
        }
    }

    fn fits(&self, slot: usize) -> bool {
        let others = self.neighbours[slot].iter();
        let mut sizes = others.chain([&slot]).map(|&slot| self.sizes[slot]);
        let cells = sizes.try_fold(1u64, u64::checked_mul);
        cells.is_some_and(|cells| cells <= self.cells)
    }

    fn eliminate(&mut self, slot: usize) {
        let scope = self.remove(slot);
        for &neighbour in &scope {
            let others = scope.iter().copied().filter(|&other| other != neighbour);
            for other in others {
                if let Err(place) = self.neighbours[neighbour].binary_search(&other) {
                    self.neighbours[neighbour].insert(place, other);
                }
            }
            self.push(neighbour);
        }
        self.order.width = self.order.width.max(scope.len());
        self.order.slots.push(slot);
        self.order.scopes[slot] = scope;
    }

    /// Takes a slot out of the graph and returns what its neighbours were.
    fn remove(&mut self, slot: usize) -> Vec<usize> {
        self.done[slot] = true;
        let scope = std::mem::take(&mut self.neighbours[slot]);
        for &neighbour in &scope {
            if let Ok(place) = self.neighbours[neighbour].binary_search(&slot) {
                self.neighbours[neighbour].remove(place);
            }
            self.push(neighbour);
        }
        scope
    }

    fn push(&mut self, slot: usize) {
        self.heap.push((Reverse(self.neighbours[slot].len()), slot));
    }

    fn finish(self) -> Result<Order, Stuck> {
        let left = self
            .done
            .iter()
            .zip(&self.neighbours)
            .filter(|(done, _)| !**done);
        match left.map(|(_, neighbours)| neighbours.len()).min() {
            Some(width) => Err(Stuck { width }),
            None => Ok(self.order),
        }
    }
}

fn neighbours(folded: &Folded<'_>, slot: usize) -> Vec<usize> {
    let links = folded.links[slot].iter();
    let mut others: Vec<usize> = links
        .map(|&link| folded.network.links[link].other(slot))
        .collect();
    others.sort_unstable();
    others
}
