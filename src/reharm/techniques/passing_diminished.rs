//! A diminished seventh that fills a whole step in the bass.
//!
//! Upwards it is the rootless V7b9 of the chord it leads to (C#dim7 before Dm7 is A7b9 without its A).

use super::idea::{Idea, Wanted, WantedKind, alone, higher, led_on, rising, whole};
use super::{Example, Technique};
use crate::chord::{Chord, Family};
use crate::harmony::passage::{Passage, Spot, above_tonic, is_diatonic, is_on_root, up};
use crate::pitch::{Key, Mode};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "passing-diminished",
    rule: "Between two chords of the key over their roots, a whole step apart, comes the diminished seventh on the half step between them: upwards anywhere, downwards from iii to ii.",
    taught: "lessons on passing diminished chords (read); downwards in \"Reharmonization Summary\" (course sheet)",
    melody: "a chord tone",
    example: Example {
        key: "C",
        before: "| Cmaj7 | Dm7 | G7 |",
        after: "| Cmaj7 C#dim7 | Dm7 | G7 |",
    },
    find,
};

/// What the melody may have over it: its tones. Any other rubs: D#dim7 into Em under an F, and G#dim7 into A under
/// an E, over which E7 is the better chord (pianists' marks).
const SUNG: &[u8] = &[0, 3, 6, 9];

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    let split = led(passage, at).into_iter();
    split.chain(replaced(passage, at)).collect()
}

/// The second half of a chord leads on to the next.
fn led(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let spot = passage.spot(at)?;
    let target = passage.after(at)?;
    let (chord, reason) = between(spot.chord, target, spot)?;
    Some(led_on(at, spot, chord)?.because(reason))
}

/// The chord that stands between two such chords gives way, unless a cadence leads to it.
fn replaced(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let spot = passage.spot(at)?;
    let (before, target) = (passage.before(at)?, passage.after(at)?);
    let differs = spot.chord != before.chord
        && spot.chord != target
        && !passage.is_awaited(at)
        && !passage.is_resolution(at)
        && !is_suspended(passage, at);
    let (chord, reason) = between(before.chord, target, spot).filter(|_| differs)?;
    Some(whole(passage, at..at + 1, chord).because(reason))
}

/// Whether a chord is suspended and resolves on its own root.
fn is_suspended(passage: &Passage<'_>, at: usize) -> bool {
    passage.after(at).is_some() && passage.is_resolution(at + 1)
}

fn between(from: &Chord, to: &Chord, spot: &Spot<'_>) -> Option<(Wanted, String)> {
    let key = spot.key?;
    let in_key = |chord: &Chord| {
        is_diatonic(key, chord.root().class()) && chord.family() != Family::Diminished
    };
    let on_roots = [from, to].iter().all(|chord| is_on_root(chord));
    if !on_roots || !in_key(from) || !in_key(to) {
        return None;
    }
    let (chord, why) = match up(from, to) {
        2 => {
            let chord = rising(higher(from.root(), 0, 1), spot.key, spot.beats);
            (
                chord,
                format!(" up, and is the V7b9 of {to} without its root"),
            )
        }
        10 if is_three_two(from, to, key) => {
            let root = higher(to.root(), 1, 1);
            let chord = alone(root, WantedKind::Diminished, spot.key, spot.beats);
            (chord, " down".to_owned())
        }
        _ => return None,
    };
    let chord = chord.only(SUNG);
    let reason = format!("it fills the whole step from {from} to {to}{why}");
    Some((chord, reason))
}

fn is_three_two(from: &Chord, to: &Chord, key: Key) -> bool {
    let minor = |chord: &Chord| chord.family() == Family::Minor;
    key.mode() == Mode::Major && above_tonic(key, from) == 4 && minor(from) && minor(to)
}
