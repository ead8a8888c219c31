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
//! [`min_plus`](crate::optimise::minimum::min_plus).

use crate::optimise::elimination_order::adjacency::{Adjacency, NONE};
use crate::optimise::elimination_order::order::{BucketRun, Order};
use crate::optimise::factor_graph::columns::Block;
use crate::optimise::factor_graph::model::Model;
use crate::optimise::minimum::ends::{Scratch, pair};
use crate::optimise::minimum::kernel::Lanes;
use crate::optimise::minimum::key::{NEVER, join, least};
use crate::optimise::minimum::key_layout::KeyLayout;
use crate::optimise::minimum::rows::Rows;
use crate::optimise::minimum::way::{MOST_ROWS, Way};
use std::ops::Range;

/// All tables of an elimination.
pub(in crate::optimise) struct Tables<'m> {
    pub model: &'m Model,
    pub order: &'m Order<'m>,
    pub rows: &'m Rows,
    pub layout: KeyLayout,
    /// The greatest total weight told apart; nothing if weights don't matter.
    pub most: Option<usize>,
    pub cells: Vec<u64>,
    /// Whether the cells of all tables are kept. A best choice is found without those of which the best
    /// rows are noted, and on a long page they are most of the memory.
    pub all_kept: bool,
    /// Which row of a place's variable was best for each cell of its table, where that was noted.
    pub ways: Vec<Way>,
    /// Excesses and sums in bytes, and for each place that has them its lanes and where they begin.
    pub blocks: Vec<Block>,
    pub lanes: Vec<(Lanes<'m>, usize)>,
    /// Where the table of each place lies.
    pub spans: Vec<TablePlace>,
    /// By how much all tables were lowered together.
    pub lowered: u128,
}

/// Room kept from place to place.
#[derive(Default)]
pub(in crate::optimise) struct Room {
    pub sums: Vec<u64>,
    pub scratch: Scratch,
}

/// Where the table of a place lies.
#[derive(Clone, Copy, Debug)]
pub(in crate::optimise) struct TablePlace {
    /// Where its cells begin.
    pub start: usize,
    /// Where the best rows for its cells begin; [`usize::MAX`] if they were not noted.
    pub ways: usize,
    /// How many planes it has.
    pub planes: u32,
    /// Which lanes it was made by; [`NONE`] if by none.
    pub lanes: u32,
}

impl TablePlace {
    /// A table of one plane of which nothing else is known.
    pub const NONE: TablePlace = TablePlace {
        start: 0,
        ways: usize::MAX,
        planes: 1,
        lanes: NONE,
    };
}

/// One table: its planes one after the other, in each the scope's rows, the last variable fastest.
#[derive(Clone, Copy)]
pub(in crate::optimise) struct Table<'t> {
    pub cells: &'t [u64],
    pub planes: usize,
}

impl<'t> Table<'t> {
    /// The cells of one plane.
    pub fn plane(&self, weight: usize) -> &'t [u64] {
        let size = self.cells.len() / self.planes;
        &self.cells[weight * size..(weight + 1) * size]
    }
}

impl<'m> Tables<'m> {
    /// No tables yet.
    pub fn none(
        model: &'m Model,
        order: &'m Order<'m>,
        rows: &'m Rows,
        layout: KeyLayout,
        most: Option<usize>,
    ) -> Tables<'m> {
        Tables {
            model,
            order,
            rows,
            layout,
            most,
            cells: Vec::new(),
            all_kept: true,
            ways: Vec::new(),
            blocks: Vec::new(),
            lanes: Vec::new(),
            spans: Vec::with_capacity(order.sequence.len()),
            lowered: 0,
        }
    }

    /// The table that a place handed on.
    #[inline(always)]
    pub fn table(&self, place: usize) -> Table<'_> {
        let span = self.spans[place];
        let end = self.spans.get(place + 1);
        let end = end.map_or(self.cells.len(), |next| next.start);
        Table {
            cells: &self.cells[span.start..end],
            planes: span.planes as usize,
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

    /// The number of a row of a variable among all rows of the model.
    #[inline(always)]
    fn row(&self, variable: u32, index: usize) -> u32 {
        self.rows.of(self.model, variable).get(index)
    }

    #[inline(always)]
    pub fn weight(&self, variable: u32, index: usize) -> usize {
        self.model.mark(self.row(variable, index)).weight as usize
    }

    /// The key of a row of one variable beside a row of another.
    #[inline(always)]
    pub fn pair(&self, variable: u32, index: usize, link: &Adjacency, other: usize) -> u64 {
        let (mine, theirs) = (self.row(variable, index), self.row(link.to, other));
        pair(self.model, self.layout, link, mine, theirs)
    }

    /// What the rows of a variable cost by themselves.
    #[inline(always)]
    pub fn own(&self, variable: u32) -> impl Iterator<Item = u64> + '_ {
        let visits = self.model.variables()[variable as usize].visits;
        let rows = self.rows.of(self.model, variable).iter();
        rows.map(move |row| self.layout.own(visits, self.model.own(row)))
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
                *sum = join(*sum, self.layout.own(visits, own));
            }
        }
    }

    /// Whether best rows are noted, where any two may meet.
    pub fn notes_ways(&self) -> bool {
        self.most.is_none() && self.layout.full && self.rows.most() <= MOST_ROWS
    }

    /// The best row of a place's variable for a cell of its table, if it was noted.
    #[inline(always)]
    pub fn way(&self, place: usize, cell: usize) -> Option<u32> {
        let ways = self.spans[place].ways;
        (ways < usize::MAX).then(|| self.ways[ways + cell].into())
    }

    /// What the rows of a run's first variable cost by themselves and beside variables without a choice.
    pub fn alone(&self, run: &BucketRun) -> Vec<u64> {
        let variable = self.order.sequence[run.places.start];
        let mut alone: Vec<u64> = self.own(variable).collect();
        for link in self.order.fixed(run) {
            for (index, sum) in alone.iter_mut().enumerate() {
                *sum = join(*sum, self.pair(variable, index, link, 0));
            }
        }
        alone
    }

    /// Counts the cells from the least of them, so that they stay small however long the model is. Within
    /// a run that can wait while there is room: [`KeyLayout::of`] leaves three bits.
    pub fn lower(&mut self, span: Range<usize>, interior: bool) {
        let cells = &mut self.cells[span];
        if interior && cells.first().is_some_and(|&first| first < NEVER >> 4) {
            return;
        }
        let least = Some(least(cells))
            .filter(|&least| least < NEVER)
            .unwrap_or(0);
        for cell in cells.iter_mut() {
            *cell = if *cell < NEVER { *cell - least } else { NEVER };
        }
        self.lowered += u128::from(least);
    }
}
