//! Which proposals an arranger looks at first.
//!
//! A proposal's rank is its price, what it strains, and what it leads on to: price + 2 · strain
//! − 4 · leads-on, and a dull swap is set back by 6; least first. What is out of the tune's style comes after all
//! that is in it. The price is counted for each bar of the proposal each time it is played, and no
//! further than a band of strain, what it saves no further than a point; what a chord saves because it has fewer tones doesn't count. No more than two of a technique come before every other
//! technique has had its two, since ten tritone substitutes in a row are one idea: one for a place and one for
//! a passage, where it has both. Among those no more than two for the same chords come before the others. The weights are
//! fixed, and not for settings: each is there for a reading of marks that a pianist gave, said beside it.

use std::collections::{BTreeMap, BTreeSet};

use super::Listed;
use crate::chart::NewChord;

/// What a point of strain weighs in a list, in semitones of the hand's motion. The price alone ranks no
/// better than chance (area under the curve 0.40), the strain alone 0.90.
const STRAIN: i64 = 2;

/// The most that a price counts in a list. It ranks no better than chance, so it parts what strain and links
/// leave together, and outweighs no more than a band of strain.
const PRICE: i64 = 3 * STRAIN;

/// The most that what is saved counts: a point of strain. What saves most is a plainer chord for a richer one,
/// which is no arranger's reason (marked tolerable, where a dear insertion was mostly one that sits awkwardly).
const SAVED: i64 = STRAIN;

/// What a link that leads on weighs in a list: a proposal that leads somewhere was marked better than a
/// gentler one that does not.
const LEADS_ON: i64 = 4;

/// What a dull swap, a chord of the key for another, is set back in
/// a list: as much as a band of strain, three points. The swaps were mostly marked tolerable: harmless, and dull.
const SET_BACK: i64 = 3 * STRAIN;

/// So many bars are a passage: what texts print for one, a chain of ii-V's or a row of dominants, is another
/// idea than the same technique at one place.
const PASSAGE: usize = 3;

/// How many that replace the same chords come before other places have had as many.
const AT_A_PLACE: usize = 2;

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
    /// The proposals ranked. With a `welcome` strain those that strain more are left out, and in
    /// place of its strain counts how far it falls short of the welcome one, half.
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
        let (in_style, out) = parted(ranking.best, |_, one| !one.judgement.is_out_of_style());
        let ordered = [in_style, out].into_iter().flat_map(|part| {
            let (best, again) = once(part);
            varied(best).into_iter().chain(again)
        });
        ranking.best = ordered.collect();
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
        None => STRAIN * strain,
        Some(welcome) => STRAIN * (i64::from(welcome) - strain) / 2,
    };
    let set_back = if judgement.dull { SET_BACK } else { 0 };
    let (first, last) = listed.bars();
    let times = i64::try_from(listed.times.max(1)).unwrap_or(i64::MAX);
    let bars = i64::try_from(1 + last - first).unwrap_or(i64::MAX);
    let price = listed
        .price
        .unwrap_or(0)
        .div_euclid(times.saturating_mul(bars));
    // What a poorer chord saves is that there is less to voice.
    let most_saved = if judgement.poorer { 0 } else { SAVED };
    let price = price.clamp(-most_saved, PRICE);
    price + strained + set_back - LEADS_ON * i64::from(judgement.leads_on)
}

/// Those that make another page than any before them, then those that make the same one as another once more:
/// a turnaround that changes one chord is the secondary dominant there.
fn once(best: Vec<Listed>) -> (Vec<Listed>, Vec<Listed>) {
    let mut known: Vec<Vec<NewChord>> = Vec::new();
    parted(best, |_, one| {
        let is_new = !known.contains(&one.what_changes);
        known.push(one.what_changes.clone());
        is_new
    })
}

/// No more than two of a technique before all others have had their two; and among these, and among the rest,
/// no more than two for the same chords before other chords have had theirs.
fn varied(best: Vec<Listed>) -> Vec<Listed> {
    let first = first_of_each(&best);
    let (first, rest) = parted(best, |at, _| first.contains(&at));
    let each = [first, rest].into_iter().flat_map(|part| {
        let mut places: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        let (first, rest) = parted(part, |_, one| {
            let known = places.entry((one.slots.start, one.slots.end)).or_default();
            *known += 1;
            *known <= AT_A_PLACE
        });
        [first, rest]
    });
    each.flatten().collect()
}

/// By their places the two of each technique that come first: the best for a place, and the best for a
/// passage. Where all are of one length, the two best that stand in
/// different places. A passage in one phrase comes before any that goes on
/// into the next: its goal opens a phrase, which is where texts print one.
fn first_of_each(best: &[Listed]) -> BTreeSet<usize> {
    let mut techniques: BTreeMap<&str, [Vec<usize>; 2]> = BTreeMap::new();
    for (at, one) in best
        .iter()
        .enumerate()
        .filter(|(_, one)| !one.judgement.dull)
    {
        let (first, last) = one.bars();
        let is_passage = 1 + last - first >= PASSAGE;
        let of_it = techniques.entry(one.proposal.technique).or_default();
        let [places, passages] = of_it;
        if is_passage { passages } else { places }.push(at);
    }
    let in_a_phrase = |at: &&usize| best.get(**at).is_some_and(|one| one.in_a_phrase);
    let firsts = techniques.values().flat_map(|[places, passages]| {
        let passage = passages.iter().find(in_a_phrase).or(passages.first());
        match (places.first(), passage) {
            (Some(place), Some(passage)) => vec![*place, *passage],
            _ => {
                let mut all = places.iter().chain(passages).copied();
                let first = all.next();
                let elsewhere =
                    first.and_then(|first| all.find(|at| !is_same_place(best, first, *at)));
                first.into_iter().chain(elsewhere).collect()
            }
        }
    });
    firsts.collect()
}

/// Whether two proposals replace the same chords: G7sus G7 and G7sus for G7 are one idea.
fn is_same_place(best: &[Listed], one: usize, other: usize) -> bool {
    let slots = |at: usize| best.get(at).map(|one| &one.slots);
    slots(one) == slots(other)
}

/// Those that come first, then the others, in order.
fn parted(
    all: Vec<Listed>,
    mut is_first: impl FnMut(usize, &Listed) -> bool,
) -> (Vec<Listed>, Vec<Listed>) {
    let (mut first, mut rest) = (Vec::new(), Vec::new());
    for (at, one) in all.into_iter().enumerate() {
        match is_first(at, &one) {
            true => first.push(one),
            false => rest.push(one),
        }
    }
    (first, rest)
}
