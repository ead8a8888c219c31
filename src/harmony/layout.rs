//! Chords with their lengths, laid out over bars.

use super::passage::Spot;
use super::stretch::ChordTime;
use crate::chart::Beats;

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
        if !is_writable(spots, times.get(begins..)?) {
            return None;
        }
    }
    Some(times)
}

/// Whether a bar can still be written: in whole beats, or in the very shares it had.
///
/// Where a bar has any chord of a fraction of a beat all its chords are equal, so whole beats are
/// never beside fractions in the part of a bar that is left alone.
fn is_writable(old: &[Spot<'_>], new: &[Time<'_>]) -> bool {
    let is_whole = |beats: Beats| beats.denominator() == 1;
    let whole = old.iter().all(|spot| is_whole(spot.beats))
        && new.iter().all(|time| is_whole(time.stretch.beats));
    let lengths = new.iter().map(|time| time.stretch.beats);
    whole || lengths.eq(old.iter().map(|spot| spot.beats))
}
