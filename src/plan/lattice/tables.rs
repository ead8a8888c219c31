//! Elimination that counts: the least cost for every total weight.
//!
//! As in [`elimination`](super::super::elimination) every open point has a
//! bucket and hands a table on; here a cell of the table is not one cost but a
//! *line* of costs, one for every weight that the points eliminated so far can
//! have together. The lines of several tables are joined by min-plus
//! convolution: the weight is split among them in every way, and the best
//! way kept.

use super::meetings::Meetings;
use super::net::Net;
use crate::plan::cost::{IMPOSSIBLE, Key};
use crate::plan::network::join;
use crate::plan::order::Order;

/// How points depend on one another once their order is fixed.
#[derive(Debug)]
pub(super) struct Tree {
    pub(super) order: Order,
    /// Whose tables are in each point's bucket.
    pub(super) children: Vec<Vec<usize>>,
    /// How many weights (from 0) each point's table distinguishes.
    pub(super) counts: Vec<usize>,
    place: Vec<usize>,
}

impl Tree {
    /// Every point hands its table to the first of its scope; parts of the
    /// lattice that nothing connects hand theirs to the next part, so that the
    /// last point eliminated sees everything.
    pub(super) fn new(net: &Net<'_>, order: Order, most: usize) -> Tree {
        let points = net.points.len();
        let mut tree = Tree {
            children: vec![Vec::new(); points],
            counts: vec![0; points],
            place: vec![usize::MAX; points],
            order,
        };
        for (index, &point) in tree.order.slots.iter().enumerate() {
            tree.place[point] = index;
        }
        let mut apart: Option<usize> = None;
        for &point in &tree.order.slots {
            let scope = tree.order.scopes[point].iter().copied();
            if let Some(parent) = scope.min_by_key(|&other| tree.place[other]) {
                tree.children[parent].push(point);
            } else if let Some(before) = apart.replace(point) {
                tree.children[point].push(before);
            }
        }
        tree.count(net, most);
        tree
    }

    fn count(&mut self, net: &Net<'_>, most: usize) {
        for &point in &self.order.slots {
            let weights = net.points[point].states.iter().map(|state| state.weight);
            let own = weights.max().map_or(0, |weight| weight as usize);
            let below = self.children[point]
                .iter()
                .map(|&child| self.counts[child] - 1);
            let heaviest = below.fold(own, usize::saturating_add);
            self.counts[point] = heaviest.min(most) + 1;
        }
    }

    /// The point eliminated last.
    pub(super) fn root(&self) -> Option<usize> {
        self.order.slots.last().copied()
    }

    /// How many costs all tables hold together.
    pub(super) fn costs(&self, net: &Net<'_>) -> u64 {
        let lines = |&point: &usize| {
            let scope = self.order.scopes[point].iter();
            let sizes = scope.map(|&other| net.points[other].states.len() as u64);
            sizes.fold(self.counts[point] as u64, u64::saturating_mul)
        };
        self.order
            .slots
            .iter()
            .map(lines)
            .fold(0, u64::saturating_add)
    }
}

/// The tables of all points.
#[derive(Debug)]
pub(super) struct Tables<'n> {
    pub(super) net: &'n Net<'n>,
    pub(super) tree: Tree,
    /// Line after line over the scope, the last point of the scope fastest.
    cells: Vec<Vec<Key>>,
}

/// A child's table as its parent's bucket sees it.
#[derive(Debug)]
pub(super) struct Child {
    pub(super) point: usize,
    /// How far its lines lie apart when a point of the bucket's scope, or the
    /// bucket's own point, takes its next state.
    scope: Vec<usize>,
    own: usize,
}

/// What is summed up at one point.
pub(super) struct Bucket<'t> {
    pub(super) point: usize,
    tables: &'t Tables<'t>,
    sizes: Vec<usize>,
    /// The passages to points of the scope, and these points' places in it.
    passages: Vec<(usize, usize)>,
    pub(super) children: Vec<Child>,
}

impl<'n> Tables<'n> {
    /// Eliminates all open points.
    pub(super) fn run(net: &'n Net<'n>, tree: Tree) -> Tables<'n> {
        let mut tables = Tables {
            cells: vec![Vec::new(); net.points.len()],
            net,
            tree,
        };
        for index in 0..tables.tree.order.slots.len() {
            let point = tables.tree.order.slots[index];
            let cells = tables.bucket(point).eliminate();
            tables.cells[point] = cells;
        }
        tables
    }

    /// The least cost for every total weight of the open points.
    pub(super) fn totals(&self) -> &[Key] {
        self.tree.root().map_or(&[0], |root| self.line(root, 0))
    }

    /// The costs in one line of a point's table.
    pub(super) fn line(&self, point: usize, line: usize) -> &[Key] {
        let counts = self.tree.counts[point];
        &self.cells[point][line * counts..(line + 1) * counts]
    }

    pub(super) fn bucket(&self, point: usize) -> Bucket<'_> {
        let scope = &self.tree.order.scopes[point];
        let size = |&other: &usize| self.net.points[other].states.len();
        let passages = self.net.at[point].iter().filter_map(|&index| {
            let other = self.net.other(index, point);
            let later = self.tree.place[other] > self.tree.place[point];
            let place = scope.binary_search(&other).ok();
            place.filter(|_| later).map(|place| (index, place))
        });
        let children = self.tree.children[point].iter();
        Bucket {
            point,
            tables: self,
            sizes: scope.iter().map(size).collect(),
            passages: passages.collect(),
            children: children.map(|&child| self.child(point, child)).collect(),
        }
    }

    fn child(&self, point: usize, child: usize) -> Child {
        let mut strides = Vec::new();
        let mut stride = 1;
        for &slot in self.tree.order.scopes[child].iter().rev() {
            strides.push((slot, stride));
            stride *= self.net.points[slot].states.len();
        }
        let of = |wanted: usize| {
            let found = strides.iter().find(|(slot, _)| *slot == wanted);
            found.map_or(0, |&(_, stride)| stride)
        };
        let scope = self.tree.order.scopes[point].iter();
        Child {
            point: child,
            scope: scope.map(|&slot| of(slot)).collect(),
            own: of(point),
        }
    }
}

impl Child {
    /// The line of the child's table, given the states of the bucket's scope.
    fn base(&self, taken: &[usize]) -> usize {
        self.scope
            .iter()
            .zip(taken)
            .map(|(stride, state)| stride * state)
            .sum()
    }
}

impl<'t> Bucket<'t> {
    fn eliminate(&self) -> Vec<Key> {
        let counts = self.tables.tree.counts[self.point];
        let lines: usize = self.sizes.iter().product();
        let meetings: Vec<(Meetings, usize)> = self
            .passages
            .iter()
            .map(|&(index, place)| (self.tables.net.meetings(index, self.point), place))
            .collect();
        let mut table = vec![IMPOSSIBLE; lines * counts];
        let mut taken = vec![0; self.sizes.len()];
        let (mut own, mut room) = (Vec::new(), Convolution::default());
        for line in table.chunks_exact_mut(counts) {
            self.meet(&meetings, &taken, &mut own);
            self.minimise(&taken, &own, line, &mut room);
            self.advance(&mut taken);
        }
        table
    }

    /// The own states that may meet the states of the scope, and their costs
    /// beside them.
    fn meet(&self, meetings: &[(Meetings, usize)], taken: &[usize], own: &mut Vec<(u32, Key)>) {
        let alone = &self.tables.net.alone[self.point];
        own.clear();
        let Some(((first, place), others)) = meetings.split_first() else {
            own.extend((0..).zip(alone.iter().copied()));
            return;
        };
        let line = first.line(taken[*place]).iter();
        own.extend(line.map(|&(state, key)| (state, join(key, alone[state as usize]))));
        for (meeting, place) in others {
            let mut line = meeting.line(taken[*place]).iter().peekable();
            own.retain_mut(|(state, key)| {
                while line.next_if(|(other, _)| other < state).is_some() {}
                let met = line.next_if(|(other, _)| other == state);
                met.inspect(|(_, more)| *key = join(*key, *more)).is_some()
            });
        }
    }

    /// Lowers a line of the own table to the best of these states.
    fn minimise(
        &self,
        taken: &[usize],
        own: &[(u32, Key)],
        line: &mut [Key],
        room: &mut Convolution,
    ) {
        let bases: Vec<usize> = self
            .children
            .iter()
            .map(|child| child.base(taken))
            .collect();
        let states = &self.tables.net.points[self.point].states;
        for &(state, key) in own.iter().filter(|(_, key)| *key < IMPOSSIBLE) {
            let weight = states[state as usize].weight as usize;
            let Some(line) = line.get_mut(weight..) else {
                continue;
            };
            let below = self.children.iter().zip(&bases).map(|(child, base)| {
                let cell = base + child.own * state as usize;
                self.tables.line(child.point, cell)
            });
            let sums = room.of(below, line.len());
            for (least, sum) in line.iter_mut().zip(sums) {
                *least = (*least).min(join(key, *sum));
            }
        }
    }

    /// Counts the scope's states up by one, the last point fastest.
    fn advance(&self, taken: &mut [usize]) {
        for (state, &size) in taken.iter_mut().zip(&self.sizes).rev() {
            *state += 1;
            if *state < size {
                return;
            }
            *state = 0;
        }
    }

    /// The states of the scope in this line of the own table.
    pub(super) fn taken(&self, mut line: usize) -> Vec<usize> {
        let mut taken = vec![0; self.sizes.len()];
        for (state, &size) in taken.iter_mut().zip(&self.sizes).rev() {
            *state = line % size;
            line /= size;
        }
        taken
    }

    /// What an own state costs beside the states of the scope.
    pub(super) fn key(&self, taken: &[usize], state: usize) -> Key {
        let alone = self.tables.net.alone[self.point][state];
        let passages = self.passages.iter();
        let keys = passages.map(|&(index, place)| {
            let net = self.tables.net;
            net.key(index, self.point, state, taken[place])
        });
        keys.fold(alone, join)
    }

    /// The lines of the children's tables that an own state leads to.
    pub(super) fn below(&self, taken: &[usize], state: usize) -> Vec<usize> {
        let children = self.children.iter();
        children
            .map(|child| child.base(taken) + child.own * state)
            .collect()
    }
}

/// Room for convolutions, kept from one to the next.
#[derive(Default)]
struct Convolution {
    sums: Vec<Key>,
    next: Vec<Key>,
}

impl Convolution {
    /// The least sums of the lines for every total weight below `counts`.
    fn of<'s>(
        &'s mut self,
        mut lines: impl Iterator<Item = &'s [Key]>,
        counts: usize,
    ) -> &'s [Key] {
        let Some(first) = lines.next() else {
            return &[0];
        };
        let Some(second) = lines.next() else {
            return first;
        };
        convolve(first, second, counts, &mut self.sums);
        for line in lines {
            convolve(&self.sums, line, counts, &mut self.next);
            std::mem::swap(&mut self.sums, &mut self.next);
        }
        &self.sums
    }
}

/// For every weight below `counts` the least sum of an entry of `a` and an
/// entry of `b` whose weights add up to it.
pub(super) fn convolve(a: &[Key], b: &[Key], counts: usize, sums: &mut Vec<Key>) {
    sums.clear();
    sums.resize(
        counts.min((a.len() + b.len()).saturating_sub(1)),
        IMPOSSIBLE,
    );
    for (weight, &a) in a.iter().enumerate().filter(|(_, key)| **key < IMPOSSIBLE) {
        for (sum, &b) in sums.iter_mut().skip(weight).zip(b) {
            *sum = (*sum).min(join(a, b));
        }
    }
}
