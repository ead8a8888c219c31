//! The dominant on the other side of the tritone.
//!
//! What each melody degree of the old dominant is over the new one follows from the rule: 1 b9 #9 3
//! #11 b13 b7 become #11 5 13 b7 1 9 3, all of them at home in its Lydian dominant scale; 9, 5 and 13
//! become b13, b9 and #9, which the new symbol must then carry; 11 and a major seventh become the
//! major seventh and the 11, which no dominant takes.

use super::idea::{Idea, WantedKind, alone, higher, whole};
use super::{Example, Technique};
use crate::harmony::passage::{Passage, above_tonic, is_dominant, up};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "tritone",
    rule: "A dominant seventh that resolves becomes the dominant seventh a tritone away; 3 and 7 change places.",
    taught: "Terefenko, ch. 13 (an extract read); Levine, The Jazz Theory Book, and Nettles & Graf, The Chord Scale Theory and Jazz Harmony (neither opened)",
    melody: "neither 11 nor major seventh of the old dominant; a 9, 5 or 13 makes the new one altered",
    example: Example {
        key: "C",
        before: "| Dm7 | G7 | Cmaj7 |",
        after: "| Dm7 | Db7 | Cmaj7 |",
    },
    find,
};

/// So many chords before it are still in the ear.
const JUST_BEFORE: usize = 2;

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    ideas(passage, at).unwrap_or_default()
}

fn ideas(passage: &Passage<'_>, at: usize) -> Option<Vec<Idea>> {
    let spot = passage.spot(at).filter(|spot| is_dominant(spot.chord))?;
    let spots = passage.moving(at)?;
    let target = passage.after(spots.end - 1)?;
    // Down a fifth, or already the substitute, down a half step: then the old dominant comes back. A slide into
    // the tonic is the tune's own cadence, and the plain V is no improvement on it (a pianist's marks).
    let home = spot.key.is_some_and(|key| above_tonic(key, target) == 0);
    let (letters, way) = match up(spot.chord, target) {
        5 => (4, "a half step"),
        11 if !home => (3, "a fifth"),
        _ => return None,
    };
    let root = higher(spot.chord.root(), letters, 6);
    // Where it has just sounded, coming back to it turns in a circle; and a blues keeps the V of a whole bar, by which
    // it is known (arrangers' marks).
    let before = passage.spots.get(at.saturating_sub(JUST_BEFORE)..at)?;
    let circles = up(spot.chord, target) == 5
        && before
            .iter()
            .any(|before| before.chord.root().class() == root.class());
    let blues = spot.is_whole_bar() && home && is_dominant(target);
    if circles || blues {
        return None;
    }
    let dominant = alone(root, WantedKind::Dominant, spot.key, spot.beats);
    let idea = whole(passage, spots, dominant);
    Some(vec![idea.because(format!(
        "its 3 and 7 are the 7 and 3 of {}, and its root falls {way} into {target}",
        spot.chord
    ))])
}
