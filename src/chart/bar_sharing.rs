//! How the chords of a bar share it: equally where nothing is said, else by slashes, each a beat more for the chord
//! before it.

use super::Beats;
use super::sizes::MOST_CHORDS_IN_A_BAR;

/// What each of so many chords has of a bar of `beats` beats that they share equally; `None` unless one of the two
/// numbers divides the other.
pub(crate) fn equal_share(chords: usize, beats: u8) -> Option<Beats> {
    let bar = usize::from(beats);
    let fits = (1..=MOST_CHORDS_IN_A_BAR).contains(&chords);
    let divides = fits && (bar.is_multiple_of(chords) || chords.is_multiple_of(bar));
    divides.then(|| Beats::new(beats.into(), chords as i64))?
}

/// How long a chord with so many slashes lasts in a bar that has any.
pub(crate) fn beats_with(slashes: u8) -> Beats {
    Beats::whole(1 + i64::from(slashes))
}

/// How many slashes follow a chord that lasts so long in a bar that has any; `None` where none says it.
pub(crate) fn slashes_of(length: Beats) -> Option<u8> {
    let whole = length.denominator() == 1;
    let more = length.numerator().checked_sub(1).filter(|_| whole)?;
    u8::try_from(more).ok()
}

/// How many slashes follow each chord of a bar, so that they last so long and fill its `beats` beats: none where they
/// share it equally. `None` where no number of slashes says it.
pub(crate) fn slashes(lengths: &[Beats], beats: u8) -> Option<Vec<u8>> {
    let share = equal_share(lengths.len(), beats);
    if share.is_some_and(|share| lengths.iter().all(|length| *length == share)) {
        return Some(vec![0; lengths.len()]);
    }
    lengths.iter().copied().map(slashes_of).collect()
}

/// Whether a part of a bar can have chords of other lengths and still be written: in whole beats, or in the very
/// shares it had.
///
/// Where a bar has any chord of a fraction of a beat all its chords are equal, so whole beats are never beside
/// fractions in the part of a bar that is left alone.
pub(crate) fn can_be_divided_anew(
    old: impl Iterator<Item = Beats> + Clone,
    new: impl Iterator<Item = Beats> + Clone,
) -> bool {
    let is_whole = |beats: Beats| beats.denominator() == 1;
    old.clone().chain(new.clone()).all(is_whole) || new.eq(old)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::read;

    /// Every way to divide bars of up to six beats into whole beats, written as said here, is read as it was meant.
    #[test]
    fn what_is_written_with_slashes_is_read_with_the_same_lengths() {
        for beats in 1..=6u8 {
            for cuts in 0..1u32 << (beats - 1) {
                let mut lengths = vec![1];
                for beat in 1..beats {
                    match cuts >> (beat - 1) & 1 {
                        1 => lengths.push(1),
                        _ => *lengths.last_mut().unwrap() += 1,
                    }
                }
                let lengths: Vec<Beats> = lengths.into_iter().map(Beats::whole).collect();
                let slashes = slashes(&lengths, beats).unwrap();
                let chords = slashes
                    .iter()
                    .map(|more| "C".to_owned() + &" /".repeat((*more).into()));
                let text = format!("| {beats}/4 {} |", chords.collect::<Vec<_>>().join(" "));
                let read: Vec<Beats> = read(&text)
                    .unwrap()
                    .slots()
                    .iter()
                    .map(|slot| slot.beats)
                    .collect();
                assert_eq!(read, lengths, "{text}");
            }
        }
    }

    #[test]
    fn fractions_are_only_written_where_they_are_equal_shares() {
        let half = Beats::new(1, 2).unwrap();
        assert_eq!(slashes(&[half; 6], 3), Some(vec![0; 6]));
        assert_eq!(slashes(&[half, half, Beats::whole(1)], 2), None);
        assert_eq!(equal_share(3, 4), None);
        assert_eq!(equal_share(65, 1), None);
        assert_eq!(equal_share(8, 4), Some(half));
    }

    #[test]
    fn a_part_is_divided_anew_in_whole_beats_or_as_it_was() {
        let anew = |old: &[Beats], new: &[Beats]| {
            can_be_divided_anew(old.iter().copied(), new.iter().copied())
        };
        let (half, one, two) = (Beats::new(1, 2).unwrap(), Beats::whole(1), Beats::whole(2));
        assert!(anew(&[one, one], &[two]));
        assert!(anew(&[half, half], &[half, half]));
        assert!(!anew(&[half, half], &[one]));
    }
}
