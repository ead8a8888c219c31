//! The melody over a chord, as the hand has to mind it: what is held, what goes by, what leans.

use super::chord_time::ChordTime;
use super::non_chord_tone::{is_held, leans};
use super::sung_resolution::sung_resolution;
use crate::chart::{Beats, MelodyNote, Slot};
use crate::chord::Chord;
use crate::pitch::{Degree, Pitch};

/// The melody over a chord, as the hand has to mind it.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Default)]
pub struct Melody {
    /// The keys that are held, rising, each once.
    pub held: Vec<Pitch>,
    /// The other keys, which go by, rising, each once.
    pub passing: Vec<Pitch>,
    /// Those of the held keys that sound when the chord is struck: they may stand for a tone that the symbol
    /// names beyond third and seventh.
    pub struck: Vec<Pitch>,
    /// Those of these that sound for half of the chord at least: only they may stand for its third or seventh.
    pub lasting: Vec<Pitch>,
    /// Those of the passing keys that lean on a tone of the chord from a strong place, for a third of it and two
    /// thirds of a beat or more: what the hand has a half step below is heard to rub.
    pub leaning: Vec<Pitch>,
    /// The tone of the chord that the melody suspends and resolves by itself. Neither the suspending note nor the
    /// tone is then for the hand.
    pub resolves_to: Option<Degree>,
}

impl Melody {
    /// No melody.
    pub const NONE: Self = Self {
        held: Vec::new(),
        passing: Vec::new(),
        struck: Vec::new(),
        lasting: Vec::new(),
        leaning: Vec::new(),
        resolves_to: None,
    };

    /// What is heard of these notes while a chord sounds.
    ///
    /// ```
    /// # use compline::harmony::{ChordTime, Melody};
    /// let chart = compline::chart::read("| G7 |\nmel | D5:15/4 C5:1/4 |").unwrap();
    /// let slot = &chart.slots()[0];
    /// let chord = slot.symbol.chord().unwrap();
    /// let melody = Melody::over(chord, &slot.melody_notes, ChordTime::of_slot(slot));
    /// assert_eq!(melody.held[0].midi(), 74);
    /// assert_eq!(melody.passing[0].midi(), 72);
    /// assert_eq!(melody.lasting, melody.held);
    /// ```
    pub fn over(chord: &Chord, notes: &[MelodyNote], time: ChordTime) -> Self {
        let heard = || notes.iter().filter(|note| time.hears(note));
        let (held, passing): (Vec<&MelodyNote>, Vec<&MelodyNote>) =
            heard().partition(|note| is_held(chord, note, time));
        let held = keys(held);
        let mut passing = keys(passing);
        passing.retain(|key| !held.contains(key));
        let same = |key: Pitch| heard().filter(move |note| note.note.pitch() == Some(key));
        let begins = |key: &&Pitch| same(**key).any(|note| note.beat <= time.beat);
        let lasts = |key: &&Pitch| {
            let heard: Beats = same(**key).map(|note| time.heard(note)).sum();
            heard + heard >= time.beats
        };
        let struck: Vec<Pitch> = held.iter().filter(begins).copied().collect();
        let lasting = struck.iter().filter(lasts).copied().collect();
        let leaning = heard().filter(|note| leans(chord, note, time)).collect();
        let mut leaning = keys(leaning);
        leaning.retain(|key| passing.contains(key));
        Self {
            leaning,
            resolves_to: sung_resolution(chord, notes, time),
            held,
            passing,
            struck,
            lasting,
        }
    }

    /// The melody over the chord of a slot; none over silence.
    pub fn of(slot: &Slot) -> Self {
        if slot.melody_notes.is_empty() {
            return Self::NONE;
        }
        let over = |chord| Self::over(chord, &slot.melody_notes, ChordTime::of_slot(slot));
        slot.symbol.chord().map_or(Self::NONE, over)
    }

    /// All of its keys, the held ones first.
    pub fn keys(&self) -> impl Iterator<Item = Pitch> + '_ {
        self.held.iter().chain(&self.passing).copied()
    }
}

fn keys(notes: Vec<&MelodyNote>) -> Vec<Pitch> {
    let mut keys: Vec<Pitch> = notes.iter().filter_map(|note| note.note.pitch()).collect();
    keys.sort_unstable();
    keys.dedup();
    keys
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart;

    /// The held notes of the first chord of some rows, and the passing ones.
    fn heard(rows: &str) -> [String; 2] {
        let chart = chart::read(rows).unwrap();
        let slot = &chart.slots()[0];
        let Melody { held, passing, .. } = Melody::of(slot);
        [held, passing].map(|keys| {
            let names = keys
                .iter()
                .map(|key| slot.spelled(*key).unwrap().to_string());
            names.collect::<Vec<_>>().join(" ")
        })
    }

    #[test]
    fn half_the_chord_or_a_weighty_beat_is_held() {
        for (rows, held, passing) in [
            ("| F7 |\nmel | C5:3 Ab4:1 |", "C5", "Ab4"),
            ("| G7 |\nmel | A5:2 F5:2 |", "F5 A5", ""),
            ("| G7 |\nmel | D5:15/4 C5:1/4 |", "D5", "C5"),
            ("| G |\nmel | D5:1 C5:1 B4:2 |", "B4 D5", "C5"),
            ("| F7 |\nmel | C5:1 Bb4:1 A4:2 |", "A4 C5", "Bb4"),
            // Two beats of four, wherever they begin.
            ("| Cmaj7 |\nmel | E4:1 F4:2 G4:1 |", "E4 F4", "G4"),
            // A chord of two beats minds every beat of its melody.
            ("| Dm7 G7 |\nmel | F4:1 E4:1 D4:2 |", "E4 F4", ""),
            // An eighth that leans is no half of a short chord.
            (
                "meter: 2/4\n| D7 G |\nmel | G4:1/2 F#4:1/2 G4:1 |",
                "F#4",
                "G4",
            ),
            (
                "meter: 2/4\n| D7 G |\nmel | G4:1/2 A4:1/2 G4:1 |",
                "A4",
                "G4",
            ),
            (
                "meter: 2/4\n| D7 G |\nmel | D5:1/2 A4:1/2 G4:1 |",
                "A4 D5",
                "",
            ),
            // In three the second and third beats are weak.
            ("| Dm7 |\nmel | F4:1 A4:1 C5:1 A4:1 |", "F4 C5", "A4"),
            ("meter: 3/4\n| Dm7 |\nmel | F4:1 A4:1 C5:1 |", "F4", "A4 C5"),
            // Eighths go by, and a key that is also held is held.
            ("| Dm7 |\nmel | F4:1/2 A4:1/2 D4:2 F4:1 |", "D4", "F4 A4"),
            ("| Dm7 |\nmel | F4:1/2 A4:1/2 F4:3 |", "F4", "A4"),
        ] {
            assert_eq!(heard(rows), [held, passing], "{rows}");
        }
    }

    #[test]
    fn a_passing_or_leaning_note_on_the_beat_goes_by() {
        for (rows, held) in [
            // Leaning on the third, and a passing tone on the third beat.
            ("| G7 |\nmel | C5:1 B4:3 |", "B4"),
            ("| Cmaj7 |\nmel | E4:1 G4:1 F4:1 E4:1 |", "E4"),
            // Left by leap, or into silence.
            ("| G7 |\nmel | C5:1 G4:3 |", "G4 C5"),
            ("| G7 |\nmel | C5:1 r:3 |", "C5"),
            // The bar before and the bar after count.
            (
                "meter: 6/4\n| Cmaj7 | C |\nmel | C4:3 D4:1 F4:2 | E4:6 |",
                "C4",
            ),
            (
                "meter: 6/4\n| Cmaj7 | C |\nmel | C4:3 D4:1 F4:2 | C4:6 |",
                "C4 F4",
            ),
        ] {
            assert_eq!(heard(rows)[0], held, "{rows}");
        }
    }

    #[test]
    fn a_note_that_hangs_over_is_minded_as_long_as_it_weighs() {
        let second = |rows: &str| {
            let chart = chart::read(rows).unwrap();
            Melody::of(&chart.slots()[1])
        };
        assert_eq!(second("| Dm7 G7 |\nmel | C5:5/2 B4:3/2 |").held.len(), 1);
        assert_eq!(second("| Dm7 G7 |\nmel | C5:3 B4:1 |").held.len(), 2);
        assert_eq!(second("| Dm7 G7 |\nmel | C5:4 |").held.len(), 1);
    }
}
