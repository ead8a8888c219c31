//! Two bars of I on the way back to I.

use super::idea::{Idea, Kind, halves, higher, on, same};
use super::{Example, Technique};
use crate::harmony::passage::{Passage, above_tonic, is_tonic};
use crate::pitch::Mode;

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "turnaround",
    rule: "Two bars of a major I before another I become I VI7 ii V7, two chords a bar.",
    taught: "Felts, Reharmonization Techniques, chapter on turnarounds (contents read); I VI7 ii V as in the last bars of a jazz blues (Jacobs 2011, as cited in an encyclopedia)",
    melody: "each chord is tested for its half bar",
    example: Example {
        key: "C",
        before: "| Cmaj7 | Cmaj7 | C6 |",
        after: "| Cmaj7 A7 | Dm7 G7 | C6 |",
    },
    find,
};

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    idea(passage, at).into_iter().collect()
}

fn idea(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let [first, second] = passage.spots.get(at..at + 2)? else {
        return None;
    };
    let key = passage.one_key(at..at + 2)?;
    let next = passage.after(at + 1)?;
    let bars = first.is_whole_bar() && second.is_whole_bar();
    let rests = is_tonic(key, first.chord) && is_tonic(key, second.chord);
    if key.mode() != Mode::Major || !bars || !rests || above_tonic(key, next) != 0 {
        return None;
    }
    let (a, b) = halves(first.beats)?;
    let (c, d) = halves(second.beats)?;
    let tonic = key.tonic();
    let chord = |letters, semitones, kind, beats| {
        on(higher(tonic, letters, semitones), kind, Some(key), beats)
    };
    Some(Idea {
        spots: at..at + 2,
        chords: vec![
            same(first.chord, a),
            chord(5, 9, Kind::Dominant, b),
            chord(1, 2, Kind::Minor, c),
            chord(4, 7, Kind::Dominant, d),
        ],
        reason: format!("roots that fall by fifths lead the idle I round to {next} again"),
    })
}
