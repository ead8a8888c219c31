//! A bass that falls by steps through a whole phrase, with a chord for each step.
//!
//! An open textbook of music theory, chapter on descending chromatic bass lines (read), gives i V6 . IV6 .
//! V over the line 1 7 b7 6 of many a lament, and a lesson on bass line progressions (read) I V/3 vi vi/b7
//! IV; a column on the descending bass line (read) goes on F C/E Dm. The minor row of thirds is
//! from memory.

use super::idea::{Idea, Wanted, halves, higher, over, quarter, same};
use super::{Example, Technique};
use crate::chart::Beats;
use crate::chord::{Chord, Family};
use crate::harmony::passage::{Passage, Spot, above_tonic, is_tonic};
use crate::pitch::{Key, Mode};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "descending-bass",
    rule: "Where roots fall by thirds from I, as in I vi IV ii, the second half of each chord takes the step between: I V/7, vi I/5, IV I/3; over a minor i that lasts the bass falls 1 7 b7 6 under i V/7 i/b7 IV/6 on the way to V or bVI.",
    taught: "an open textbook of music theory, chapter on descending chromatic bass lines, a lesson on bass line progressions and a column on the descending bass line (all read); the minor row of thirds from memory",
    melody: "each new chord is tested for its time",
    example: Example {
        key: "C",
        before: "| C | Am7 | Fmaj7 | Dm7 |",
        after: "| C G/B | Am7 C/G | Fmaj7 C/E | Dm7 |",
    },
    find,
};

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    [by_thirds(passage, at), lament(passage, at)]
        .into_iter()
        .flatten()
        .collect()
}

/// A chord of the row, and the step to the next.
struct Third {
    /// How far the two roots lie above the tonic.
    from: i32,
    to: i32,
    step: SlashChord,
}

/// A chord over a bass: letters and half steps above the tonic of its root and of its bass, and what is
/// written after the root.
struct SlashChord {
    root: (i32, i32),
    ending: &'static str,
    bass: (i32, i32),
}

const fn third((from, to): (i32, i32), step: SlashChord) -> Third {
    Third { from, to, step }
}

const fn slash(root: (i32, i32), ending: &'static str, bass: (i32, i32)) -> SlashChord {
    SlashChord { root, ending, bass }
}

const MAJOR: [Third; 3] = [
    third((0, 9), slash((4, 7), "", (6, 11))),
    third((9, 5), slash((0, 0), "", (4, 7))),
    third((5, 2), slash((0, 0), "", (2, 4))),
];

const MINOR: [Third; 3] = [
    third((0, 8), slash((4, 7), "m", (6, 10))),
    third((8, 5), slash((0, 0), "m", (4, 7))),
    third((5, 2), slash((0, 0), "m", (2, 3))),
];

/// Over a minor tonic: V/7, i/b7, IV/6.
const LAMENT: [SlashChord; 3] = [
    slash((4, 7), "", (6, 11)),
    slash((0, 0), "m", (6, 10)),
    slash((3, 5), "", (5, 9)),
];

impl SlashChord {
    fn of(&self, key: Key, beats: Beats) -> Option<Wanted> {
        let above = |(letters, semitones)| higher(key.tonic(), letters, semitones);
        let (root, bass) = (above(self.root), above(self.bass));
        over(root, self.ending, bass, Some(key), beats)
    }
}

/// At least two chords in a row whose roots fall by thirds, each with the step to the next.
fn by_thirds(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let key = passage.spot(at)?.key?;
    let thirds: &[Third] = match key.mode() {
        Mode::Major => &MAJOR,
        Mode::Minor => &MINOR,
    };
    let row = row(passage, at, key, thirds);
    let from_home = row.first().is_some_and(|(_, third)| third.from == 0);
    let end = at + row.len();
    let target = passage.after(end.checked_sub(1)?)?;
    if row.len() < 2 || !from_home {
        return None;
    }
    let links = row.iter().map(|(spot, third)| third.link(spot, key));
    let links: Vec<[Wanted; 2]> = links.collect::<Option<_>>()?;
    Some(Idea {
        spots: at..end,
        chords: links.into_iter().flatten().collect(),
        reason: format!("the bass falls by the steps of {key} down to {target}"),
    })
}

/// The chords from here on that each fall a third into the next.
fn row<'p>(
    passage: &Passage<'p>,
    at: usize,
    key: Key,
    thirds: &'static [Third],
) -> Vec<(&'p Spot<'p>, &'static Third)> {
    let rest = passage.spots.get(at..).unwrap_or_default();
    let falling = rest.iter().enumerate().map_while(|(place, spot)| {
        let next = passage.after(at + place)?;
        let pair = (above_tonic(key, spot.chord), above_tonic(key, next));
        let third = thirds.iter().find(|third| (third.from, third.to) == pair)?;
        let firm = [spot.chord, next].into_iter().all(is_firm);
        (firm && spot.key == Some(key)).then_some((spot, third))
    });
    falling.collect()
}

/// Whether a chord stands over its own root and is no dominant, which would lead elsewhere.
fn is_firm(chord: &Chord) -> bool {
    let kind = matches!(
        chord.family(),
        Family::Major | Family::Minor | Family::HalfDiminished
    );
    kind && chord.bass().is_none()
}

impl Third {
    /// The chord for the first half of its time, and the step to the next for the second.
    fn link(&self, spot: &Spot<'_>, key: Key) -> Option<[Wanted; 2]> {
        let (long, short) = halves(spot.beats)?;
        let step = self.step.of(key, short)?;
        Some([same(spot.chord, long), step])
    }
}

/// A minor tonic that lasts two bars or more: i V/7 i/b7 IV/6, on the way to V or bVI.
fn lament(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let spot = passage.spot(at).filter(|_| passage.begins(at))?;
    let key = spot.key.filter(|key| key.mode() == Mode::Minor)?;
    let spots = passage.run(at);
    let target = passage.after(spots.end - 1)?;
    let beats = passage.beats(spots.clone());
    let lasts = beats >= spot.bar_beats + spot.bar_beats;
    let there = matches!(above_tonic(key, target), 7 | 8) && target.bass().is_none();
    let plain = spot.chord.bass().is_none() && is_tonic(key, spot.chord);
    if !lasts || !there || !plain {
        return None;
    }
    Some(Idea {
        chords: lamented(spot, key, quarter(beats)?)?,
        spots,
        reason: format!("the bass falls 1 7 b7 6 by half steps, a chord for each, to {target}"),
    })
}

fn lamented(spot: &Spot<'_>, key: Key, beats: Beats) -> Option<Vec<Wanted>> {
    let falling = LAMENT.iter().map(|chord| chord.of(key, beats));
    let first = Some(same(spot.chord, beats));
    std::iter::once(first).chain(falling).collect()
}
