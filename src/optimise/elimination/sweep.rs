//! The elimination itself, from the first variable of the order to the last.

use super::tables::{Room, TablePlace, Tables};
use crate::optimise::elimination_order::order::{BucketRun, Order};
use crate::optimise::factor_graph::model::Model;
use crate::optimise::minimum::ends::Ends;
use crate::optimise::minimum::key::{NEVER, least};
use crate::optimise::minimum::key_layout::KeyLayout;
use crate::optimise::minimum::min_plus::min_plus;
use crate::optimise::minimum::rows::Rows;

impl<'m> Tables<'m> {
    /// Eliminates all variables.
    pub fn new(
        model: &'m Model,
        order: &'m Order<'m>,
        rows: &'m Rows,
        layout: KeyLayout,
        most: Option<usize>,
    ) -> Tables<'m> {
        let mut tables = Tables::none(model, order, rows, layout, most);
        tables.sweep_evenly();
        tables
    }

    /// Eliminates all variables, only to find the least total and a best choice.
    pub fn for_choice(
        model: &'m Model,
        order: &'m Order<'m>,
        rows: &'m Rows,
        layout: KeyLayout,
    ) -> Tables<'m> {
        let mut tables = Tables::none(model, order, rows, layout, None);
        tables.all_kept = false;
        tables.sweep_evenly();
        tables
    }

    /// Eliminates all variables in effort alone, only to find the least total and which rows tie: tables in
    /// byte lanes are kept as bytes.
    pub fn for_ties(model: &'m Model, order: &'m Order<'m>, rows: &'m Rows) -> Tables<'m> {
        let mut tables = Tables::none(model, order, rows, KeyLayout::EFFORT, None);
        tables.sweep(Tables::eliminate_in_lanes);
        tables
    }

    fn sweep_evenly(&mut self) {
        self.sweep(|tables, run, place, room| match tables.layout.full {
            true => tables.eliminate_evenly(run, place, room),
            false => None,
        });
    }

    /// Goes through all runs: a stretch at a time where `stretch` takes one, which returns the place after,
    /// and else place by place.
    fn sweep(
        &mut self,
        stretch: impl Fn(&mut Self, &BucketRun, usize, &mut Room) -> Option<usize>,
    ) {
        let mut room = Room::default();
        for run in &self.order.runs {
            let mut place = run.places.start;
            while place < run.places.end {
                let next = stretch(self, run, place, &mut room);
                place = next.unwrap_or_else(|| self.one(run, place, &mut room));
            }
        }
        #[cfg(test)]
        super::work::Work::count(self);
    }

    /// Eliminates the variable of any place.
    fn one(&mut self, run: &BucketRun, place: usize, room: &mut Room) -> usize {
        let planes = self.bucket(run, place, &mut room.sums);
        self.hand_on(place, place + 1 < run.places.end, planes, room);
        place + 1
    }

    /// Minimises a bucket over its variable, and keeps the table.
    fn hand_on(&mut self, place: usize, interior: bool, planes: usize, room: &mut Room) {
        let variable = self.order.sequence[place];
        let size = self.size(variable);
        let (start, sums) = (self.cells.len(), &room.sums[..]);
        let mut noted = usize::MAX;
        let notes_ways = self.notes_ways();
        if let Some(link) = &self.order.target(place) {
            let ends = Ends::new(self.model, self.rows, variable, *link);
            let cells = sums.len() / size * self.size(link.to);
            self.cells.resize(start + cells, NEVER);
            let (out, scratch) = (&mut self.cells[start..], &mut room.scratch);
            if notes_ways && link.is_free() {
                noted = self.ways.len();
                self.ways.resize(noted + cells, 0);
                ends.noting(self.layout, sums, out, &mut self.ways[noted..], scratch);
            } else {
                min_plus(&ends, self.layout, sums, out, scratch);
            }
        } else {
            let lines = sums.chunks_exact(size);
            self.cells.extend(lines.map(least));
        }
        self.lower(start..self.cells.len(), interior);
        self.spans.push(TablePlace {
            start,
            planes: planes as u32,
            ways: noted,
            ..TablePlace::NONE
        });
    }
}
