//! Variable elimination: the exact least cost over a model.
//!
//! Every variable has a *bucket*: what its rows cost by themselves, its links to variables eliminated
//! later, and the tables handed to it by variables eliminated before. The bucket of variable v is a
//! function of v's row and of the rows of its scope, its neighbours at that moment. Minimising it over v
//! gives a table over the scope, which goes to the bucket of the scope's variable that is eliminated
//! next. Since sums may be minimised one variable after the other, the last table is the least cost of
//! all. Where rows weigh something, a table has one *plane* for every total weight of the variables
//! eliminated so far.
//!
//! Most buckets only join one table and one link: out(u) = min over v of a(v) + step(v, u). That is
//! [`min_plus`](super::min_plus).

use super::Model;
use super::cost::{NEVER, Scale, join};
use super::graph::Link;
use super::min_plus::{Ends, Scratch, min_plus, pair};
use super::order::{Order, Run};
use super::rows::Rows;
use std::ops::Range;

/// All tables of an elimination.
pub(super) struct Tables<'m> {
    pub model: &'m Model,
    pub order: &'m Order,
    pub rows: &'m Rows,
    pub scale: Scale,
    /// The greatest total weight told apart; nothing if weights don't matter.
    most: Option<usize>,
    cells: Vec<u64>,
    /// Which row of a place's variable was best for each cell of its table, where that was noted.
    ways: Vec<u32>,
    /// Where the table of each place begins, how many planes it has, and by how much it was lowered so
    /// that its least entry is 0.
    spans: Vec<Span>,
    /// By how much all tables were lowered together.
    lowered: u128,
}

#[derive(Clone, Copy, Debug)]
struct Span {
    start: usize,
    planes: usize,
    lowered: u64,
    /// Where the best rows for its cells begin, if they are known.
    ways: Option<usize>,
}

/// One table: its planes one after the other, in each the scope's rows, the last variable fastest.
#[derive(Clone, Copy)]
pub(super) struct Table<'t> {
    pub cells: &'t [u64],
    pub planes: usize,
    pub lowered: u64,
}

impl<'t> Table<'t> {
    /// The cells of one plane.
    pub fn plane(&self, weight: usize) -> &'t [u64] {
        let size = self.cells.len() / self.planes;
        &self.cells[weight * size..(weight + 1) * size]
    }
}

impl<'m> Tables<'m> {
    /// Eliminates all variables.
    pub fn new(
        model: &'m Model,
        order: &'m Order,
        rows: &'m Rows,
        scale: Scale,
        most: Option<usize>,
    ) -> Tables<'m> {
        let mut tables = Tables {
            model,
            order,
            rows,
            scale,
            most,
            cells: Vec::with_capacity(rows.len()),
            ways: Vec::new(),
            spans: Vec::with_capacity(order.sequence.len()),
            lowered: 0,
        };
        let (mut scratch, mut sums) = (Scratch::default(), Vec::new());
        for run in &order.runs {
            for place in run.places.clone() {
                let planes = tables.bucket(run, place, &mut sums);
                let interior = place + 1 < run.places.end;
                tables.hand_on(place, interior, planes, &sums, &mut scratch);
            }
        }
        tables
    }

    /// The table that a place handed on.
    #[inline(always)]
    pub fn table(&self, place: usize) -> Table<'_> {
        let span = self.spans[place];
        let end = self.spans.get(place + 1);
        let end = end.map_or(self.cells.len(), |next| next.start);
        Table {
            cells: &self.cells[span.start..end],
            planes: span.planes,
            lowered: span.lowered,
        }
    }

    /// The table that a run hands on.
    pub fn table_of(&self, run: usize) -> Table<'_> {
        self.table(self.order.runs[run].places.end - 1)
    }

    /// What the best plan of each total weight costs; [`None`] where there is none.
    pub fn totals(&self) -> Vec<Option<u128>> {
        let Some(last) = self.order.sequence.len().checked_sub(1) else {
            return vec![Some(0)];
        };
        let cells = self.table(last).cells.iter();
        cells
            .map(|&key| (key < NEVER).then(|| self.lowered + u128::from(key)))
            .collect()
    }

    #[inline(always)]
    pub fn size(&self, variable: u32) -> usize {
        self.rows.size(variable)
    }

    #[inline(always)]
    pub fn weight(&self, variable: u32, index: usize) -> usize {
        self.model.mark(self.rows.of(variable)[index]).weight as usize
    }

    /// The key of a row of one variable beside a row of another.
    #[inline(always)]
    pub fn pair(&self, variable: u32, index: usize, link: &Link, other: usize) -> u64 {
        let (mine, theirs) = (self.rows.of(variable)[index], self.rows.of(link.to)[other]);
        pair(self.model, self.scale, link, mine, theirs)
    }

    /// What the rows of a variable cost by themselves.
    #[inline(always)]
    pub fn own(&self, variable: u32) -> impl Iterator<Item = u64> + '_ {
        let visits = self.model.variables()[variable as usize].visits;
        let rows = self.rows.of(variable).iter();
        rows.map(move |&row| self.scale.own(visits, self.model.own(row)))
    }

    /// Adds what the rows of a variable cost by themselves to every line of sums.
    #[inline(always)]
    pub fn add_own(&self, variable: u32, sums: &mut [u64]) {
        let domain = self.model.domain_of(variable);
        let size = self.size(variable);
        if size < domain.rows.len() {
            for line in sums.chunks_exact_mut(size) {
                let pairs = line.iter_mut().zip(self.own(variable));
                pairs.for_each(|(sum, own)| *sum = join(*sum, own));
            }
            return;
        }
        let visits = self.model.variables()[variable as usize].visits;
        let own = self.model.own_of(&domain.rows);
        for line in sums.chunks_exact_mut(size) {
            for (sum, &own) in line.iter_mut().zip(own) {
                *sum = join(*sum, self.scale.own(visits, own));
            }
        }
    }

    /// The best row of a place's variable for a cell of its table, if it was noted.
    #[inline(always)]
    pub fn way(&self, place: usize, cell: usize) -> Option<u32> {
        let ways = self.spans[place].ways?;
        self.ways.get(ways + cell).copied()
    }

    /// What the rows of a run's first variable cost by themselves and beside variables without a choice.
    pub fn alone(&self, run: &Run) -> Vec<u64> {
        let variable = self.order.sequence[run.places.start];
        let mut alone: Vec<u64> = self.own(variable).collect();
        for link in self.order.fixed(run) {
            for (index, sum) in alone.iter_mut().enumerate() {
                *sum = join(*sum, self.pair(variable, index, link, 0));
            }
        }
        alone
    }

    /// All that names the variable of a place except the link over which its table is handed on: for
    /// every plane and every row of the context a line of sums, one for each row of the variable.
    /// Returns the number of planes.
    pub fn bucket(&self, run: &Run, place: usize, sums: &mut Vec<u64>) -> usize {
        if place == run.places.start {
            return self.first_bucket(run, sums);
        }
        let variable = self.order.sequence[place];
        let before = self.table(place - 1);
        let size = self.size(variable);
        sums.clear();
        let heaviest = self.heaviest(variable);
        if heaviest == 0 {
            sums.extend_from_slice(before.cells);
            self.add_own(variable, sums);
            return before.planes;
        }
        let planes = before.planes.saturating_add(heaviest).min(self.planes());
        let cells = before.cells.len() / before.planes;
        sums.resize(planes * cells, NEVER);
        let own: Vec<u64> = self.own(variable).collect();
        for (at, &key) in before.cells.iter().enumerate() {
            let (plane, index) = (at / cells + self.weight(variable, at % size), at % size);
            if plane < planes {
                sums[plane * cells + at % cells] = join(key, own[index]);
            }
        }
        planes
    }

    /// The greatest weight of a variable's rows, if weights are told apart.
    fn heaviest(&self, variable: u32) -> usize {
        if self.most.is_none() || self.model.domain_of(variable).extremes.weight == 0 {
            return 0;
        }
        let weights = (0..self.size(variable)).map(|index| self.weight(variable, index));
        weights.max().unwrap_or(0)
    }

    fn first_bucket(&self, run: &Run, sums: &mut Vec<u64>) -> usize {
        let variable = self.order.sequence[run.places.start];
        let size = self.size(variable);
        let context = self.order.context(run);
        let lines: usize = context.iter().map(|&other| self.size(other)).product();
        let alone = self.alone(run);
        let mut planes = self.heaviest(variable).saturating_add(1).min(self.planes());
        sums.clear();
        sums.resize(planes * lines * size, NEVER);
        for (index, &key) in alone.iter().enumerate() {
            // A weight beyond the greatest can't be part of any plan asked for.
            let plane = self.plane(variable, index);
            for line in (0..lines).filter(|_| plane < planes) {
                sums[(plane * lines + line) * size + index] = key;
            }
        }
        for link in self.order.steps(run) {
            self.add_link(variable, link, context, sums);
        }
        for child in self.order.children(run) {
            planes = self.add_child(variable, child, context, planes, sums);
        }
        planes
    }

    /// The plane of a row in its own bucket: where weights are not told apart there is only one.
    fn plane(&self, variable: u32, index: usize) -> usize {
        match self.most {
            Some(_) => self.weight(variable, index),
            None => 0,
        }
    }

    /// How many planes there are at the most.
    fn planes(&self) -> usize {
        self.most.map_or(1, |most| most.saturating_add(1))
    }

    fn add_link(&self, variable: u32, link: &Link, context: &[u32], sums: &mut [u64]) {
        let (size, others) = (self.size(variable), self.size(link.to));
        let pairs: Vec<u64> = (0..others)
            .flat_map(|other| (0..size).map(move |index| (index, other)))
            .map(|(index, other)| self.pair(variable, index, link, other))
            .collect();
        let lines: usize = context.iter().map(|&other| self.size(other)).product();
        for plane in sums.chunks_exact_mut(lines * size) {
            self.each_line(context, &[(link.to, size)], |line, at| {
                add(&mut plane[line * size..][..size], &pairs[at..], 1);
            });
        }
    }

    /// Joins the table of another run; the weights of both are added up in every way.
    fn add_child(
        &self,
        variable: u32,
        child: usize,
        context: &[u32],
        planes: usize,
        sums: &mut Vec<u64>,
    ) -> usize {
        let table = self.table_of(child);
        let (strides, own) = self.strides(child, variable);
        let size = self.size(variable);
        let plane_size = sums.len() / planes;
        if table.planes == 1 {
            for plane in sums.chunks_exact_mut(plane_size) {
                self.each_line(context, &strides, |line, at| {
                    add(&mut plane[line * size..][..size], &table.cells[at..], own);
                });
            }
            return planes;
        }
        let total = (planes + table.planes - 1).min(self.planes());
        let mut joined = vec![NEVER; total * plane_size];
        self.each_line(context, &strides, |line, at| {
            for (a, b) in splits(planes, table.planes, total) {
                let from = &sums[a * plane_size + line * size..][..size];
                let to = &mut joined[(a + b) * plane_size + line * size..][..size];
                let cells = &table.plane(b)[at..];
                for (index, (to, &from)) in to.iter_mut().zip(from).enumerate() {
                    *to = (*to).min(from + cells[index * own]);
                }
            }
        });
        *sums = joined;
        total
    }

    /// How far apart the cells of a run's table lie when a variable of its scope takes its next row:
    /// for all but `own`, and for `own`.
    pub fn strides(&self, run: usize, own: u32) -> (Vec<(u32, usize)>, usize) {
        let (mut stride, mut mine, mut others) = (1, 0, Vec::new());
        for variable in self.order.scope(&self.order.runs[run]).rev() {
            if variable == own {
                mine = stride;
            } else {
                others.push((variable, stride));
            }
            stride *= self.size(variable);
        }
        (others, mine)
    }

    /// Goes through every row of some variables, the last one fastest, with the place in a table.
    pub fn each_line(
        &self,
        context: &[u32],
        strides: &[(u32, usize)],
        mut visit: impl FnMut(usize, usize),
    ) {
        let stride = |variable: u32| strides.iter().find(|(other, _)| *other == variable);
        let axes: Vec<(usize, usize)> = context
            .iter()
            .map(|&variable| (self.size(variable), stride(variable).map_or(0, |s| s.1)))
            .collect();
        let (mut taken, mut at) = (vec![0; axes.len()], 0);
        for line in 0..axes.iter().map(|axis| axis.0).product() {
            visit(line, at);
            for (taken, &(size, stride)) in taken.iter_mut().zip(&axes).rev() {
                *taken += 1;
                at += stride;
                if *taken < size {
                    break;
                }
                at -= stride * size;
                *taken = 0;
            }
        }
    }

    /// Minimises a bucket over its variable, and keeps the table.
    fn hand_on(
        &mut self,
        place: usize,
        interior: bool,
        planes: usize,
        sums: &[u64],
        scratch: &mut Scratch,
    ) {
        let variable = self.order.sequence[place];
        let size = self.size(variable);
        let start = self.cells.len();
        if let Some(link) = self.order.target(place) {
            let ends = Ends::new(self.model, self.rows, variable, link);
            self.cells
                .resize(start + sums.len() / size * self.size(link.to), NEVER);
            min_plus(&ends, self.scale, sums, &mut self.cells[start..], scratch);
        } else {
            let lines = sums.chunks_exact(size);
            self.cells.extend(lines.map(least));
        }
        let ways = (self.order.target(place).is_some() && !scratch.ways.is_empty()).then(|| {
            let from = self.ways.len();
            self.ways.extend_from_slice(&scratch.ways);
            from
        });
        let lowered = self.lower(start..self.cells.len(), interior);
        self.spans.push(Span {
            start,
            planes,
            lowered,
            ways,
        });
    }

    /// Counts the cells from the least of them, so that they stay small however long the model is. Within
    /// a run that can wait while there is room: [`Scale::of`] leaves three bits.
    fn lower(&mut self, span: Range<usize>, interior: bool) -> u64 {
        let cells = &mut self.cells[span];
        if interior && cells.first().is_some_and(|&first| first < NEVER >> 4) {
            return 0;
        }
        let least = Some(least(cells))
            .filter(|&least| least < NEVER)
            .unwrap_or(0);
        for cell in cells.iter_mut() {
            *cell = if *cell < NEVER { *cell - least } else { NEVER };
        }
        self.lowered += u128::from(least);
        least
    }
}

/// The least key of a line.
pub(super) fn least(line: &[u64]) -> u64 {
    line.iter().fold(NEVER, |least, &key| least.min(key))
}

/// All pairs of planes whose sum is told apart.
fn splits(a: usize, b: usize, total: usize) -> impl Iterator<Item = (usize, usize)> {
    (0..a).flat_map(move |x| (0..b.min(total - x)).map(move |y| (x, y)))
}

/// Adds every `stride`-th key to a line.
#[inline(always)]
pub(super) fn add(line: &mut [u64], keys: &[u64], stride: usize) {
    if stride == 1 {
        for (sum, &key) in line.iter_mut().zip(keys) {
            *sum = join(*sum, key);
        }
    } else {
        for (at, sum) in line.iter_mut().enumerate() {
            *sum = join(*sum, keys[at * stride]);
        }
    }
}
