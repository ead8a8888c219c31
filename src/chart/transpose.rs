//! A chart in another key.

use std::sync::Arc;

use super::{Bar, Cell, Chart, Chords, Event, Field, Wish, enharmonic};
use crate::chord::Symbol;
use crate::pitch::{Interval, Key, Letter, Name, Note, PitchClass, Semitones};

impl Chart {
    /// The chart an interval away: key, chords, tune and left hand, each spelled by the interval.
    ///
    /// Where the key would have no signature it is respelled, and everything else with it (from B
    /// an augmented fourth up is F, not E#). A note whose name would need more than three
    /// accidentals takes its name in the new key. Which way to go, up or down, is in the interval.
    ///
    /// `None` when a note would leave MIDI's range, or a chord has no name there.
    ///
    /// ```
    /// # use compline::pitch::Interval;
    /// let chart = compline::chart::read("key: C\n| Dm7 | G7/B |").unwrap();
    /// let up = Interval::between("C".parse().unwrap(), "Eb".parse().unwrap());
    /// let moved = chart.transposed(up).unwrap();
    /// assert_eq!(moved.tidy(), "key: Eb\n\n     | Fm7 | Bb7/D |\n");
    /// ```
    pub fn transposed(&self, by: Interval) -> Option<Self> {
        let key = match self.key() {
            Some(key) => Some((key, key_along(key, by)?)),
            None => None,
        };
        let by = key.map_or(by, |(from, to)| along(from, to, by));
        let new_key = key.map(|(_, to)| to);
        let mut chart = self.clone();
        for entry in &mut chart.header.entries {
            if let (Field::Key(key), Some(to)) = (&mut entry.field, new_key) {
                *key = to;
            }
        }
        chart
            .bars_mut()
            .try_for_each(|bar| transpose(bar, by, new_key))?;
        Some(chart)
    }
}

fn key_along(key: Key, by: Interval) -> Option<Key> {
    let class = key.tonic().class().plus(by.semitones());
    key.plus(by).or_else(|| enharmonic::key(class, key.mode()))
}

/// The interval with as many semitones as `by` that leads from key to key by name.
fn along(from: Key, to: Key, by: Interval) -> Interval {
    let up = Interval::between(from.tonic(), to.tonic());
    let octaves = (by.semitones().0 - up.semitones().0).div_euclid(12);
    Interval::new(
        up.steps() + 7 * octaves,
        Semitones(up.semitones().0 + 12 * octaves),
    )
}

fn transpose(bar: &mut Bar, by: Interval, key: Option<Key>) -> Option<()> {
    if let Chords::Written(cells) = &mut bar.chords {
        cells.iter_mut().try_for_each(|cell| chord(cell, by))?;
    }
    for event in bar.melody.iter_mut().flatten() {
        tune(event, by, key)?;
    }
    for wish in bar.hand.iter_mut().flatten() {
        let mut moved = |note| moved(note, by, key);
        match wish {
            Wish::Plan(wishes) => wishes.notes_mut().try_for_each(&mut moved)?,
            Wish::Given(notes) => notes.iter_mut().try_for_each(&mut moved)?,
            Wish::Silent => {}
        }
    }
    Some(())
}

fn chord(cell: &mut Cell, by: Interval) -> Option<()> {
    if let Symbol::Chord(chord) = cell.symbol.as_ref() {
        cell.symbol = Arc::new(Symbol::Chord(chord.transposed(by)?));
    }
    Some(())
}

fn tune(event: &mut Event, by: Interval, key: Option<Key>) -> Option<()> {
    event
        .note
        .as_mut()
        .map_or(Some(()), |note| moved(note, by, key))
}

fn moved(note: &mut Note, by: Interval, key: Option<Key>) -> Option<()> {
    let pitch = note.pitch()?.plus(by.semitones())?;
    let in_key = || {
        let class = pitch.class();
        let name = key.map(|key| key.name_of(class)).or_else(|| plain(class));
        Note::spelled(pitch, name?)
    };
    *note = note.plus(by).or_else(in_key)?;
    Some(())
}

/// A name for a class that no key explains: a white key, or a sharp.
fn plain(class: PitchClass) -> Option<Name> {
    let names = |alter| Letter::ALL.map(|letter| Name::new(letter, alter));
    let mut names = [0, 1].into_iter().flat_map(names).flatten();
    names.find(|name| name.class() == class)
}

#[cfg(test)]
mod tests {
    use crate::chart::{Chart, read};
    use crate::pitch::{Interval, Name};

    fn to(text: &str, from: &str, to: &str) -> Chart {
        let name = |text: &str| text.parse::<Name>().unwrap();
        let up = Interval::between(name(from), name(to));
        read(text).unwrap().transposed(up.nearer()).unwrap()
    }

    #[test]
    fn everything_moves_and_is_spelled_by_the_interval() {
        let text =
            "key: C\n| F#m7b5 B7/D# | N.C. |\nmel | F#5:1 r:3 | C5:4 |\nlh | A3.E4 B2 | - |\n";
        let moved = to(text, "C", "Eb").tidy();
        assert!(moved.starts_with("key: Eb\n"), "{moved}");
        for cell in [
            "Am7b5 D7/F#",
            "A5:1 r:3",
            "Eb5:4",
            "C4.G4 D3",
            "N.C.",
            "| -",
        ] {
            assert!(moved.contains(cell), "{cell}\n{moved}");
        }
    }

    #[test]
    fn the_nearer_way_is_in_the_interval() {
        let down = to("| C |\nmel | C5:4 |", "C", "A").tidy();
        assert!(down.contains("A4:4"), "{down}");
    }

    #[test]
    fn notes_follow_a_key_that_is_respelled() {
        let moved = to("key: B\n| B |\nmel | B4:4 |", "C", "F#").tidy();
        assert!(
            moved.contains("key: F\n") && moved.contains("F5:4"),
            "{moved}"
        );
        let minor = to("key: F#m\n| C |\nmel | A4:4 |", "C", "A#").tidy();
        assert!(
            minor.contains("key: Em\n") && minor.contains("G4:4"),
            "{minor}"
        );
    }

    #[test]
    fn a_note_off_the_keyboard_stops_it() {
        let up = Interval::between("C".parse().unwrap(), "G".parse().unwrap());
        let chart = read("| C |\nmel | G9:4 |").unwrap();
        assert_eq!(chart.transposed(up), None);
    }

    #[test]
    fn octaves_stay_as_the_chart_counts_them() {
        let text = "key: C\nmiddle-c: C3\n| C |\nmel | C3:4 |\n";
        let chart = read(text).unwrap();
        assert_eq!(chart.slots()[0].melody[0].midi(), 60);
        assert!(to(text, "C", "D").tidy().contains("D3:4"));
    }
}
