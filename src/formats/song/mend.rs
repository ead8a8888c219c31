//! Repeats, endings and orders of parts that other formats take loosely, as a chart can follow them.

use super::super::report::{ORDER, REPEATS, WAVERING};
use super::{Song, SongBar};
use crate::chart::{Stroke, Times};

/// Mends what doesn't fit together, and counts it.
pub(super) fn mend(song: &mut Song) {
    let mut mended = never_closed(&mut song.bars);
    mended.extend(lone_endings(&mut song.bars));
    for at in mended {
        let place = song.bars.get(at).map(|bar| bar.place.clone());
        song.report.add(REPEATS, &place.unwrap_or_default());
    }
    for bar in &mut song.bars {
        let named = bar.section.take().map(|name| super::clean(&name));
        bar.section = named.filter(|name| !name.is_empty());
    }
    // What the first bar says, the header says.
    if let Some(first) = song.bars.first_mut() {
        song.key = first.key.take().or(song.key);
        song.tempo = first.tempo.take().or(song.tempo);
    }
    steady(song);
    let known = |name: &String| {
        let sections = song.bars.iter().filter_map(|bar| bar.section.as_ref());
        sections
            .into_iter()
            .any(|section| *section == super::clean(name))
    };
    if !song.play.is_empty() && !song.play.iter().all(known) {
        song.play.clear();
        song.report.add(ORDER, "header");
    }
}

/// Takes away the changes of a tempo that was played and not written: no page says a new one every few bars.
fn steady(song: &mut Song) {
    const BARS_OF_ONE_TEMPO: usize = 4;
    const FEW: usize = 8;
    let changes = song.bars.iter().filter(|bar| bar.tempo.is_some()).count();
    if changes <= FEW || changes * BARS_OF_ONE_TEMPO <= song.bars.len() {
        return;
    }
    for bar in song.bars.iter_mut().filter(|bar| bar.tempo.is_some()) {
        bar.tempo = None;
        song.report.add(WAVERING, &bar.place);
    }
}

/// Takes away the starts of repeats that never end.
fn never_closed(bars: &mut [SongBar]) -> Vec<usize> {
    // Where each open repeat starts, and whether it has gone back.
    let mut open: Vec<(usize, bool)> = Vec::new();
    for (at, bar) in bars.iter().enumerate() {
        if bar.opens_repeat {
            open.pop_if(|(_, went_back)| *went_back);
            open.push((at, false));
        }
        if bar.closes_repeat.is_some() {
            // A first ending begins those of the repeat around this one.
            let ending_follows = bars
                .get(at + 1)
                .is_some_and(|next| next.endings.iter().any(|pass| *pass > 1));
            match open.last_mut() {
                Some((_, went_back)) if ending_follows => *went_back = true,
                _ => drop(open.pop()),
            }
        } else if bar.stroke != Stroke::Single {
            // The last ending stops here.
            open.pop_if(|(_, went_back)| *went_back);
        }
    }
    let lost = open.into_iter().filter(|(_, went_back)| !went_back);
    let lost: Vec<usize> = lost.map(|(at, _)| at).collect();
    for at in &lost {
        if let Some(bar) = bars.get_mut(*at) {
            bar.opens_repeat = false;
        }
    }
    lost
}

/// Gives every pass its ending: where only the first is marked, what follows it is the second, and where
/// nothing follows the mark is needless. A second ending where nothing went back is none.
fn lone_endings(bars: &mut [SongBar]) -> Vec<usize> {
    let mut mended = Vec::new();
    let mut passes = PassesSoFar::default();
    for at in 0..bars.len() {
        let next_free = bars.get(at + 1).map(|next| next.endings.is_empty());
        let Some(bar) = bars.get_mut(at) else { break };
        if !passes.take_in(bar) {
            bar.endings.clear();
            mended.push(at);
        }
        if bar.closes_repeat.is_none() || passes.had.is_empty() {
            continue;
        }
        passes.went_back = true;
        let lacks_second = !passes.had.iter().any(|pass| *pass > 1);
        match next_free {
            Some(true) if lacks_second => {
                mended.push(at);
                if let Some(next) = bars.get_mut(at + 1) {
                    next.endings = vec![2];
                }
            }
            None if lacks_second => {
                mended.push(at);
                take_away_last(bars, at);
            }
            Some(true) => passes.begin(),
            _ => {}
        }
    }
    mended
}

/// How the passes through a repeat have gone, up to a bar.
#[derive(Default)]
struct PassesSoFar {
    /// The passes that have had an ending, while more are to come.
    had: Vec<u8>,
    /// Whether an ending led back to the start.
    went_back: bool,
    /// Whether the bar before closed a repeat.
    closed_before: bool,
}

impl PassesSoFar {
    fn begin(&mut self) {
        (self.had, self.went_back) = (Vec::new(), false);
    }

    /// Goes on to a bar; `false` if the mark of its ending is none.
    fn take_in(&mut self, bar: &SongBar) -> bool {
        // A repeat that starts with an ending starts within it.
        if bar.opens_repeat && bar.endings.is_empty() {
            self.begin();
        }
        let before = std::mem::replace(&mut self.closed_before, bar.closes_repeat.is_some());
        let first = bar.endings.contains(&1);
        if first {
            self.had.clear();
        }
        let fits = bar.endings.is_empty() || first || (self.went_back && before);
        if fits {
            self.had.extend_from_slice(&bar.endings);
        }
        fits
    }
}

/// Takes away the mark of the ending a bar stands in.
fn take_away_last(bars: &mut [SongBar], at: usize) {
    let before = bars.iter_mut().take(at + 1).rev();
    let mut marked = before.filter(|bar| !bar.endings.is_empty());
    if let Some(bar) = marked.next() {
        bar.endings.clear();
    }
    if let Some(bar) = bars.get_mut(at) {
        bar.closes_repeat = bar.closes_repeat.and(Some(Times::AsUsual));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::Meter;

    /// Bars as `|: 1 :| 2`: what each opens, its endings, whether it goes back.
    fn mended(bars: &[(bool, &[u8], bool)]) -> (Vec<(bool, Vec<u8>)>, usize) {
        let bars = bars.iter().map(|(opens, endings, closes)| {
            let mut bar = SongBar::of("bar".to_owned(), Meter::COMMON);
            bar.opens_repeat = *opens;
            bar.endings = endings.to_vec();
            bar.closes_repeat = closes.then_some(Times::AsUsual);
            bar
        });
        let mut song = Song {
            bars: bars.collect(),
            ..Song::default()
        };
        mend(&mut song);
        let count = song.report.items().first().map_or(0, |item| item.count);
        let bars = song
            .bars
            .into_iter()
            .map(|bar| (bar.opens_repeat, bar.endings));
        (bars.collect(), count)
    }

    #[test]
    fn a_repeat_that_never_ends_is_none() {
        let (bars, count) = mended(&[(true, &[], false), (true, &[], true), (true, &[], false)]);
        let opens: Vec<bool> = bars.iter().map(|(opens, _)| *opens).collect();
        assert_eq!((opens, count), (vec![false, true, false], 2));
    }

    #[test]
    fn every_pass_gets_its_ending() {
        let (bars, count) = mended(&[(true, &[], false), (false, &[1], true), (false, &[], false)]);
        assert_eq!((bars[2].1.as_slice(), count), (&[2][..], 1));
        let (bars, count) = mended(&[(true, &[], false), (false, &[1], true)]);
        assert_eq!((bars[1].1.len(), count), (0, 1));
        let (bars, count) = mended(&[(false, &[], false), (false, &[2], false)]);
        assert_eq!((bars[1].1.len(), count), (0, 1));
        let sound = [
            (true, &[][..], false),
            (false, &[1][..], true),
            (false, &[2][..], false),
        ];
        assert_eq!(mended(&sound).1, 0);
    }

    #[test]
    fn a_repeat_may_end_where_the_first_ending_of_another_starts() {
        let nested = [
            (true, &[][..], false),
            (true, &[][..], true),
            (false, &[1][..], true),
            (false, &[2][..], false),
        ];
        let (bars, count) = mended(&nested);
        let opens: Vec<bool> = bars.iter().map(|(opens, _)| *opens).collect();
        assert_eq!((opens, count), (vec![true, true, false, false], 0));
    }
}
