//! Which notes of the melody a chord has to mind: those that are held, not those that go by.
//!
//! A note is **held** where it lasts at least half of what the chord does, or a beat or more on a
//! strong place and is no passing or neighbouring tone. Any other note **goes by**: the ear takes it
//! for a way from one note to the next, and what the hand plays under it is no fault (common practice,
//! no source). A strong place is where the chord begins, and a strong beat of the bar.
//!
//! A **passing or neighbouring tone** is no tone of the chord and is left by step. It is reached by step
//! as well, or it leans: it resolves into a tone of the chord (an incomplete neighbour). One that is
//! shorter than a beat goes by even where its chord is so short that it lasts half of it.
//!
//! This is the only definition: what forbids a voicing, what a chord put under the melody anew must
//! carry, and what a checker finds all ask here.

use super::chord_time::ChordTime;
use super::membership::{Membership, membership};
use crate::chart::{Beats, MelodyNote, Slot};
use crate::chord::Chord;
use crate::pitch::{Degree, Note, Pitch};

/// Whether a chord has to mind a note of the melody.
///
/// ```
/// use compline::chart::{Beats, MelodyNote};
/// use compline::chord::Chord;
/// use compline::harmony::{ChordTime, is_held};
///
/// let chord = Chord::read("Cmaj7").unwrap();
/// let bar = ChordTime { beat: Beats::whole(1), beats: Beats::whole(4), bar_beats: Beats::whole(4) };
/// let held = |beat, beats, before: &str, after: &str| {
///     let note = "F4".parse().unwrap();
///     let beside = [before.parse().ok(), after.parse().ok()];
///     let [beat, beats] = [beat, beats].map(Beats::whole);
///     is_held(&chord, &MelodyNote { note, beat, beats, tied: false, beside }, bar)
/// };
/// assert!(held(3, 2, "E4", "G4"));
/// assert!(held(1, 1, "C4", "C5"));
/// // A passing tone, a weak beat, and a note that leans on the chord's own.
/// assert!(!held(3, 1, "E4", "G4"));
/// assert!(!held(2, 1, "C4", "C5"));
/// assert!(!held(1, 1, "C4", "E4"));
/// ```
pub fn is_held(chord: &Chord, note: &MelodyNote, time: ChordTime) -> bool {
    let beat = Beats::whole(1);
    let weighs = time.heard_from_strong_place(note) >= beat;
    match lasts(note, time) {
        true if time.heard(note) >= beat => true,
        lasts => (lasts || weighs) && !is_passing_or_neighbouring(chord, note),
    }
}

/// Whether a note lasts at least half of what the chord does.
pub fn lasts(note: &MelodyNote, time: ChordTime) -> bool {
    let heard = time.heard(note);
    heard + heard >= time.beats
}

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
    /// Whether it holds the 4 over a major third and has that third too for a beat or more: a suspension and its
    /// resolution. Neither the 4 nor the third is then for the hand.
    pub has_suspension: bool,
}

impl Melody {
    /// No melody.
    pub const NONE: Self = Self {
        held: Vec::new(),
        passing: Vec::new(),
        struck: Vec::new(),
        lasting: Vec::new(),
        has_suspension: false,
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
        let above_root = |key: Pitch| chord.root().class().up_to(key.class()).0;
        let is_third = |note: &&MelodyNote| {
            let key = note.note.pitch();
            key.map(above_root) == Some(4) && time.heard(note) >= Beats::whole(1)
        };
        let holds_fourth = held.iter().any(|key| above_root(*key) == 5);
        let takes_third = chord.third() == Some(Degree::THIRD) && holds_fourth;
        Self {
            has_suspension: takes_third && heard().any(|note| is_third(&note)),
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

fn is_passing_or_neighbouring(chord: &Chord, note: &MelodyNote) -> bool {
    let [before, after] = note.beside;
    let by_step = |other: Option<Note>| other.is_some_and(|other| is_step(note.note, other));
    let resolves = after.is_some_and(|after| is_chord_tone(chord, after));
    !is_chord_tone(chord, note.note) && by_step(after) && (by_step(before) || resolves)
}

fn is_chord_tone(chord: &Chord, note: Note) -> bool {
    membership(chord, None, note.name().class()) == Some(Membership::Tone)
}

/// Whether two notes are a step apart.
pub(super) fn is_step(from: Note, to: Note) -> bool {
    let pitches = from.pitch().zip(to.pitch());
    let gap = pitches.map(|(from, to)| from.up_to(to).0.abs());
    gap.is_some_and(|gap| (1..=2).contains(&gap))
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
