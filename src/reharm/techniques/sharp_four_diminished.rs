//! The diminished seventh on the raised fourth, from IV back to I: the sixth bar of many a blues.

use super::idea::{Idea, WantedKind, higher, led_on, on, whole};
use super::{Example, Technique};
use crate::chord::Family;
use crate::harmony::passage::{Passage, above_tonic};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "sharp-four-diminished",
    rule: "Between IV and I comes the diminished seventh on #IV: in the last bar of a long IV, or in the second half of a short one.",
    taught: "Jacobs 2011, as cited in an encyclopedia's articles on blues changes: #IV dim7 in the sixth bar",
    melody: "a chord tone, or the 9 of I",
    example: Example {
        key: "C",
        before: "| F7 | F7 | C7 |",
        after: "| F7 | F#dim7 | C7 |",
    },
    find,
};

/// What the melody may have over it: its tones, and the tone a half step below its seventh, which is the 9 of I.
const SUNG: &[u8] = &[0, 3, 6, 8, 9];

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    idea(passage, at).into_iter().collect()
}

fn idea(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let spot = passage.spot(at)?;
    let (key, next) = spot.key.zip(passage.after(at))?;
    let bright = |family| matches!(family, Family::Major | Family::Dominant);
    let four = above_tonic(key, spot.chord) == 5 && bright(spot.chord.family());
    let one =
        above_tonic(key, next) == 0 && (bright(next.family()) || next.family() == Family::Minor);
    if !four || !one || spot.chord.bass().is_some() {
        return None;
    }
    let root = higher(key.tonic(), 3, 6);
    let chord = on(root, WantedKind::Diminished, spot.key, spot.beats);
    let chord = chord.only(SUNG);
    let idea = match passage.begins(at) {
        true => led_on(at, spot, chord)?,
        false => whole(passage, at..at + 1, chord),
    };
    Some(idea.because(format!(
        "it keeps the third and fifth of {} and rises towards the fifth of {next}",
        spot.chord
    )))
}
