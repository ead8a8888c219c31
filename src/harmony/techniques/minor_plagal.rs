//! IV turns minor on its way home.

use super::idea::{Idea, Kind, led_on, on, whole};
use super::{Example, Technique};
use crate::chord::Family;
use crate::harmony::passage::{Passage, is_tonic};
use crate::pitch::Mode;

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "minor-plagal",
    rule: "A IV that goes to a major I turns minor, as iv6, iv7 or iv with a major seventh, in its second half or throughout.",
    taught: "common practice, from memory",
    melody: "not the key's natural 6, which is the major third of the IV",
    example: Example {
        key: "C",
        before: "| Fmaj7 | Cmaj7 |",
        after: "| Fmaj7 Fm6 | Cmaj7 |",
    },
    find,
};

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    ideas(passage, at).unwrap_or_default()
}

fn ideas(passage: &Passage<'_>, at: usize) -> Option<Vec<Idea>> {
    let spot = passage.spot(at)?;
    let (key, next) = spot.key.zip(passage.after(at))?;
    let four = spot.degree_in(Mode::Major)? == 5 && spot.chord.family() == Family::Major;
    if !four || !is_tonic(key, next) {
        return None;
    }
    let root = spot.chord.root();
    let chord = on(root, Kind::MinorSubdominant, spot.key, spot.beats);
    let led = led_on(at, spot, chord.clone()).filter(|_| passage.begins(at));
    let all = led.into_iter().chain([whole(passage, at..at + 1, chord)]);
    let reason = format!("its minor third falls a half step to the fifth of {next}");
    Some(all.map(|idea| idea.because(reason.clone())).collect())
}
