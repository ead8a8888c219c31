//! The way home through the back door: iv7 bVII7 I.
//!
//! It is taught on the way to a major I only. In a minor key iv7 bVII7 is the ii-V of the relative
//! major, and i after it would be heard as that key's vi.

use super::idea::{Idea, Wanted, WantedKind, higher, on, shared, whole};
use super::{Example, Technique};
use crate::chord::Family;
use crate::harmony::passage::{Passage, Spot, is_dominant, is_tonic};
use crate::pitch::{Key, Mode};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "backdoor",
    rule: "The V7 before a major I, with the ii or IV before it, becomes bVII7 with its own ii, the iv7.",
    taught: "Coker, as named in an encyclopedia's article on the backdoor progression",
    melody: "over bVII7 the notes of its Lydian dominant scale: the key's leading tone would be its b9 and is refused",
    example: Example {
        key: "C",
        before: "| Dm7 | G7 | Cmaj7 |",
        after: "| Fm7 | Bb7 | Cmaj7 |",
    },
    find,
};

const LYDIAN_DOMINANT: &[u8] = &[0, 2, 4, 6, 7, 9, 10];

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    let Some((spot, key)) = passage.spot(at).and_then(|spot| Some((spot, spot.key?))) else {
        return Vec::new();
    };
    if key.mode() == Mode::Minor {
        return Vec::new();
    }
    let pair = both(passage, at, spot, key).into_iter();
    pair.chain(alone(passage, at, spot, key)).collect()
}

/// ii V, or IV V, each replaced in its own time.
fn both(passage: &Passage<'_>, at: usize, spot: &Spot<'_>, key: Key) -> Option<Idea> {
    let subdominant = matches!(
        (spot.degree_in(Mode::Major)?, spot.chord.family()),
        (2, Family::Minor) | (5, Family::Major)
    );
    let one_key = passage.one_key(at..at + 2).is_some();
    let second = passage.spot(at + 1).filter(|_| subdominant && one_key)?;
    if !goes_home(passage, at + 1, second, key) {
        return None;
    }
    Some(Idea {
        spots: at..at + 2,
        chords: vec![iv(key, spot), flat_seven(key, second)],
        reason: reason(key),
    })
}

/// The V7 alone, by bVII7 or by the two of them.
fn alone(passage: &Passage<'_>, at: usize, spot: &Spot<'_>, key: Key) -> Vec<Idea> {
    let Some(spots) = passage.moving(at) else {
        return Vec::new();
    };
    if !goes_home(passage, spots.end - 1, spot, key) {
        return Vec::new();
    }
    let one = whole(passage, spots.clone(), flat_seven(key, spot));
    let two = shared(passage, spots, iv(key, spot), flat_seven(key, spot));
    let all = [Some(one), two].into_iter().flatten();
    all.map(|idea| idea.because(reason(key))).collect()
}

fn goes_home(passage: &Passage<'_>, last: usize, spot: &Spot<'_>, key: Key) -> bool {
    let dominant = is_dominant(spot.chord) && spot.degree_in(Mode::Major) == Some(7);
    dominant && passage.after(last).is_some_and(|next| is_tonic(key, next))
}

fn iv(key: Key, spot: &Spot<'_>) -> Wanted {
    on(
        higher(key.tonic(), 3, 5),
        WantedKind::Minor,
        spot.key,
        spot.beats,
    )
}

fn flat_seven(key: Key, spot: &Spot<'_>) -> Wanted {
    let root = higher(key.tonic(), 6, 10);
    on(root, WantedKind::Dominant, spot.key, spot.beats).only(LYDIAN_DOMINANT)
}

fn reason(key: Key) -> String {
    format!("bVII7 keeps two tones of the V7 and climbs a whole step into the I of {key}")
}
