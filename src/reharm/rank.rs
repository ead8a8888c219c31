//! Which proposals an arranger looks at first.
//!
//! A proposal's rank is its price, what it strains, and what it leads on to: price + 2 · strain
//! − 4 · leads-on, least first. The price is counted for each bar of the proposal each time it is played, and no
//! further than a band of strain either way. No more than two of a technique come before every other
//! technique has had its two, since ten tritone substitutes in a row are one idea; and among those no more than
//! two for the same chords before the others. The weights stand with those of the strain ([`weights`]).

use super::Listed;
use super::strain::weights;

/// Proposals in the order an arranger looks at them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Ranking {
    /// Those that bring something to the hand, best first.
    pub best: Vec<Listed>,
    /// Those that bring nothing new.
    pub idle: Vec<Listed>,
    /// Those that move the bass alone, which a hand without roots doesn't play.
    pub bass_only: Vec<Listed>,
}

impl Ranking {
    /// The proposals ranked. With a `welcome` strain those that strain more are left out, and what one
    /// falls short of it counts as well, half.
    pub fn of(listed: Vec<Listed>, welcome: Option<u32>) -> Self {
        let mut listed = listed;
        listed.retain(|one| welcome.is_none_or(|welcome| one.judgement.strain.total() <= welcome));
        // Sorting keeps the order of the list among equals.
        listed.sort_by_key(|one| score(one, welcome));
        let mut ranking = Self::default();
        for one in listed {
            match (one.judgement.bass_only, one.judgement.idle) {
                (true, _) => ranking.bass_only.push(one),
                (_, true) => ranking.idle.push(one),
                _ => ranking.best.push(one),
            }
        }
        ranking.best = varied(ranking.best);
        ranking
    }

    /// All of them: the best, then the idle ones, then those of the bass alone.
    pub fn all(&self) -> impl Iterator<Item = &Listed> {
        let rest = self.idle.iter().chain(&self.bass_only);
        self.best.iter().chain(rest)
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.all().count()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

/// What a proposal is ranked by, least first; one without a price costs nothing.
fn score(listed: &Listed, welcome: Option<u32>) -> i64 {
    let judgement = &listed.judgement;
    let strain = i64::from(judgement.strain.total());
    let strained = match welcome {
        None => weights::RANK_STRAIN * strain,
        Some(welcome) => weights::RANK_STRAIN * (i64::from(welcome) - strain).abs() / 2,
    };
    let dull = if judgement.dull {
        weights::PLAIN_SWAP
    } else {
        0
    };
    let (first, last) = listed.bars();
    let times = i64::try_from(listed.times.max(1)).unwrap_or(i64::MAX);
    let bars = i64::try_from(1 + last - first).unwrap_or(i64::MAX);
    let price = listed
        .price
        .unwrap_or(0)
        .div_euclid(times.saturating_mul(bars));
    let price = price.clamp(-weights::RANK_PRICE, weights::RANK_PRICE);
    price + strained + dull - weights::RANK_LEADS_ON * i64::from(judgement.leads_on)
}

/// No more than two of a technique before all others have had their two; and among these, and among the rest,
/// no more than two for the same chords before other chords have had theirs.
fn varied(best: Vec<Listed>) -> Vec<Listed> {
    let technique = |a: &Listed, b: &Listed| a.proposal.technique == b.proposal.technique;
    let place = |a: &Listed, b: &Listed| a.slots == b.slots;
    let parts = parted(best, weights::OF_A_KIND, technique).into_iter();
    let each = parts.flat_map(|part| parted(part, weights::AT_A_PLACE, place));
    each.flatten().collect()
}

/// The first so many of those that are alike, then the others, in order.
fn parted(
    all: Vec<Listed>,
    most: usize,
    alike: impl Fn(&Listed, &Listed) -> bool,
) -> [Vec<Listed>; 2] {
    let mut parted = [Vec::new(), Vec::new()];
    let [first, rest] = &mut parted;
    for one in all {
        let known = first.iter().filter(|other| alike(other, &one)).count();
        if known < most {
            &mut *first
        } else {
            &mut *rest
        }
        .push(one);
    }
    parted
}
