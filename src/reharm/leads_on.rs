//! What a proposal leads on to: the links between chords that carry the ear to the next one.
//!
//! A chord leads on by a falling fifth, by a half step down from or into a dominant (Dm7 Db7 C), as a
//! diminished chord by a half step either way, and by a step in a bass that is not the root (common practice;
//! the first three are in every text named in the techniques).

use super::in_place::InPlace;
use crate::chord::{Chord, Family};
use crate::harmony::chord_kind::{RootAndKind, ground};

/// The least and the most it counts.
const BOUNDS: (i32, i32) = (-2, 3);

/// How many more links than written lead on, from the chord before to the one after: -2 to 3. Where the
/// performance comes or goes on in several ways, the fewest.
pub fn leads_on(proposal: &InPlace<'_>) -> i32 {
    let new: Vec<&Chord> = proposal.new.iter().map(|new| &new.chord).collect();
    let old: Vec<&Chord> = proposal.old.iter().map(|spot| spot.chord).collect();
    let entry = ends(proposal.before, |before| {
        first(&new, before) - first(&old, before)
    });
    let exit = ends(proposal.after, |after| {
        last(&new, after) - last(&old, after)
    });
    let (least, most) = BOUNDS;
    (links(&new) - links(&old) + entry + exit).clamp(least, most)
}

/// The least over all neighbours on one side.
fn ends(neighbours: &[&Chord], gained: impl Fn(&Chord) -> i32) -> i32 {
    let gained = neighbours.iter().map(|neighbour| gained(neighbour));
    gained.min().unwrap_or(0)
}

fn first(row: &[&Chord], before: &Chord) -> i32 {
    let first = row.first();
    first.map_or(0, |first| i32::from(leads(before, first)))
}

fn last(row: &[&Chord], after: &Chord) -> i32 {
    let last = row.last();
    last.map_or(0, |last| i32::from(leads(last, after)))
}

fn links(row: &[&Chord]) -> i32 {
    let pairs = row.windows(2);
    pairs
        .map(|pair| match pair {
            [from, to] => i32::from(leads(from, to)),
            _ => 0,
        })
        .sum()
}

/// Whether a chord carries the ear to the next.
fn leads(from: &Chord, to: &Chord) -> bool {
    let up = ground(from).up_to(ground(to)).0;
    let is_dominant = |chord: &Chord| RootAndKind::of(chord).over_bass(chord).is_dominant();
    let dominant = is_dominant(from) || is_dominant(to);
    let diminished = from.family() == Family::Diminished;
    up == 5 || up == 11 && (dominant || diminished) || up == 1 && diminished || walks(from, to)
}

/// Whether the bass goes by step, where one of the chords has a bass of its own.
fn walks(from: &Chord, to: &Chord) -> bool {
    let step = from.lowest().class().up_to(to.lowest().class()).0;
    let slash = from.bass().is_some() || to.bass().is_some();
    slash && matches!(step, 1 | 2 | 10 | 11)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn leads_from(from: &str, to: &str) -> bool {
        let chord = |text| Chord::read(text).unwrap();
        leads(&chord(from), &chord(to))
    }

    #[test]
    fn fifths_half_steps_of_dominants_and_diminished_chords_and_slash_basses_lead() {
        for (from, to) in [
            ("Dm7", "G7"),
            ("G7", "C"),
            ("F/G", "C"),
            ("Db7", "C"),
            ("Dm7", "Db7"),
            ("C#dim7", "Dm7"),
            ("Ebdim7", "Dm7"),
            ("C/B", "Am7"),
            ("C", "G/B"),
        ] {
            assert!(leads_from(from, to), "{from} {to}");
        }
        for (from, to) in [
            ("C", "Dm7"),
            ("Dbmaj7", "C"),
            ("C", "Am7"),
            ("Bb7", "C"),
            ("C", "C/E"),
            ("C", "F#m7"),
        ] {
            assert!(!leads_from(from, to), "{from} {to}");
        }
    }
}
