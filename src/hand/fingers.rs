//! Whether five fingers can hold the keys together.
//!
//! No finger takes two keys, so a hand takes five at most. The lowest key is the little finger's, the
//! highest the thumb's; how far these two open is the affair of [`Reach`](super::Reach). Between them a finger opens
//! from its neighbours only so far: see [`WIDEST`]. Keys that lie close are never too close: three, four
//! or five neighbouring keys, a cluster of minor seconds too, have a finger each (common practice, no
//! source).

use crate::pitch::Pitch;

use super::{Reach, SoundingNote, Violation};

/// The most keys that a hand holds.
pub const FINGERS: usize = 5;

/// How far two fingers open, in semitones: the most that is practical, from Parncutt, Sloboda, Clarke,
/// Raekallio and Desain, "An ergonomic model of keyboard fingering for melodic fragments" (*Music
/// Perception* 14, 1997), table 1, from memory. A row for each lower finger, 5 to 2; in it the upper
/// finger, 4 to 1. The table is for a hand that opens [`TABLE_REACH`] semitones from 5 to 1.
const WIDEST: [[u8; 4]; 4] = [[5, 7, 10, 15], [0, 4, 7, 14], [0, 0, 5, 12], [0, 0, 0, 10]];

/// How far the hand of the table opens, in semitones.
const TABLE_REACH: u8 = 15;

/// A semitone more is let pass than the table says, so that what is refused can't be played: our own
/// choice.
const GRACE: u8 = 1;

/// What keeps five fingers from holding these notes, if anything.
pub(super) fn violation(reach: Reach, notes: &[SoundingNote]) -> Option<Violation> {
    if notes.len() > FINGERS {
        return Some(Violation::TooManyKeys { count: notes.len() });
    }
    if notes.len() < 3 {
        return None;
    }
    let mut sorted = [notes.first()?.pitch; FINGERS];
    let keys = sorted.get_mut(..notes.len())?;
    for (key, note) in keys.iter_mut().zip(notes) {
        *key = note.pitch;
    }
    keys.sort_unstable();
    let outer = keys.first().zip(keys.last());
    if outer.is_none_or(|(low, high)| !reach.spans(*low, *high)) {
        // The reach has said so already.
        return None;
    }
    let mut fingerings = fingerings(keys.len()).iter();
    if fingerings.any(|fingers| holds(reach, keys, fingers)) {
        return None;
    }
    let gap = |pair: &[Pitch]| pair.first().zip(pair.last()).map(|(a, b)| (*a, *b));
    let (lower, upper) = keys
        .windows(2)
        .filter_map(gap)
        .max_by_key(|(a, b)| b.midi() - a.midi())?;
    Some(Violation::BeyondFingers { lower, upper })
}

/// The fingers that may hold so many keys, from the lowest key up.
const fn fingerings(keys: usize) -> &'static [&'static [u8]] {
    match keys {
        3 => &[&[5, 4, 1], &[5, 3, 1], &[5, 2, 1]],
        4 => &[&[5, 4, 3, 1], &[5, 4, 2, 1], &[5, 3, 2, 1]],
        _ => &[&[5, 4, 3, 2, 1]],
    }
}

/// Whether these fingers reach these keys. How far the outer two open is the reach's affair.
fn holds(reach: Reach, keys: &[Pitch], fingers: &[u8]) -> bool {
    let held = keys.iter().zip(fingers);
    let mut each = held.clone().enumerate();
    each.all(|(at, (low, lower))| {
        let mut above = held.clone().skip(at + 1);
        above.all(|(high, upper)| {
            let outer = (*lower, *upper) == (5, 1);
            outer || high.midi() - low.midi() <= widest(reach, *lower, *upper)
        })
    })
}

/// How far two fingers of a hand of this reach open; a larger hand in proportion.
fn widest(reach: Reach, lower: u8, upper: u8) -> u8 {
    let row = WIDEST.get(usize::from(5 - lower.clamp(2, 5)));
    let widest = row.and_then(|row| row.get(usize::from(4 - upper.clamp(1, 4))));
    let widest = u16::from(widest.copied().unwrap_or_default());
    let (reach, table) = (u16::from(reach.widest()), u16::from(TABLE_REACH));
    let widest = (widest * reach.max(table)).div_ceil(table);
    u8::try_from(widest)
        .unwrap_or(u8::MAX)
        .saturating_add(GRACE)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pitch::Degree;

    fn found(reach: u8, midi: &[u8]) -> Option<Violation> {
        let notes: Vec<SoundingNote> = midi
            .iter()
            .map(|midi| SoundingNote {
                pitch: Pitch::new(*midi).unwrap(),
                degree: Degree::ROOT,
            })
            .collect();
        violation(Reach::semitones(reach).unwrap(), &notes)
    }

    #[test]
    fn a_sixth_key_has_no_finger() {
        assert_eq!(found(14, &[48, 50, 52, 53, 55]), None);
        let six = found(14, &[48, 50, 52, 53, 55, 57]);
        assert_eq!(six, Some(Violation::TooManyKeys { count: 6 }));
    }

    #[test]
    fn close_keys_have_a_finger_each() {
        for cluster in [&[60, 61, 62][..], &[60, 61, 62, 63], &[60, 61, 62, 63, 64]] {
            assert_eq!(found(14, cluster), None, "{cluster:?}");
        }
    }

    #[test]
    fn the_fourth_finger_does_not_open_a_sixth_from_the_fifth() {
        let wide = found(14, &[48, 57, 59, 60, 62]).unwrap();
        assert_eq!(
            wide.to_string(),
            "C3 and A3 lie too far apart for neighbouring fingers while the others are held"
        );
        assert_eq!(found(14, &[48, 52, 55, 59, 62]), None);
        // Four keys leave the fourth finger out: the third opens further.
        assert_eq!(found(14, &[48, 55, 58, 62]), None);
    }

    #[test]
    fn what_is_taught_for_one_hand_is_held() {
        // 1 7 9; 1 7 10 and a drop-2 voicing for who opens a tenth; a rootless voicing of four notes.
        assert_eq!(found(14, &[48, 59, 62]), None);
        assert_eq!(found(16, &[48, 59, 64]), None);
        assert_eq!(found(16, &[48, 55, 59, 64]), None);
        assert_eq!(found(14, &[53, 57, 60, 64]), None);
    }
}
