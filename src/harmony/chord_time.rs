//! The time of a chord in its bar, and which places in it are strong.

use super::passage::Spot;
use crate::chart::{Beats, MelodyNote, Slot};

/// The time of a chord in its bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ChordTime {
    /// The beat it starts on, from 1.
    pub beat: Beats,
    /// How many beats it lasts.
    pub beats: Beats,
    /// How many beats the bar has.
    pub bar_beats: Beats,
}

impl ChordTime {
    /// The time of a written chord.
    pub const fn of(spot: &Spot<'_>) -> Self {
        Self {
            beat: spot.beat,
            beats: spot.beats,
            bar_beats: spot.bar_beats,
        }
    }

    /// The time of a slot.
    pub const fn of_slot(slot: &Slot) -> Self {
        Self {
            beat: slot.beat,
            beats: slot.beats,
            bar_beats: slot.bar_beats,
        }
    }

    /// Where it ends, as a beat from 1.
    pub fn end(&self) -> Beats {
        self.beat + self.beats
    }

    /// Whether any of the note sounds in this time.
    pub fn hears(&self, note: &MelodyNote) -> bool {
        self.heard(note) > Beats::ZERO
    }

    /// How long the note sounds in this time.
    pub(crate) fn heard(&self, note: &MelodyNote) -> Beats {
        let end = (note.beat + note.beats).min(self.end());
        let heard = end - note.beat.max(self.beat);
        heard.max(Beats::ZERO)
    }

    /// How long the note sounds in this time from its first strong place on: the start of the chord,
    /// or a strong beat of the bar. A note that comes early and is held over such a place counts from
    /// there, since that is where it is heard to belong.
    pub(super) fn heard_from_strong_place(&self, note: &MelodyNote) -> Beats {
        let end = (note.beat + note.beats).min(self.end());
        let first = note.beat.max(self.beat);
        let strong = match first == self.beat || self.is_strong(first) {
            true => Some(first),
            false => self.next_strong_beat(first).filter(|strong| *strong < end),
        };
        strong.map_or(Beats::ZERO, |strong| end - strong)
    }

    /// The first strong beat after a place in this time.
    fn next_strong_beat(&self, after: Beats) -> Option<Beats> {
        let beats = (1..).map(Beats::whole);
        let mut inside = beats.take_while(|beat| *beat < self.end());
        inside.find(|beat| *beat > after && self.is_strong(*beat))
    }

    /// Whether a beat of the bar is a strong one: the odd-numbered ones of a bar with an even number of
    /// beats, the first one of any other (common practice, no source).
    fn is_strong(&self, beat: Beats) -> bool {
        let bar_beats = self.bar_beats;
        let even = bar_beats.denominator() == 1 && bar_beats.numerator() % 2 == 0;
        let odd = beat.denominator() == 1 && beat.numerator() % 2 == 1;
        beat == Beats::whole(1) || even && odd
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::harmony::tests::sung::{note, time};

    #[test]
    fn a_note_is_heard_while_the_chord_lasts() {
        let heard = |beat, beats| time(3, 2, 4).heard(&note("F4", beat, beats));
        assert_eq!(heard("1", "4"), Beats::whole(2));
        assert_eq!(heard("1", "2"), Beats::ZERO);
        assert_eq!(heard("5/2", "1"), Beats::new(1, 2).unwrap());
        assert!(!time(3, 2, 4).hears(&note("F4", "1", "2")));
        assert!(time(3, 2, 4).hears(&note("F4", "5/2", "1")));
    }

    #[test]
    fn a_note_weighs_from_its_first_strong_place_on() {
        for (of, beat, beats, halves) in [
            (time(1, 4, 4), "1", "1", 2),
            (time(1, 4, 4), "2", "1", 0),
            (time(1, 4, 4), "3", "1/2", 1),
            // Early, and held over the third beat.
            (time(1, 4, 4), "5/2", "3/2", 2),
            (time(1, 3, 3), "2", "2", 0),
            (time(2, 3, 4), "2", "1", 2),
            // Held from the chord before into this one.
            (time(3, 2, 4), "1", "3", 2),
        ] {
            let weighs = of.heard_from_strong_place(&note("F4", beat, beats));
            let twice = weighs + weighs;
            assert_eq!(twice, Beats::whole(halves), "{of:?} {beat} {beats}");
        }
    }
}
