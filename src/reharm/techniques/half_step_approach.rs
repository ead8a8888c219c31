//! A dominant a half step above wherever the harmony goes.

use super::idea::{Idea, WantedKind, alone, exactly, higher, led_on, whole};
use super::{Example, Technique};
use crate::chord::Family;
use crate::harmony::passage::{
    Passage, is_diatonic, is_dominant, is_minor, is_on_root, is_tonic, up,
};
use crate::pitch::Degree;

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "half-step-approach",
    rule: "Before a chord on a degree of the key, unless its fifth is diminished, comes the dominant seventh a half step above it, in half of the time of the chord before unless it is that chord's own V, or in all of it where that chord falls a fifth and is no tonic that only now comes. The chord it leads to stands over its root.",
    taught: "\"Reharmonization Summary\" (course sheet)",
    melody: "the sounds of a Lydian dominant; a b13 is written in its symbol",
    example: Example {
        key: "C",
        before: "| Em7 | Dm7 | G7 | Cmaj7 |",
        after: "| Em7 Eb7 | Dm7 | G7 | Cmaj7 |",
    },
    find,
};

/// The scale of a dominant that slides down, with the b13 that is a tone of the key before a minor chord.
const LYDIAN_DOMINANT: &[u8] = &[0, 2, 4, 6, 7, 8, 9, 10];

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    ideas(passage, at).unwrap_or_default()
}

fn ideas(passage: &Passage<'_>, at: usize) -> Option<Vec<Idea>> {
    let spot = passage.spot(at)?;
    let (key, target) = spot.key.zip(passage.after(at))?;
    let moves = up(spot.chord, target);
    let there = is_dominant(spot.chord) && matches!(moves, 5 | 11);
    // A fifth that is diminished does not become perfect over a root that stays.
    let hollow = moves == 11 && spot.chord.fifth() == Some(Degree::FLAT_FIFTH);
    // No dominant leads to a chord whose fifth is diminished (any harmony text).
    let firm = !matches!(target.family(), Family::HalfDiminished | Family::Diminished);
    let slides = firm && is_on_root(target) && is_diatonic(key, target.root().class());
    if moves == 0 || there || hollow || !slides {
        return None;
    }
    let dominant = match moves {
        11 => exactly(spot.chord.root(), WantedKind::Dominant, spot.beats),
        _ => {
            let root = higher(target.root(), 1, 1);
            alone(root, WantedKind::Dominant, spot.key, spot.beats)
        }
    };
    let dominant = dominant.only(LYDIAN_DOMINANT);
    // A tritone above its target lies the chord it is the V of: F7 after Bbmaj7 is heard as going back (common
    // practice, no source).
    // Nor does a minor chord turn major on its root half way: it leads a half step down by itself.
    let turns = moves == 11 && is_minor(spot.chord);
    let led = led_on(at, spot, dominant.clone()).filter(|_| moves != 6 && !turns);
    // The tonic is heard at home before another chord takes its place (common practice, no source).
    let comes_home = is_tonic(key, spot.chord) && passage.begins(at);
    let all = (moves == 5 && !comes_home).then(|| whole(passage, at..at + 1, dominant));
    let reason = format!("the new dominant slides a half step down into {target}");
    let both = led.into_iter().chain(all);
    Some(both.map(|idea| idea.because(reason.clone())).collect())
}
