//! Chords with their lengths, laid out over bars.

use super::chord_time::ChordTime;
use super::passage::Spot;
use crate::chart::Beats;
use crate::chart::bar_sharing::can_be_divided_anew;

/// A stretch of time within a bar for one of the wanted chords.
#[derive(Debug)]
pub(crate) struct Time<'a> {
    /// Which of the wanted chords.
    pub(crate) of: usize,
    /// The written bar, counted from 1.
    pub(crate) bar: usize,
    /// When in the bar.
    pub(crate) stretch: ChordTime,
    /// The replaced spots of the bar.
    pub(crate) spots: &'a [Spot<'a>],
}

/// Lays lengths out over the time of the old spots, cut at the bar lines.
///
/// `None` when they don't fill it exactly, or a bar could not be written down.
pub(crate) fn laid_out<'a>(old: &'a [Spot<'a>], lengths: &[Beats]) -> Option<Vec<Time<'a>>> {
    let all: Beats = old.iter().map(|spot| spot.beats).sum();
    if all != lengths.iter().copied().sum() || lengths.iter().any(|beats| *beats <= Beats::ZERO) {
        return None;
    }
    let mut times = Vec::new();
    let mut left = lengths.iter().copied().enumerate();
    let (mut of, mut rest) = left.next()?;
    for spots in old.chunk_by(|a, b| a.bar == b.bar) {
        let (first, last) = (spots.first()?, spots.last()?);
        let mut beat = first.beat;
        let begins = times.len();
        while beat < last.end() {
            if rest == Beats::ZERO {
                (of, rest) = left.next()?;
            }
            let beats = rest.min(last.end() - beat);
            times.push(Time {
                of,
                bar: first.bar,
                stretch: ChordTime {
                    beat,
                    beats,
                    bar_beats: first.bar_beats,
                },
                spots,
            });
            (beat, rest) = (beat + beats, rest - beats);
        }
        let old = spots.iter().map(|spot| spot.beats);
        let new = times.get(begins..)?.iter().map(|time| time.stretch.beats);
        if !can_be_divided_anew(old, new) {
            return None;
        }
    }
    Some(times)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chord::Chord;

    /// Every way to lay up to three lengths over two bars of 4/4, the second of two chords: each length is kept,
    /// cut at bar lines alone, and nothing else is laid out.
    #[test]
    fn lengths_that_fill_the_time_are_cut_at_bar_lines_and_others_are_refused() {
        let chord = Chord::read("C6").unwrap();
        let spot = |bar, beat, beats| Spot {
            chord: &chord,
            key: None,
            bar,
            beat: Beats::whole(beat),
            beats: Beats::whole(beats),
            bar_beats: Beats::whole(4),
            melody_notes: &[],
        };
        let old = [spot(1, 1, 4), spot(2, 1, 2), spot(2, 3, 2)];
        let tried = |lengths: &[i64]| {
            let lengths: Vec<Beats> = lengths.iter().map(|beats| Beats::whole(*beats)).collect();
            laid_out(&old, &lengths)
        };
        for [a, b, c] in (0..1000).map(|n| [n / 100 - 1, n / 10 % 10 - 1, n % 10 - 1]) {
            let lengths = [a, b, c];
            let fits = a > 0 && b > 0 && c > 0 && a + b + c == 8;
            let Some(times) = tried(&lengths) else {
                assert!(!fits, "{lengths:?}");
                continue;
            };
            assert!(fits, "{lengths:?}");
            for (of, length) in lengths.iter().enumerate() {
                let own = times.iter().filter(|time| time.of == of);
                let all: Beats = own.map(|time| time.stretch.beats).sum();
                assert_eq!(all, Beats::whole(*length));
            }
            let ends = times.iter().map(|time| time.stretch.end());
            assert!(ends.into_iter().all(|end| end <= Beats::whole(5)));
            let first: Beats = times
                .iter()
                .filter(|time| time.bar == 1)
                .map(|t| t.stretch.beats)
                .sum();
            assert_eq!(first, Beats::whole(4));
        }
        assert!(tried(&[]).is_none() && tried(&[8]).is_some_and(|times| times.len() == 2));
    }
}
