//! IV turns minor on its way home.
//!
//! In a minor key the iv is minor already, so there the rule has work only where a IV is borrowed.

use super::idea::{Idea, WantedKind, led_on, on, whole};
use super::{Example, Technique};
use crate::chord::{Chord, Family};
use crate::harmony::passage::{Passage, above_tonic};
use crate::pitch::{Key, Mode};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "minor-plagal",
    rule: "A IV or IV7 that goes to I turns minor, as iv6, iv7 or iv with a major seventh, in its second half or throughout; in a minor key too, where a major IV goes to i.",
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
    let bright = matches!(spot.chord.family(), Family::Major | Family::Dominant);
    let four = above_tonic(key, spot.chord) == 5 && bright;
    if !four || spot.chord.bass().is_some() || !is_home(key, next) {
        return None;
    }
    let root = spot.chord.root();
    let chord = on(root, WantedKind::MinorSubdominant, spot.key, spot.beats);
    let led = led_on(at, spot, chord.clone()).filter(|_| passage.begins(at));
    let all = led.into_iter().chain([whole(passage, at..at + 1, chord)]);
    let reason = format!("its minor third falls a half step to the fifth of {next}");
    Some(all.map(|idea| idea.because(reason.clone())).collect())
}

/// The tonic, or the I7 that is one in a blues.
fn is_home(key: Key, chord: &Chord) -> bool {
    let family = match key.mode() {
        Mode::Major => matches!(chord.family(), Family::Major | Family::Dominant),
        Mode::Minor => chord.family() == Family::Minor,
    };
    family && above_tonic(key, chord) == 0
}
