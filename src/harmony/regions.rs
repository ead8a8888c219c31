//! Key regions: the key each chord of a tune stands in.
//!
//! The regions are the row of keys with the least total cost, found exactly by dynamic programming over
//! the 24 keys. A chord costs what its reading in the key costs ([`super::analysis`]); a change of
//! key costs [`CHANGE`]; cadences in a key are worth something; and the key at the head of the chart
//! is where the tune is expected to begin and end. So one ii-V into another degree of the key, which costs
//! one or two, never pays for going there and back, and a bridge with ii-V-I's of its own does. The
//! weights are this program's own judgement, not a published model.
//!
//! Equal costs: the region that began earlier goes on as long as it can, and of two keys for a whole
//! tune the one that comes first in the order C, Cm, Db, Dbm … is taken.

use crate::chord::Chord;
use crate::pitch::{Interval, Key, Letter, Name, Semitones};

use super::analysis::Situation;
use super::home::Home;
use super::look::{Kind, Look};
use super::neighbours::nexts;

/// What a change of key costs.
const CHANGE: i32 = 4;

/// What it costs to begin elsewhere than in the key the chart gives, and to end elsewhere.
const BEGIN_ELSEWHERE: i32 = 6;
const END_ELSEWHERE: i32 = 3;

/// What the tonic is worth as the first chord, and as the last.
const FIRST_TONIC: i32 = 1;
const LAST_TONIC: i32 = 2;

/// What the key's own cadences are worth: a dominant seventh chord or a triad going home, and the
/// ii before the dominant.
const SEVENTH_HOME: i32 = 2;
const TRIAD_HOME: i32 = 1;
const TWO_FIVE: i32 = 1;

/// The key of the region each slot stands in; a slot without a chord belongs to the region before it.
///
/// `chords` are in played order. Without a key of the chart, a row with fewer than two different chords
/// has no region.
///
/// ```
/// use compline::chord::Chord;
/// use compline::harmony::regions;
///
/// let chords: Vec<Chord> = "Cmaj7 Am7 Dm7 G7 Cmaj7 Fm7 Bb7 Ebmaj7 Cm7 Fm7 Bb7 Ebmaj7"
///     .split(' ')
///     .map(|text| Chord::read(text).unwrap())
///     .collect();
/// let row: Vec<Option<&Chord>> = chords.iter().map(Some).collect();
/// let found = regions(&row, "C".parse().ok());
/// let names: Vec<String> = found.iter().flatten().map(ToString::to_string).collect();
/// assert_eq!(names[4], "C");
/// assert_eq!(names[5], "Eb");
/// ```
pub fn regions(chords: &[Option<&Chord>], key: Option<Key>) -> Vec<Option<Key>> {
    let row = Row::of(chords);
    if row.events.is_empty() || key.is_none() && row.events.len() < 2 {
        return vec![key; chords.len()];
    }
    let homes = row.best(key.map(Home::of));
    let keys = spelled(&homes, &row, key);
    let first = keys.first().copied();
    row.slots
        .iter()
        .map(|event| event.map_or(first, |at| keys.get(at).copied()).flatten())
        .collect()
}

/// A chord that differs from the one before it.
struct Event<'a> {
    chord: &'a Chord,
    look: Look,
    next: Option<Look>,
}

/// The chords, repeats left out.
struct Row<'a> {
    events: Vec<Event<'a>>,
    /// For each slot the event that sounds, or sounded last.
    slots: Vec<Option<usize>>,
}

impl<'a> Row<'a> {
    fn of(chords: &[Option<&'a Chord>]) -> Self {
        let mut events: Vec<Event<'a>> = Vec::new();
        let mut slots = Vec::with_capacity(chords.len());
        for (slot, next) in chords.iter().zip(nexts(chords, false)) {
            if let Some(chord) = *slot {
                let repeats = events
                    .last()
                    .is_some_and(|event| event.chord.symbol() == chord.symbol());
                if !repeats {
                    events.push(Event {
                        chord,
                        look: Look::of(chord),
                        next: next.map(Look::of),
                    });
                }
            }
            slots.push(events.len().checked_sub(1));
        }
        Self { events, slots }
    }

    /// The cheapest row of keys.
    fn best(&self, key: Option<Home>) -> Vec<Home> {
        let mut costs = [0; Home::COUNT];
        let mut ways: Vec<[u8; Home::COUNT]> = Vec::with_capacity(self.events.len());
        for (at, event) in self.events.iter().enumerate() {
            let before = at.checked_sub(1).and_then(|at| self.events.get(at));
            let (cheapest, least) = least(&costs);
            let mut now = [0; Home::COUNT];
            let mut way = [0; Home::COUNT];
            for (index, (now, way)) in now.iter_mut().zip(&mut way).enumerate() {
                let home = Home::at(index);
                let stay = costs.get(index).copied().unwrap_or(0)
                    - before.map_or(0, |before| cadence(before, event, home));
                let change = least + CHANGE;
                (*now, *way) = match before {
                    None => (begin(event, home, key), 0),
                    // At equal cost the earlier region has gone on until here.
                    Some(_) if change <= stay => (change, cheapest),
                    Some(_) => (stay, index as u8),
                };
                *now += price(event, home);
            }
            costs = now;
            ways.push(way);
        }
        for (index, cost) in costs.iter_mut().enumerate() {
            *cost += self.end(Home::at(index), key);
        }
        trace(&ways, least(&costs).0)
    }

    fn end(&self, home: Home, key: Option<Home>) -> i32 {
        let elsewhere = key.is_some_and(|key| key != home);
        let last = self.events.last();
        let tonic = last.is_some_and(|event| rests(event.look, home));
        i32::from(elsewhere) * END_ELSEWHERE - i32::from(tonic) * LAST_TONIC
    }
}

fn begin(first: &Event<'_>, home: Home, key: Option<Home>) -> i32 {
    let elsewhere = key.is_some_and(|key| key != home);
    let tonic = rests(first.look, home);
    i32::from(elsewhere) * BEGIN_ELSEWHERE - i32::from(tonic) * FIRST_TONIC
}

/// Whether a tune may begin and end with the chord as its tonic; a blues does so with a seventh.
fn rests(look: Look, home: Home) -> bool {
    let blues = look.kind == Kind::Dominant && look.root == home.tonic && !home.minor;
    home.is_tonic(look) || blues
}

fn price(event: &Event<'_>, home: Home) -> i32 {
    let situation = Situation {
        chord: event.look,
        home,
        next: event.next,
    };
    i32::from(situation.analysis().price)
}

/// What the step from one chord to the next is worth as a cadence in this key.
fn cadence(from: &Event<'_>, to: &Event<'_>, home: Home) -> i32 {
    let dominant = home.degree(from.look) == 7;
    // A goal that goes on as the ii of a further dominant is no goal.
    let goes_on = to
        .next
        .is_some_and(|next| next.is_dominant() && to.look.up_to(next) == 5);
    if dominant && home.is_tonic(to.look) && !goes_on {
        return match from.look.kind {
            Kind::Dominant => SEVENTH_HOME,
            Kind::Triad | Kind::Augmented => TRIAD_HOME,
            _ => 0,
        };
    }
    let two = matches!(from.look.kind, Kind::Minor | Kind::HalfDiminished);
    let two_five = home.degree(from.look) == 2 && two && home.degree(to.look) == 7;
    i32::from(two_five && to.look.is_dominant()) * TWO_FIVE
}

/// The first of the least costs.
fn least(costs: &[i32; Home::COUNT]) -> (u8, i32) {
    let mut best = (0, i32::MAX);
    for (index, cost) in (0..).zip(costs) {
        if *cost < best.1 {
            best = (index, *cost);
        }
    }
    best
}

fn trace(ways: &[[u8; Home::COUNT]], last: u8) -> Vec<Home> {
    let mut index = usize::from(last);
    let mut homes = Vec::with_capacity(ways.len());
    for way in ways.iter().rev() {
        homes.push(Home::at(index));
        index = way.get(index).copied().map_or(0, usize::from);
    }
    homes.reverse();
    homes
}

/// The keys with names: the chart's own where it is the chart's key, else as the chords of the region
/// write its tonic, else the name with the fewest accidentals.
fn spelled(homes: &[Home], row: &Row<'_>, key: Option<Key>) -> Vec<Option<Key>> {
    let mut keys = Vec::with_capacity(homes.len());
    let mut start = 0;
    for run in homes.chunk_by(PartialEq::eq) {
        let events = row.events.get(start..start + run.len()).unwrap_or_default();
        start += run.len();
        if let Some(home) = run.first() {
            let own = key.filter(|key| Home::of(*key) == *home);
            let name = own.or_else(|| named(*home, events));
            keys.extend(run.iter().map(|_| name));
        }
    }
    keys
}

fn named(home: Home, events: &[Event<'_>]) -> Option<Key> {
    let fourth = Interval::new(3, Semitones(5));
    let on_tonic = events
        .iter()
        .filter(|event| event.look.root == home.tonic)
        .map(|event| event.chord.root());
    let under_fifth = events
        .iter()
        .filter(|event| home.degree(event.look) == 7)
        .filter_map(|event| event.chord.root().plus(fourth));
    let mut written = on_tonic.chain(under_fifth);
    written
        .find_map(|tonic| Key::new(tonic, home.mode()))
        .or_else(|| simplest(home))
}

/// The key with the fewest accidentals, flats before sharps.
fn simplest(home: Home) -> Option<Key> {
    let names = Letter::ALL
        .into_iter()
        .flat_map(|letter| [0, -1, 1].map(|alter| Name::new(letter, alter)));
    names
        .flatten()
        .filter(|name| name.class().number() == home.tonic)
        .filter_map(|tonic| Key::new(tonic, home.mode()))
        .min_by_key(|key| (key.fifths().abs(), key.fifths()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What a row of keys costs, added up without any dynamic programming.
    fn cost(row: &Row<'_>, homes: &[Home], key: Option<Home>) -> i32 {
        let prices = row
            .events
            .iter()
            .zip(homes)
            .map(|(e, home)| price(e, *home));
        let steps = row
            .events
            .windows(2)
            .zip(homes.windows(2))
            .map(|(e, home)| match home[0] == home[1] {
                true => -cadence(&e[0], &e[1], home[1]),
                false => CHANGE,
            });
        let (first, last) = (homes[0], homes[homes.len() - 1]);
        prices.chain(steps).sum::<i32>() + begin(&row.events[0], first, key) + row.end(last, key)
    }

    /// The least cost of any row of keys, by trying them all.
    fn least_of_all(row: &Row<'_>, homes: &mut Vec<Home>, key: Option<Home>) -> i32 {
        if homes.len() == row.events.len() {
            return cost(row, homes, key);
        }
        let mut least = i32::MAX;
        for index in 0..Home::COUNT {
            homes.push(Home::at(index));
            least = least.min(least_of_all(row, homes, key));
            homes.pop();
        }
        least
    }

    #[test]
    fn no_row_of_keys_costs_less() {
        let pool = "Cmaj7 Dm7 G7 E7 Am7 Fm7 Bb7 Ebmaj7 Bm7b5 Db7 F#dim7 Cm6 A7 C7 Gm7 D7sus";
        let pool: Vec<Chord> = pool
            .split(' ')
            .map(|text| Chord::read(text).unwrap())
            .collect();
        for at in 0..pool.len() {
            // Rows with strides through the pool, so that each chord meets others.
            for stride in [1, 3, 5] {
                let chosen = (0..3).map(|n| pool.get((at + n * stride) % pool.len()));
                let chosen: Vec<Option<&Chord>> = chosen.collect();
                let row = Row::of(&chosen);
                for key in [None, Some(Home::at(at % Home::COUNT))] {
                    let found = cost(&row, &row.best(key), key);
                    assert_eq!(
                        found,
                        least_of_all(&row, &mut Vec::new(), key),
                        "{chosen:?}"
                    );
                }
            }
        }
    }
}
