//! The oracle of the tests: every plan, tried one by one, and small random
//! instances to try it on. It shares no code with the planner beyond
//! [`step`] (which has an oracle of its own) and the order of [`Cost`].

use super::{Cost, Layer, Row, StepRule, step};

/// A small generator with a fixed seed, so that a failure can be repeated.
pub(super) struct Dice(u64);

impl Dice {
    pub(super) fn new(seed: u64) -> Dice {
        Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    /// A number from 0 to `sides` - 1.
    pub(super) fn roll(&mut self, sides: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        ((self.0 >> 20) % sides as u64) as usize
    }

    /// A row of up to `longest` entries below `range`.
    pub(super) fn row(&mut self, longest: usize, range: usize) -> Row {
        let mut entries: Vec<i16> = (0..1 + self.roll(longest))
            .map(|_| self.roll(range) as i16)
            .collect();
        entries.sort_unstable();
        entries.dedup();
        Row::new(entries).unwrap()
    }

    pub(super) fn layer(&mut self, most: usize, longest: usize, range: usize) -> Layer {
        (0..1 + self.roll(most))
            .map(|_| self.row(longest, range))
            .collect()
    }

    /// A rule, free two times out of three.
    pub(super) fn rule(&mut self, range: usize) -> StepRule {
        let mut limit = || (self.roll(3) == 0).then(|| self.roll(range) as u16);
        StepRule {
            max_entry_step: limit(),
            max_top_step: limit(),
        }
    }
}

/// A step between two slots, taken so many times.
#[derive(Clone, Copy, Debug)]
pub(super) struct Link {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) times: u64,
    pub(super) rule: StepRule,
}

/// The links of a chain or loop.
pub(super) fn chain_links(length: usize, looped: bool, rules: &[StepRule]) -> Vec<Link> {
    let count = if looped {
        length
    } else {
        length.saturating_sub(1)
    };
    let link = |from: usize| Link {
        from,
        to: (from + 1) % length,
        times: 1,
        rule: rules[from],
    };
    (0..count).map(link).collect()
}

/// What one choice costs; `None` if it breaks a rule. The step from a slot to
/// itself breaks none.
pub(super) fn cost_of(
    layers: &[Layer],
    centre: i32,
    visits: &[u64],
    links: &[Link],
    choice: &[usize],
) -> Option<Cost> {
    let row = |slot: usize| layers[slot].rows()[choice[slot]].entries();
    let mut cost = Cost::default();
    for (slot, &visits) in visits.iter().enumerate() {
        let (low, high) = (row(slot)[0], row(slot)[row(slot).len() - 1]);
        cost.off_centre +=
            u64::from((i32::from(low) + i32::from(high) - centre).unsigned_abs()) * visits;
    }
    for link in links.iter().filter(|link| link.from != link.to) {
        let taken = step(row(link.from), row(link.to));
        let top = row(link.from).last()?.abs_diff(*row(link.to).last()?);
        if link
            .rule
            .max_entry_step
            .is_some_and(|max| taken.largest > u32::from(max))
            || link.rule.max_top_step.is_some_and(|max| top > max)
        {
            return None;
        }
        cost.motion += u64::from(taken.motion) * link.times;
        cost.largest += u64::from(taken.largest) * link.times;
    }
    Some(cost)
}

/// Every possible choice with its cost, cheapest first, equals in
/// lexicographic order.
pub(super) fn ranking(
    layers: &[Layer],
    centre: i32,
    visits: &[u64],
    links: &[Link],
) -> Vec<(Cost, Vec<usize>)> {
    let mut all = Vec::new();
    let mut choice = vec![0; layers.len()];
    loop {
        if let Some(cost) = cost_of(layers, centre, visits, links, &choice) {
            all.push((cost, choice.clone()));
        }
        let Some(slot) = (0..layers.len())
            .rev()
            .find(|&slot| choice[slot] + 1 < layers[slot].len())
        else {
            break;
        };
        choice[slot] += 1;
        choice[slot + 1..].fill(0);
    }
    all.sort();
    all
}

/// The least cost through every candidate.
pub(super) fn prices(layers: &[Layer], ranking: &[(Cost, Vec<usize>)]) -> Vec<Vec<Option<Cost>>> {
    let price = |slot: usize, index: usize| {
        let through = ranking.iter().find(|(_, choice)| choice[slot] == index);
        through.map(|(cost, _)| *cost)
    };
    let slots = layers.iter().enumerate();
    slots
        .map(|(slot, layer)| (0..layer.len()).map(|index| price(slot, index)).collect())
        .collect()
}

/// The least (sum, largest) over all relations that cover both rows, tried as
/// bit masks; of rows of equal length only one-to-one pairings count.
fn step_over_all_relations(a: &[i16], b: &[i16]) -> (u32, u32) {
    let pairs: Vec<(usize, usize)> = (0..a.len())
        .flat_map(|x| (0..b.len()).map(move |y| (x, y)))
        .collect();
    let mut best = (u32::MAX, u32::MAX);
    for mask in 0u32..1 << pairs.len() {
        let taken = || {
            pairs
                .iter()
                .enumerate()
                .filter(|(bit, _)| mask >> bit & 1 == 1)
                .map(|(_, pair)| *pair)
        };
        let covers = (0..a.len()).all(|x| taken().any(|pair| pair.0 == x))
            && (0..b.len()).all(|y| taken().any(|pair| pair.1 == y));
        if covers && (a.len() != b.len() || mask.count_ones() as usize == a.len()) {
            let distances = taken().map(|(x, y)| u32::from(a[x].abs_diff(b[y])));
            best = best.min((distances.clone().sum(), distances.max().unwrap()));
        }
    }
    best
}

#[test]
fn a_step_is_the_least_of_all_covering_relations() {
    let mut dice = Dice::new(1);
    for round in 0..1500 {
        let longest = if round % 50 == 0 { 4 } else { 3 };
        let (a, b) = (dice.row(longest, 14), dice.row(longest, 14));
        let (a, b) = (a.entries(), b.entries());
        let found = step(a, b);
        assert_eq!(
            (found.motion, found.largest),
            step_over_all_relations(a, b),
            "{a:?} {b:?}"
        );
        assert_eq!(found, step(b, a), "{a:?} {b:?}");
    }
}
