//! A row of dominants, each the V of the next.

use super::idea::{Idea, Wanted, WantedKind, on, same};
use super::{Example, Technique};
use crate::harmony::passage::{Passage, Spot, is_diatonic, is_dominant, is_tonic, up};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "extended-dominants",
    rule: "A row of chords that fall by fifths, all as long as each other, becomes a row of dominant sevenths that ends on a degree of the key; no tonic among them that only now comes.",
    taught: "Nettles & Graf, The Chord Scale Theory and Jazz Harmony, from memory; the progression in \"Reharmonization Summary\" (course sheet)",
    melody: "each link is tested on its own; its alterations are written in its symbol",
    example: Example {
        key: "C",
        before: "| Em7 | Am7 | Dm7 | G7 | C |",
        after: "| E7 | A7 | D7 | G7 | C |",
    },
    find,
};

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    idea(passage, at).into_iter().collect()
}

fn idea(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let first = passage.spot(at).filter(|spot| !is_dominant(spot.chord))?;
    let key = first.key?;
    let row = chain(passage, at);
    // The dominants at the end stay as they are: the row is replaced up to the last other chord.
    let last = row.iter().rposition(|spot| !is_dominant(spot.chord))?;
    let target = passage.after(at + row.len() - 1)?;
    let links = row.get(..=last).filter(|links| links.len() > 1)?;
    // The tonic is heard at home before it turns into a dominant (common practice, no source).
    let comes_home =
        |(place, spot): (usize, &Spot<'_>)| is_tonic(key, spot.chord) && passage.begins(at + place);
    if links.iter().enumerate().any(comes_home) {
        return None;
    }
    if !is_diatonic(key, target.root().class()) || target.symbol() == first.chord.symbol() {
        return None;
    }
    Some(Idea {
        spots: at..at + links.len(),
        chords: links.iter().map(link).collect(),
        reason: format!("each is the V7 of the next, down to {target} in {key}"),
    })
}

/// The spots from `at` on that fall by fifths, the last of them into whatever comes after.
fn chain<'a>(passage: &Passage<'a>, at: usize) -> &'a [Spot<'a>] {
    let rest = passage.spots.get(at..).unwrap_or_default();
    let length = rest.first().map(|spot| spot.beats);
    let falls = |(place, spot): &(usize, &Spot<'_>)| {
        let next = passage.after(at + place);
        Some(spot.beats) == length && next.is_some_and(|next| up(spot.chord, next) == 5)
    };
    let count = rest.iter().enumerate().take_while(falls).count();
    rest.get(..count).unwrap_or_default()
}

fn link(spot: &Spot<'_>) -> Wanted {
    match is_dominant(spot.chord) {
        true => same(spot.chord, spot.beats),
        false => on(
            spot.chord.root(),
            WantedKind::Dominant,
            spot.key,
            spot.beats,
        ),
    }
}
