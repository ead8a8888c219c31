//! Which notes of the melody that are tied over a bar line go on behind it.

use super::{Bar, Chart, Event};
use crate::pitch::Note;

impl Bar {
    /// The last note of its melody, if it is tied to what follows.
    pub fn tied_note(&self) -> Option<Note> {
        let last = self.melody.as_deref()?.last()?;
        last.note.filter(|_| last.tied)
    }

    /// Whether its last note goes on as the first of another bar.
    ///
    /// ```
    /// let chart = compline::chart::read("| C | F |\nmel | r:3 A4:1- | A4:4 |").unwrap();
    /// let bars: Vec<_> = chart.bars().collect();
    /// assert!(bars[0].is_tied_to(bars[1]));
    /// ```
    pub fn is_tied_to(&self, next: &Self) -> bool {
        let first = next.melody.iter().flatten().next();
        let goes_on = first.and_then(Event::pitch);
        goes_on.is_some() && self.tied_note().and_then(Note::pitch) == goes_on
    }
}

impl Chart {
    /// The bars, from 0, whose last note is tied to nothing: neither the next bar on the page nor one that
    /// is played after it begins with the same key.
    pub(super) fn loose_ties(&self) -> Vec<usize> {
        let bars: Vec<&Bar> = self.bars().collect();
        let goes_on = |at: usize, bar: &Bar| {
            let next = bars.get(at + 1);
            next.is_some_and(|next| bar.is_tied_to(next))
        };
        let ends = (0..).zip(&bars);
        let loose = ends.filter(|(at, bar)| bar.tied_note().is_some() && !goes_on(*at, bar));
        let mut loose: Vec<usize> = loose.map(|(at, _)| at).collect();
        if !loose.is_empty() {
            let joined = self.joined_in_play(&bars);
            loose.retain(|at| joined.binary_search(at).is_err());
        }
        loose
    }

    /// Takes away every tie that leads nowhere.
    pub(crate) fn untie_loose(&mut self) {
        let loose = self.loose_ties();
        for (at, bar) in self.bars_mut().enumerate() {
            let Some((last, others)) = bar
                .melody
                .as_mut()
                .and_then(|melody| melody.split_last_mut())
            else {
                continue;
            };
            last.tied &= last.note.is_some() && loose.binary_search(&at).is_err();
            others.iter_mut().for_each(|other| other.tied = false);
        }
    }

    /// The bars whose last note goes on in a bar that is played after them, rising; all of them where the
    /// play order can't be played, which is told where one is asked for.
    fn joined_in_play(&self, bars: &[&Bar]) -> Vec<usize> {
        let Ok(order) = self.play_order() else {
            return (0..bars.len()).collect();
        };
        let played = order.visits().windows(2).filter_map(|pair| match pair {
            [here, next] => Some((here.bar, bars.get(here.bar)?, bars.get(next.bar)?)),
            _ => None,
        });
        let mut joined: Vec<usize> = played
            .filter(|(_, here, next)| here.is_tied_to(next))
            .map(|(at, ..)| at)
            .collect();
        joined.sort_unstable();
        joined.dedup();
        joined
    }
}
