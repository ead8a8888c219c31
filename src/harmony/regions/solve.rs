//! The row of keys that costs least, exactly.
//!
//! Going from chord to chord, the least cost of every key follows from those of the chord before:
//! either the key stays, or the cheapest key of all is left for it. That is 24 small steps a chord.
//! A loop is gone round once for every key it may begin in, and a tune without a key once for every
//! key that may be its home.

use crate::harmony::local_key::LocalKey;

use super::row::ChordRow;
use super::weights::{EachKey, KeyStep, at_home, begin, change, end, index, key_at, prices};

/// More than any key costs beyond the cheapest, and far from overflowing.
const NEVER: i32 = i32::MAX / 4;

/// The keys of a row.
pub(super) struct KeyRow {
    /// The home of the whole.
    pub home: LocalKey,
    /// The key of each event.
    pub keys: Vec<LocalKey>,
}

/// The cheapest row of keys, one for each event; the home is the one given or, without one, the one
/// with which it costs least.
pub(super) fn best(row: &ChordRow<'_>, home: Option<LocalKey>) -> KeyRow {
    let search = KeySearch::of(row, home);
    let (mut least, mut last, mut trail) = (i64::MAX, 0, Vec::new());
    let mut own = 0;
    let mut tried = Vec::with_capacity(row.events.len());
    for start in search.starts(home) {
        let (cost, at) = search.run(start, &mut tried);
        let cost = cost - i64::from(at_home(row, start.own, search.from));
        if cost < least {
            (least, last, own) = (cost, at, start.own);
            std::mem::swap(&mut trail, &mut tried);
        }
    }
    let keys = trace(&trail, last).into_iter();
    KeyRow {
        home: key_at(own, search.from),
        keys: keys.map(|at| key_at(at, search.from)).collect(),
    }
}

/// A row with all its weights.
struct KeySearch<'r, 'c> {
    row: &'r ChordRow<'c>,
    /// The tonic from which keys are counted.
    from: u8,
    prices: Vec<EachKey>,
    /// The step that leads to each event.
    steps: Vec<KeyStep>,
}

/// What is settled before a row is gone through.
#[derive(Debug, Clone, Copy)]
struct Start {
    /// The home.
    own: usize,
    /// In a loop, the first key.
    first: Option<usize>,
}

/// How the keys of an event were reached: those by a change, as bits, and the key that they came from.
struct Reached {
    changed: u32,
    left: usize,
}

impl Reached {
    /// The key before this one.
    fn before(&self, at: usize) -> usize {
        if self.changed >> at & 1 == 1 {
            self.left
        } else {
            at
        }
    }
}

impl<'r, 'c> KeySearch<'r, 'c> {
    fn of(row: &'r ChordRow<'c>, home: Option<LocalKey>) -> Self {
        let root = row.events.first().map_or(0, |event| event.written.root);
        let from = home.map_or(root, |home| home.tonic);
        let events = 0..row.events.len();
        Self {
            prices: row.events.iter().map(|e| prices(e, from)).collect(),
            steps: events.map(|at| KeyStep::to(at, row, from)).collect(),
            row,
            from,
        }
    }

    fn starts(&self, home: Option<LocalKey>) -> Vec<Start> {
        let owns = match home {
            Some(home) => index(home, self.from)..index(home, self.from) + 1,
            None => 0..LocalKey::COUNT,
        };
        let firsts = |own| match self.row.looped {
            false => vec![Start { own, first: None }],
            true => (0..LocalKey::COUNT)
                .map(|first| Start {
                    own,
                    first: Some(first),
                })
                .collect(),
        };
        owns.flat_map(firsts).collect()
    }

    /// The least cost and the last key with which it is reached.
    fn run(&self, start: Start, trail: &mut Vec<Reached>) -> (i64, usize) {
        trail.clear();
        let own = start.own;
        let (mut costs, mut total) = (self.begun(start), 0);
        let mut events = self.prices.iter().zip(&self.steps);
        let first = events.next();
        if let Some((prices, _)) = first {
            add(&mut costs, prices);
        }
        for (prices, step) in events {
            trail.push(through(&mut costs, &mut total, step, own));
            add(&mut costs, prices);
        }
        let (last, cost) = match (start.first, first) {
            (Some(first), Some((_, round))) => {
                let reached = through(&mut costs, &mut total, round, own);
                let cost = costs.get(first).copied().unwrap_or(NEVER);
                (reached.before(first), cost)
            }
            _ => self.ended(costs, own),
        };
        (total + i64::from(cost), last)
    }

    fn begun(&self, start: Start) -> EachKey {
        std::array::from_fn(|at| match start.first {
            Some(first) if first != at => NEVER,
            _ => begin(self.row, at, self.from, start.own),
        })
    }

    fn ended(&self, mut costs: EachKey, own: usize) -> (usize, i32) {
        for (at, cost) in costs.iter_mut().enumerate() {
            *cost += end(self.row, at, self.from, own);
        }
        least(&costs, own)
    }
}

/// Takes the costs through a step. What all keys cost goes to the total, so that long tunes add up to no
/// large numbers.
fn through(costs: &mut EachKey, total: &mut i64, step: &KeyStep, own: usize) -> Reached {
    let (left, cheapest) = least(costs, own);
    *total += i64::from(cheapest);
    let mut changed = 0;
    for (at, cost) in costs.iter_mut().enumerate() {
        let stay = *cost - cheapest - step.worth * (step.keys >> at & 1) as i32;
        let go = change(at, own) + step.parted;
        // At equal cost the earlier region has gone on until here.
        changed |= u32::from(go <= stay) << at;
        *cost = stay.min(go);
    }
    Reached { changed, left }
}

fn add(costs: &mut EachKey, prices: &EachKey) {
    for (cost, price) in costs.iter_mut().zip(prices) {
        *cost += price;
    }
}

/// The least of the costs: the home's if it is, else the first.
fn least(costs: &EachKey, own: usize) -> (usize, i32) {
    let least = costs.iter().copied().min().unwrap_or(0);
    let first = costs.iter().position(|cost| *cost == least).unwrap_or(0);
    let at_home = costs.get(own) == Some(&least);
    (if at_home { own } else { first }, least)
}

fn trace(trail: &[Reached], last: usize) -> Vec<usize> {
    let mut at = last;
    let mut keys = vec![last];
    for reached in trail.iter().rev() {
        at = reached.before(at);
        keys.push(at);
    }
    keys.reverse();
    keys
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chord::Chord;
    use crate::harmony::symbol_runs::SymbolRuns;

    /// What every row of keys has in common: the prices of each chord, and the step to it.
    struct Tables<'r, 'c> {
        row: &'r ChordRow<'c>,
        from: u8,
        prices: Vec<[i32; LocalKey::COUNT]>,
        steps: Vec<KeyStep>,
    }

    impl<'r, 'c> Tables<'r, 'c> {
        fn of(row: &'r ChordRow<'c>, from: u8) -> Self {
            let steps = 0..row.events.len();
            Self {
                row,
                from,
                prices: row.events.iter().map(|e| prices(e, from)).collect(),
                steps: steps.map(|at| KeyStep::to(at, row, from)).collect(),
            }
        }
    }

    /// What depends on the home alone: the price to begin and to end in each key, and to come to each.
    struct HomeTables<'t, 'r, 'c> {
        tables: &'t Tables<'r, 'c>,
        begin: Vec<i32>,
        end: Vec<i32>,
        change: Vec<i32>,
        at_home: i32,
    }

    impl<'t, 'r, 'c> HomeTables<'t, 'r, 'c> {
        fn of(tables: &'t Tables<'r, 'c>, own: usize) -> Self {
            let (row, from, keys) = (tables.row, tables.from, 0..LocalKey::COUNT);
            Self {
                begin: keys.clone().map(|at| begin(row, at, from, own)).collect(),
                end: keys.clone().map(|at| end(row, at, from, own)).collect(),
                change: keys.map(|at| change(at, own)).collect(),
                at_home: at_home(row, own, from),
                tables,
            }
        }
    }

    /// What a row of keys costs, added up without any dynamic programming.
    fn cost(home: &HomeTables<'_, '_, '_>, keys: &[usize]) -> i32 {
        let (tables, row) = (home.tables, home.tables.row);
        let priced = tables.prices.iter().zip(keys);
        let prices: i32 = priced.map(|(prices, at)| prices[*at]).sum();
        let into = |at: usize| {
            let step = &tables.steps[at];
            let before = row.before(at).unwrap();
            match keys[before] == keys[at] {
                true => -(step.worth * (step.keys >> keys[at] & 1) as i32),
                false => home.change[keys[at]] + step.parted,
            }
        };
        let steps: i32 = (1..keys.len()).map(into).sum();
        let (first, last) = (keys[0], keys[keys.len() - 1]);
        let round = match row.looped {
            true => into(0),
            false => home.end[last],
        };
        prices + steps + home.begin[first] + round - home.at_home
    }

    /// The least cost of any row of keys, by trying them all.
    fn least_of_all(home: &HomeTables<'_, '_, '_>, keys: &mut Vec<usize>) -> i32 {
        if keys.len() == home.tables.row.events.len() {
            return cost(home, keys);
        }
        let mut least = i32::MAX;
        for index in 0..LocalKey::COUNT {
            keys.push(index);
            least = least.min(least_of_all(home, keys));
            keys.pop();
        }
        least
    }

    fn check(row: &ChordRow<'_>, home: Option<LocalKey>) {
        let from = home.map_or(row.events[0].written.root, |home| home.tonic);
        let found: Vec<usize> = best(row, home)
            .keys
            .iter()
            .map(|h| index(*h, from))
            .collect();
        let owns: Vec<usize> = match home {
            Some(home) => vec![index(home, from)],
            None => (0..LocalKey::COUNT).collect(),
        };
        let tables = Tables::of(row, from);
        let homes = owns.iter().map(|own| HomeTables::of(&tables, *own));
        let homes: Vec<HomeTables> = homes.collect();
        let found = homes.iter().map(|home| cost(home, &found)).min();
        let least = homes.iter().map(|home| least_of_all(home, &mut Vec::new()));
        let least = least.min();
        let symbols: Vec<&str> = row.events.iter().map(|e| e.chord.symbol()).collect();
        assert_eq!(found, least, "{symbols:?} in {home:?}, {}", row.looped);
    }

    #[test]
    fn no_row_of_keys_costs_less() {
        let pool =
            "Cmaj7 Dm7 G7 E7 Am7 Fm7 Bb7 Ebmaj7 Bm7b5 Db7 F#dim7 Cm6 A7 C7 Dm7/G D7sus C G F";
        let pool: Vec<Chord> = pool
            .split(' ')
            .map(|text| Chord::read(text).unwrap())
            .collect();
        for at in 0..pool.len() {
            // Rows with strides through the pool, so that each chord meets others.
            for stride in [1, 3, 5] {
                for looped in [false, true] {
                    let chosen = (0..3).map(|n| pool.get((at + n * stride) % pool.len()));
                    let runs = SymbolRuns::of(&chosen.collect::<Vec<_>>());
                    let row = ChordRow::of(&runs, looped);
                    check(&row, Some(LocalKey::at(at % LocalKey::COUNT)));
                    // Without a home there are as many times more rows as keys.
                    if stride == 1 && at % 5 == 0 {
                        check(&row, None);
                    }
                }
            }
        }
    }
}
