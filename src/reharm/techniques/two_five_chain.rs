//! A chain of ii-V's, a bar each, into a goal.
//!
//! Read in an encyclopedia's article that prints the changes of a blues made of such chains (it cites
//! Baerman 1998, p. 63): Bm7b5 E7 | Am7 D7 | Gm7 C7 | F7, and Em7 A7 | Ebm7 Ab7 | Dm7. So a link leads to
//! the ii of the next one, a whole step above it, or before a ii to a half step above it.

use std::ops::Range;

use super::idea::{Idea, Wanted, halves};
use super::two_five::{Goal, half_step_above, two_five};
use super::{Example, Technique};
use crate::chart::Beats;
use crate::chord::Family;
use crate::harmony::passage::{Passage, Spot, above_tonic, is_tonic};
use crate::pitch::{Key, Mode};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "two-five-chain",
    rule: "Where the tonic, or the I7 and IV7 of a blues, last for bars on the way to another degree of the key, all but the first become ii-V's of a bar each: the last leads to that degree, each of the others to the ii of the next; before a ii also two that fall by a half step.",
    taught: "encyclopedia article on the changes of a bebop blues, where both chains are printed (read; it cites Baerman 1998, p. 63)",
    melody: "each chord is tested for its half bar",
    example: Example {
        key: "C",
        before: "| Cmaj7 | Cmaj7 | C6 | Cmaj7 | Fmaj7 |",
        after: "| Cmaj7 | Bm7b5 E7 | Am7 D7 | Gm7 C7 | Fmaj7 |",
    },
    find,
};

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    let chains = [1, 2, 3].into_iter().map(|links| chain(passage, at, links));
    let chains = chains.chain([by_half_step(passage, at)]);
    chains.flatten().collect()
}

/// So many bars from `at` on that wait, and what they lead to.
struct Bars {
    spots: Range<usize>,
    key: Key,
    goal: Goal,
    /// The two halves of each bar.
    halves: Vec<[Beats; 2]>,
}

impl Bars {
    fn of(passage: &Passage<'_>, at: usize, count: usize) -> Option<Self> {
        let spots = at..at + count;
        let bars = passage.spots.get(spots.clone())?;
        let key = passage.one_key(spots.clone())?;
        let next = passage.after(spots.end - 1)?;
        let before = passage.before(at)?;
        let stays = |spot: &Spot<'_>| waits(key, spot) && spot.is_whole_bar();
        let last = bars.last()?.chord.root().class();
        let moves = next.root().class() != last && above_tonic(key, next) != 0;
        let halves: Option<Vec<[Beats; 2]>> = bars
            .iter()
            .map(|spot| halves(spot.bar_beats).map(<[Beats; 2]>::from))
            .collect();
        (moves && waits(key, before) && bars.iter().all(stays)).then_some(Self {
            spots,
            key,
            goal: Goal::of(key, next)?,
            halves: halves?,
        })
    }

    fn idea(self, chords: Vec<Wanted>, way: &str) -> Idea {
        Idea {
            spots: self.spots,
            chords,
            reason: format!("{way} into {}", self.goal.root),
        }
    }
}

/// Whether nothing is under way: the tonic, or the I7 and IV7 of a blues.
fn waits(key: Key, spot: &Spot<'_>) -> bool {
    let degree = above_tonic(key, spot.chord);
    let dominant = spot.chord.family() == Family::Dominant && spot.chord.bass().is_none();
    let blues = key.mode() == Mode::Major && dominant && matches!(degree, 0 | 5);
    blues || is_tonic(key, spot.chord)
}

/// A chain whose links fall by whole steps; of a single link only in the last bar of a chord that lasts.
fn chain(passage: &Passage<'_>, at: usize, links: usize) -> Option<Idea> {
    let bars = Bars::of(passage, at, links)?;
    let goals = std::iter::successors(Some(bars.goal), |goal| Some(goal.second()));
    let mut goals: Vec<Goal> = goals.take(links).collect();
    goals.reverse();
    let pairs = goals.into_iter().zip(&bars.halves);
    let chords = pairs.flat_map(|(goal, halves)| two_five(bars.key, goal, *halves));
    let chords: Vec<Wanted> = chords.collect();
    let way = match links {
        1 => "a ii-V of its own leads",
        _ => "each ii-V leads to the ii of the next, a whole step lower, and the last",
    };
    Some(bars.idea(chords, way))
}

/// Two ii-V's a half step apart, the second a half step above the ii-V that comes.
fn by_half_step(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let bars = Bars::of(passage, at, 2)?;
    let [first, second] = bars.halves[..] else {
        return None;
    };
    let is_two = passage.five_of(bars.spots.end).is_some();
    if !is_two || !bars.goal.minor {
        return None;
    }
    let own = two_five(bars.key, bars.goal, first);
    let above = half_step_above(bars.key, bars.goal, second);
    let chords = own.into_iter().chain(above).collect();
    Some(bars.idea(chords, "two ii-V's that fall by a half step lead"))
}
