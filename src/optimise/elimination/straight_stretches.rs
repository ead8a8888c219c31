//! Stretches of runs eliminated at one go, where no other table and no other variable comes in: with whole keys,
//! and in effort alone with byte lanes.

use super::tables::{Room, TablePlace, Tables};
use crate::optimise::elimination_order::order::BucketRun;
use crate::optimise::factor_graph::columns::{Block, LANES};
use crate::optimise::factor_graph::sides;
use crate::optimise::minimum::ends::Ends;
use crate::optimise::minimum::kernel::{Lanes, lower};
use crate::optimise::minimum::key::{NEVER, least};
use std::ops::Range;

impl<'m> Tables<'m> {
    fn ends(&self, place: usize) -> Option<Ends<'m>> {
        let link = self.order.target(place)?;
        Some(Ends::new(
            self.model,
            self.rows,
            self.order.sequence[place],
            link,
        ))
    }

    /// Eliminates the places of a run with whole keys from one on, as long as all rows have one length; returns the
    /// place after, if it came any further.
    pub fn eliminate_evenly(
        &mut self,
        run: &BucketRun,
        place: usize,
        room: &mut Room,
    ) -> Option<usize> {
        if place == run.places.start || !self.notes_ways() {
            return None;
        }
        let length = self.ends(place)?.even()?;
        let context = self.order.context(run).iter();
        let lines = context.map(|&other| self.size(other)).product();
        let places = place..self.even_end(place..run.places.end, length);
        let (end, last) = (places.end, run.places.end);
        match length {
            1 => self.evenly::<1>(places, last, lines, room),
            2 => self.evenly::<2>(places, last, lines, room),
            3 => self.evenly::<3>(places, last, lines, room),
            4 => self.evenly::<4>(places, last, lines, room),
            5 => self.evenly::<5>(places, last, lines, room),
            _ => self.evenly::<6>(places, last, lines, room),
        }
        Some(end)
    }

    /// The end of the places whose rows have this length.
    fn even_end(&self, mut places: Range<usize>, length: usize) -> usize {
        let end = places.end;
        let whole = self.model.even();
        if whole.is_some_and(|(length, span)| span * length as u64 <= sides::FARTHEST) {
            let handed = self.order.target(end - 1).is_some();
            return if handed { end } else { end - 1 };
        }
        let even = |place| self.ends(place).and_then(|ends| ends.even()) == Some(length);
        places.find(|&place| !even(place)).unwrap_or(end)
    }

    /// Eliminates these places of a run that ends at `last`. The best row is noted for each cell.
    fn evenly<const N: usize>(
        &mut self,
        places: Range<usize>,
        last: usize,
        lines: usize,
        room: &mut Room,
    ) {
        let links = places.clone().filter_map(|place| self.order.target(place));
        let sizes = links.map(|link| lines * self.size(link.to));
        let (most, all) = sizes.fold((0, 0), |(most, all), size| (size.max(most), all + size));
        let (mut before, mut start) = (self.spans[places.start - 1].start, self.cells.len());
        let mut ways = self.ways.len();
        let cells = if self.all_kept { all } else { most };
        self.cells.resize(start + cells, NEVER);
        self.ways.resize(ways + all, 0);
        let mut end = start;
        for place in places {
            let Some(link) = self.order.target(place) else {
                break;
            };
            let ends = Ends::new(self.model, self.rows, self.order.sequence[place], link);
            let size = lines * self.size(link.to);
            self.add_up(ends.near, before..end, &mut room.sums);
            let sums = &room.sums[..end - before];
            // Once its sums are made, a table that isn't kept gives its place to the next.
            start = if self.all_kept { end } else { start };
            end = start + size;
            let out = &mut self.cells[start..end];
            let noted = &mut self.ways[ways..][..size];
            ends.lines::<N>(self.layout, sums, out, noted, &mut room.scratch);
            self.lower(start..end, place + 1 < last);
            self.spans.push(TablePlace {
                start,
                ways,
                ..TablePlace::NONE
            });
            (before, ways) = (start, ways + size);
        }
        self.cells.truncate(end);
    }

    /// Puts together what was handed to a variable, line by line, and what its rows cost by themselves. The
    /// sums may be longer than needed.
    #[inline(always)]
    fn add_up(&self, variable: u32, cells: Range<usize>, sums: &mut Vec<u64>) {
        let visits = self.model.variables()[variable as usize].visits;
        let own = self.rows.own_of(self.model, variable);
        if sums.len() < cells.len() {
            sums.resize(cells.len(), 0);
        }
        let lines = self.cells[cells].chunks_exact(own.len());
        for (line, sums) in lines.zip(sums.chunks_exact_mut(own.len())) {
            for ((&key, &own), sum) in line.iter().zip(own).zip(sums) {
                *sum = key + self.layout.own(visits, own);
            }
        }
    }

    /// The byte lanes of a place, where its table is handed on over a link that fits them.
    fn lanes(&self, run: &BucketRun, place: usize) -> Option<Lanes<'m>> {
        let bare = place < run.places.end && self.order.context(run).is_empty();
        let ends = self.ends(place).filter(|_| bare && self.most.is_none())?;
        ends.lanes()
    }

    /// Eliminates the places of a run in effort alone from one on, as long as steps fit byte lanes; returns the place
    /// after, if it came any further. Between the places only bytes are kept: of the rows of each its
    /// excesses, which the rows that tie are found by, and of the target's the sums.
    pub fn eliminate_in_lanes(
        &mut self,
        run: &BucketRun,
        mut place: usize,
        room: &mut Room,
    ) -> Option<usize> {
        let mut lanes = self.lanes(run, place)?;
        self.bucket(run, place, &mut room.sums);
        let least = Some(least(&room.sums)).filter(|&least| least < NEVER)?;
        self.lowered += u128::from(least);
        let mut excesses = self.blocks.len();
        let (sources, targets) = lanes.blocks();
        let left = run.places.end - place;
        self.blocks.reserve(sources + left * 2 * targets);
        let excess = room.sums.chunks(LANES).map(|sums| excesses_of(sums, least));
        self.blocks.extend(excess);
        loop {
            self.relax(lanes, excesses, room);
            place += 1;
            let Some(next) = self.lanes(run, place) else {
                break;
            };
            excesses = self.blocks.len();
            self.lower_bytes(self.order.sequence[place]);
            lanes = next;
        }
        let sums = self.blocks.len() - lanes.blocks().1;
        let sums = self.blocks[sums..].as_flattened()[..lanes.targets()].iter();
        self.cells.extend(sums.map(|&sum| u64::from(sum)));
        Some(place)
    }

    /// Adds the least sums of the targets after the excesses of the sources.
    fn relax(&mut self, lanes: Lanes<'m>, excesses: usize, room: &mut Room) {
        let (sources, targets) = lanes.blocks();
        self.blocks.resize(excesses + sources + targets, [0; LANES]);
        let (excess, sums) = self.blocks[excesses..].split_at_mut(sources);
        lanes.least(excess, sums, &mut room.scratch.words);
        self.spans.push(TablePlace {
            start: self.cells.len(),
            lanes: self.lanes.len() as u32,
            ..TablePlace::NONE
        });
        self.lanes.push((lanes, excesses));
    }

    /// Adds the excesses of a variable's rows, of which the least sums come last.
    fn lower_bytes(&mut self, variable: u32) {
        let domain = self.model.domain_of(variable);
        let Some(columns) = self.model.columns_of(domain) else {
            return;
        };
        let visits = self.model.variables()[variable as usize].visits;
        let (start, blocks) = (self.blocks.len(), columns.efforts.len());
        self.blocks.extend_from_within(start - blocks..);
        let least = lower(&mut self.blocks[start..], columns, visits);
        self.lowered += u128::from(least) + u128::from(visits) * u128::from(columns.least);
    }
}

fn excesses_of(sums: &[u64], least: u64) -> Block {
    let mut block = [u8::MAX; LANES];
    for (excess, &sum) in block.iter_mut().zip(sums) {
        *excess = u8::try_from(sum - least).unwrap_or(u8::MAX);
    }
    block
}
