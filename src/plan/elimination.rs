//! Variable elimination: the exact least cost over a graph of slots.
//!
//! Every open slot has a *bucket*: its candidates' own costs, its links to
//! slots that are eliminated later, and the tables handed to it by slots
//! eliminated before. The bucket of slot v is a function of v's candidate and of the
//! candidates of its scope (its neighbours at that moment). Minimising it over
//! v gives a table over the scope, which goes to the bucket of the scope's
//! slot that is eliminated next. Since sums may be minimised one variable
//! after the other, the last tables add up to the least cost of all.

use super::cost::{IMPOSSIBLE, Key};
use super::network::{Folded, join};
use super::order::Order;

/// The result of eliminating all slots.
#[derive(Debug)]
pub(super) struct Elimination<'a> {
    pub(super) folded: Folded<'a>,
    pub(super) order: Order,
    /// The table that each slot hands on, over its scope, the last slot of the
    /// scope counting fastest.
    pub(super) tables: Vec<Vec<Key>>,
    /// Whose tables are in each slot's bucket.
    pub(super) children: Vec<Vec<usize>>,
    /// The least cost of all, [`IMPOSSIBLE`] if the rules leave nothing.
    pub(super) total: Key,
}

/// One summand of a bucket: a table, and how far apart its cells lie when a
/// slot of the scope, or the bucket's own slot, takes its next candidate.
struct Summand<'t> {
    cells: std::borrow::Cow<'t, [Key]>,
    scope: Vec<usize>,
    own: usize,
}

/// One line of a bucket: all candidates of its slot, with the scope fixed.
pub(super) struct Line<'l> {
    /// The cell of the bucket's own table.
    pub(super) cell: usize,
    /// The bucket's sum for each candidate.
    pub(super) sums: &'l [Key],
    /// For each child in the bucket: its cell at the first candidate.
    pub(super) child_cells: &'l [usize],
    /// For each child: how far its cells lie apart.
    pub(super) child_strides: &'l [usize],
}

impl<'a> Elimination<'a> {
    /// Eliminates the open slots in this order.
    pub(super) fn run(folded: Folded<'a>, order: Order) -> Elimination<'a> {
        let slots = folded.held.len();
        let mut elimination = Elimination {
            total: folded.constant,
            folded,
            tables: vec![Vec::new(); slots],
            children: vec![Vec::new(); slots],
            order,
        };
        let place = elimination.places();
        for index in 0..elimination.order.slots.len() {
            let slot = elimination.order.slots[index];
            let mut table = Vec::new();
            elimination.each_line(slot, &place, |line| {
                table.push(line.sums.iter().copied().min().unwrap_or(IMPOSSIBLE));
            });
            match elimination.parent(slot, &place) {
                Some(parent) => elimination.children[parent].push(slot),
                None => elimination.total = join(elimination.total, table[0]),
            }
            elimination.tables[slot] = table;
        }
        elimination
    }

    /// Each slot's place in the order.
    pub(super) fn places(&self) -> Vec<usize> {
        let mut place = vec![usize::MAX; self.folded.held.len()];
        for (index, &slot) in self.order.slots.iter().enumerate() {
            place[slot] = index;
        }
        place
    }

    fn parent(&self, slot: usize, place: &[usize]) -> Option<usize> {
        let scope = self.order.scopes[slot].iter().copied();
        scope.min_by_key(|&other| place[other])
    }

    /// Goes through the bucket of a slot, line by line in the order of the
    /// slot's own table.
    pub(super) fn each_line(&self, slot: usize, place: &[usize], mut visit: impl FnMut(Line<'_>)) {
        let scope = &self.order.scopes[slot];
        let sizes: Vec<usize> = scope.iter().map(|&other| self.folded.size(other)).collect();
        let summands = self.summands(slot, place);
        let children = self.children[slot].len();
        let strides: Vec<usize> = summands[..children].iter().map(|s| s.own).collect();
        let mut bases = vec![0; summands.len()];
        let mut taken = vec![0; scope.len()];
        let own = &self.folded.own[self.folded.network.packed.span(slot)];
        let mut sums = own.to_vec();
        let lines: usize = sizes.iter().product();
        for cell in 0..lines {
            sums.copy_from_slice(own);
            for (summand, &base) in summands.iter().zip(&bases) {
                add_line(&mut sums, &summand.cells[base..], summand.own);
            }
            visit(Line {
                cell,
                sums: &sums,
                child_cells: &bases[..children],
                child_strides: &strides,
            });
            advance(&mut taken, &sizes, &mut bases, &summands);
        }
    }

    /// The children's tables, then the links to slots eliminated later.
    fn summands(&self, slot: usize, place: &[usize]) -> Vec<Summand<'_>> {
        let scope = &self.order.scopes[slot];
        let children = self.children[slot].iter().map(|&child| {
            let strides = self.strides(&self.order.scopes[child]);
            let stride = |wanted: &usize| {
                let found = strides.iter().find(|(slot, _)| slot == wanted);
                found.map_or(0, |&(_, stride)| stride)
            };
            Summand {
                cells: (&self.tables[child][..]).into(),
                scope: scope.iter().map(stride).collect(),
                own: stride(&slot),
            }
        });
        let links = self.folded.links[slot].iter().filter_map(|&index| {
            let link = &self.folded.network.links[index];
            let other = link.other(slot);
            (place[other] > place[slot]).then(|| self.link_summand(slot, index))
        });
        children.chain(links).collect()
    }

    fn link_summand(&self, slot: usize, index: usize) -> Summand<'_> {
        let packed = &self.folded.network.packed;
        let link = &self.folded.network.links[index];
        let other = link.other(slot);
        let own = self.folded.size(slot);
        let mut cells = Vec::with_capacity(own * self.folded.size(other));
        for there in packed.span(other) {
            let row = packed.row(there);
            cells.extend(
                packed
                    .span(slot)
                    .map(|here| link.key(row, packed.row(here))),
            );
        }
        let scope = self.order.scopes[slot].iter();
        Summand {
            cells: cells.into(),
            scope: scope.map(|&s| if s == other { own } else { 0 }).collect(),
            own: 1,
        }
    }

    /// How far apart the cells of a table over these slots lie.
    fn strides(&self, scope: &[usize]) -> Vec<(usize, usize)> {
        let mut stride = 1;
        let mut strides = Vec::with_capacity(scope.len());
        for &slot in scope.iter().rev() {
            strides.push((slot, stride));
            stride *= self.folded.size(slot);
        }
        strides
    }

    /// The sums of a slot's bucket once its scope is decided.
    pub(super) fn decided_line(&self, slot: usize, place: &[usize], choice: &[usize]) -> Vec<Key> {
        let packed = &self.folded.network.packed;
        let mut sums = self.folded.own[packed.span(slot)].to_vec();
        for &child in &self.children[slot] {
            let strides = self.strides(&self.order.scopes[child]);
            let others = strides.iter().filter(|(other, _)| *other != slot);
            let base: usize = others.map(|&(other, stride)| choice[other] * stride).sum();
            let own = strides
                .iter()
                .find(|(other, _)| *other == slot)
                .map_or(0, |s| s.1);
            add_line(&mut sums, &self.tables[child][base..], own);
        }
        for &index in &self.folded.links[slot] {
            let link = &self.folded.network.links[index];
            let other = link.other(slot);
            if place[other] > place[slot] {
                let row = packed.row(packed.span(other).start + choice[other]);
                for (sum, here) in sums.iter_mut().zip(packed.span(slot)) {
                    *sum = join(*sum, link.key(row, packed.row(here)));
                }
            }
        }
        sums
    }

    /// The choice of the held slots; zero for the others.
    pub(super) fn undecided(&self) -> Vec<usize> {
        self.folded
            .held
            .iter()
            .map(|held| held.unwrap_or(0))
            .collect()
    }

    /// Decides the slots from the one eliminated last to the one eliminated
    /// first, starting at place `from` of that sequence; each takes the lowest
    /// index of those that keep the cost least.
    pub(super) fn decide(&self, place: &[usize], choice: &mut [usize], from: usize) {
        for &slot in self.order.slots.iter().rev().skip(from) {
            let sums = self.decided_line(slot, place, choice);
            let least = sums.iter().enumerate().min_by_key(|(_, sum)| **sum);
            choice[slot] = least.map_or(0, |(index, _)| index);
        }
    }
}

fn add_line(sums: &mut [Key], cells: &[Key], stride: usize) {
    if stride == 1 {
        for (sum, &cell) in sums.iter_mut().zip(cells) {
            *sum = join(*sum, cell);
        }
    } else {
        for (sum, &cell) in sums.iter_mut().zip(cells.iter().step_by(stride)) {
            *sum = join(*sum, cell);
        }
    }
}

/// Counts the scope's candidates up by one, the last slot fastest.
fn advance(taken: &mut [usize], sizes: &[usize], bases: &mut [usize], summands: &[Summand<'_>]) {
    for place in (0..taken.len()).rev() {
        taken[place] += 1;
        if taken[place] < sizes[place] {
            for (base, summand) in bases.iter_mut().zip(summands) {
                *base += summand.scope[place];
            }
            return;
        }
        taken[place] = 0;
        for (base, summand) in bases.iter_mut().zip(summands) {
            *base -= summand.scope[place] * (sizes[place] - 1);
        }
    }
}
