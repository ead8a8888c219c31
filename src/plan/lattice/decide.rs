//! From the tables back to states: of all choices of least cost the one that
//! comes first, point by point in the order of the page.
//!
//! Points are not eliminated in the order of the page, so deciding them one by
//! one backwards would prefer another choice. Instead, from the last point
//! eliminated to the first, all *wishes* are collected: the lines and
//! weights of each table that some choice of least cost goes through, with all
//! *ways* to fulfil them. Then, in the order of elimination, each
//! wish keeps the way that comes first. That is exact, because the points below
//! the children of a bucket are all different: if one of two part-choices comes
//! before the other, it does so whatever the other points take.
//!
//! Both passes go through lists instead of recursing: a page may be long.

use super::tables::{Bucket, Tables, convolve};
use crate::plan::cost::{IMPOSSIBLE, Key};
use crate::plan::network::join;
use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

/// A cost to be reached: a line of a point's table, and a weight in it.
type Wish = (usize, usize);

/// A state with which a wish can be fulfilled.
struct Way {
    state: usize,
    /// The weight left for the children together.
    rest: usize,
    /// The lines of the children's tables.
    below: Vec<usize>,
    /// For each child, how the weight of the children up to it may be split.
    splits: Vec<Vec<Split>>,
}

/// `total` is what the children up to this one weigh, `part` what this one does.
#[derive(Clone, Copy)]
struct Split {
    total: usize,
    part: usize,
}

/// A fulfilled wish: the state of a point, and the nodes of its children.
struct Node {
    point: usize,
    state: usize,
    below: Vec<usize>,
}

/// The choices that come first among those of least cost, one for each of
/// these weights of the open points; the other points take their only state.
/// All weights must be possible.
pub(super) fn first_choices(tables: &Tables<'_>, weights: &[usize]) -> Vec<Vec<usize>> {
    let Some(root) = tables.tree.root() else {
        return vec![vec![0; tables.net.points.len()]; weights.len()];
    };
    let mut decision = Decision::new(tables);
    let wishes = weights.iter().map(|&weight| (0, weight));
    decision.wishes[root].extend(wishes);
    decision.collect();
    decision.keep_first();
    let node = |&weight| decision.choice(decision.ids[root][&(0, weight)]);
    weights.iter().map(node).collect()
}

struct Decision<'t> {
    tables: &'t Tables<'t>,
    /// The first point of the page among each point and those below it.
    first: Vec<usize>,
    wishes: Vec<BTreeSet<Wish>>,
    ways: Vec<Vec<Vec<Way>>>,
    nodes: Vec<Node>,
    ids: Vec<BTreeMap<Wish, usize>>,
}

impl<'t> Decision<'t> {
    fn new(tables: &'t Tables<'t>) -> Decision<'t> {
        let points = tables.net.points.len();
        let mut first: Vec<usize> = (0..points).collect();
        for &point in &tables.tree.order.slots {
            let below = tables.tree.children[point].iter();
            first[point] = below.map(|&child| first[child]).fold(point, usize::min);
        }
        Decision {
            tables,
            first,
            wishes: vec![BTreeSet::new(); points],
            ways: (0..points).map(|_| Vec::new()).collect(),
            nodes: Vec::new(),
            ids: vec![BTreeMap::new(); points],
        }
    }

    /// Collects wishes and ways, parents before their children.
    fn collect(&mut self) {
        for &point in self.tables.tree.order.slots.iter().rev() {
            let bucket = self.tables.bucket(point);
            let wishes = self.wishes[point].iter();
            let ways: Vec<Vec<Way>> = wishes.map(|&wish| self.ways_of(&bucket, wish)).collect();
            for way in ways.iter().flatten() {
                let below = bucket.children.iter().zip(&way.below).zip(&way.splits);
                for ((child, &line), splits) in below {
                    let parts = splits.iter().map(|split| (line, split.part));
                    self.wishes[child.point].extend(parts);
                }
            }
            self.ways[point] = ways;
        }
    }

    fn ways_of(&self, bucket: &Bucket<'_>, (line, weight): Wish) -> Vec<Way> {
        let taken = bucket.taken(line);
        let least = self.tables.line(bucket.point, line)[weight];
        let states = self.tables.net.points[bucket.point]
            .states
            .iter()
            .enumerate();
        let ways = states.filter_map(|(state, own)| {
            let rest = weight.checked_sub(own.weight as usize)?;
            let key = bucket.key(&taken, state);
            let below = bucket.below(&taken, state);
            let splits =
                (key < IMPOSSIBLE).then(|| self.splits(bucket, &below, rest, (key, least)))??;
            Some(Way {
                state,
                rest,
                below,
                splits,
            })
        });
        // If nothing below comes earlier on the page, the first state decides.
        let alone = self.first[bucket.point] == bucket.point;
        ways.take(if alone { 1 } else { usize::MAX }).collect()
    }

    /// How the children can share the rest so that with `key` it makes `least`.
    fn splits(
        &self,
        bucket: &Bucket<'_>,
        below: &[usize],
        rest: usize,
        (key, least): (Key, Key),
    ) -> Option<Vec<Vec<Split>>> {
        let children = bucket.children.iter().zip(below);
        let lines: Vec<&[Key]> = children
            .map(|(child, &line)| self.tables.line(child.point, line))
            .collect();
        let mut sums = vec![vec![0]];
        for (line, place) in lines.iter().zip(0..) {
            let mut next = Vec::new();
            convolve(&sums[place], line, rest + 1, &mut next);
            sums.push(next);
        }
        let reached = sums.last().and_then(|sums| sums.get(rest));
        reached.filter(|sum| join(key, **sum) == least)?;
        Some(trace(&sums, &lines, rest))
    }

    /// Fulfils all wishes in the way that comes first, children before their parents.
    fn keep_first(&mut self) {
        for &point in &self.tables.tree.order.slots {
            let ways = std::mem::take(&mut self.ways[point]);
            let wishes = std::mem::take(&mut self.wishes[point]);
            for (wish, ways) in wishes.into_iter().zip(ways) {
                if let Some(node) = self.first_way(point, &ways) {
                    self.ids[point].insert(wish, self.nodes.len());
                    self.nodes.push(node);
                }
            }
        }
    }

    fn first_way(&self, point: usize, ways: &[Way]) -> Option<Node> {
        let nodes = ways.iter().filter_map(|way| {
            Some(Node {
                point,
                state: way.state,
                below: self.first_split(point, way)?,
            })
        });
        nodes.reduce(|best, node| match self.compare(&node, &best) {
            Ordering::Less => node,
            _ => best,
        })
    }

    /// The children's nodes that come first, over all ways to split the weight.
    fn first_split(&self, point: usize, way: &Way) -> Option<Vec<usize>> {
        let mut best = BTreeMap::from([(0, Vec::new())]);
        let children = self.tables.tree.children[point].iter();
        for ((&child, &line), splits) in children.zip(&way.below).zip(&way.splits) {
            let mut next: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
            for split in splits {
                let before = best.get(&(split.total - split.part));
                let node = self.ids[child].get(&(line, split.part));
                let (Some(before), Some(&node)) = (before, node) else {
                    continue;
                };
                let mut nodes = before.clone();
                nodes.push(node);
                let known = next.get(&split.total);
                if known.is_none_or(|known| self.differ(&nodes, known).1 == Ordering::Less) {
                    next.insert(split.total, nodes);
                }
            }
            best = next;
        }
        best.remove(&way.rest)
    }

    /// Which of two nodes of the same point comes first on the page.
    fn compare(&self, a: &Node, b: &Node) -> Ordering {
        let below = self.differ(&a.below, &b.below);
        let here = (a.point, a.state.cmp(&b.state));
        let earlier = here.1 != Ordering::Equal && here.0 < below.0;
        if earlier { here.1 } else { below.1 }
    }

    /// The first point of the page at which two lists of nodes, of the same points one by
    /// one, take different states. Goes only through what differs.
    fn differ(&self, a: &[usize], b: &[usize]) -> (usize, Ordering) {
        let mut found = (usize::MAX, Ordering::Equal);
        let mut open: Vec<(usize, usize)> = a.iter().copied().zip(b.iter().copied()).collect();
        while let Some((a, b)) = open.pop() {
            let (one, other) = (&self.nodes[a], &self.nodes[b]);
            if a == b || self.first[one.point] >= found.0 {
                continue;
            }
            if one.state != other.state && one.point < found.0 {
                found = (one.point, one.state.cmp(&other.state));
            }
            open.extend(one.below.iter().copied().zip(other.below.iter().copied()));
        }
        found
    }

    fn choice(&self, root: usize) -> Vec<usize> {
        let mut choice = vec![0; self.tables.net.points.len()];
        let mut open = vec![root];
        while let Some(node) = open.pop().map(|id| &self.nodes[id]) {
            choice[node.point] = node.state;
            open.extend(&node.below);
        }
        choice
    }
}

/// For each line all splits that lie on a way to the least sum of all for `rest`.
fn trace(sums: &[Vec<Key>], lines: &[&[Key]], rest: usize) -> Vec<Vec<Split>> {
    let mut splits = vec![Vec::new(); lines.len()];
    let mut wanted = BTreeSet::from([rest]);
    for (place, line) in lines.iter().enumerate().rev() {
        let mut before = BTreeSet::new();
        for &total in &wanted {
            for (part, &key) in line.iter().enumerate().take(total + 1) {
                let sum = sums[place].get(total - part).map(|&sum| join(sum, key));
                if sum.is_some_and(|sum| sum == sums[place + 1][total] && sum < IMPOSSIBLE) {
                    splits[place].push(Split { total, part });
                    before.insert(total - part);
                }
            }
        }
        wanted = before;
    }
    splits
}
