//! A voice that moves by half steps, heard against the melody.
//!
//! The melody has no place in its chords alone: a D sung just before the D# of a line that falls E D# D says where
//! the line is going before it gets there (an arranger's marks; common practice, no source).

use crate::chart::{Beats, MelodyNote};
use crate::harmony::Spot;
use crate::pitch::Name;

/// A tone the voice comes to: so many half steps above the root, so many beats after the line begins, for so long.
#[derive(Debug, Clone, Copy)]
pub(super) struct VoiceStep {
    pub above: i32,
    pub start: Beats,
    pub beats: Beats,
}

/// Whether the melody has one of the tones bent, while the voice is on it or just before it: the b7 of the root at
/// its 7, the 6 at its b6; or has, for a beat or more, the tone that the voice comes to
/// a beat later.
pub(super) fn is_crossed(spots: &[Spot<'_>], root: Name, steps: &[VoiceStep]) -> bool {
    let mut steps = steps.iter();
    steps.any(|step| {
        let mut notes = sung(spots);
        notes.any(|(start, end, note)| {
            let above = root.class().up_to(note.note.name().class()).0;
            let near = start < step.start + step.beats && step.is_near(end);
            let early = start + Beats::whole(1) <= step.start && end >= start + Beats::whole(1);
            bent(step.above) == Some(above) && near || step.above == above && early && above > 7
        })
    })
}

impl VoiceStep {
    /// Whether a note that ends so is still in the ear when the voice comes: for a beat, for half of one where the line
    /// takes its time.
    fn is_near(&self, end: Beats) -> bool {
        let gap = (self.start - end).max(Beats::ZERO);
        match self.beats > Beats::whole(1) {
            true => gap + gap < Beats::whole(1),
            false => gap < Beats::whole(1),
        }
    }
}

/// The other size of a sixth or seventh above the root.
const fn bent(above: i32) -> Option<i32> {
    match above {
        8 => Some(9),
        9 => Some(8),
        10 => Some(11),
        11 => Some(10),
        _ => None,
    }
}

/// The melody of some spots in a row, each note with its start and end in beats from the first of them.
fn sung<'a>(spots: &'a [Spot<'a>]) -> impl Iterator<Item = (Beats, Beats, &'a MelodyNote)> {
    let starts = spots.iter().scan(Beats::ZERO, |start, spot| {
        let here = *start;
        *start = here + spot.beats;
        Some((here, spot))
    });
    starts.flat_map(|(start, spot)| {
        let notes = spot.melody_notes.iter();
        notes.map(move |note| {
            let begins = start + note.beat.max(spot.beat) - spot.beat;
            let ends = start + (note.beat + note.beats).min(spot.end()) - spot.beat;
            (begins, ends, note)
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::read;

    /// In twelve keys: whether a melody in quarters of `root` crosses a voice that comes to its 7 on the third beat.
    #[test]
    fn the_b7_in_the_ear_crosses_the_7() {
        for root in [
            "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
        ] {
            let root: Name = root.parse().unwrap();
            let seven = VoiceStep {
                above: 11,
                start: Beats::whole(2),
                beats: Beats::whole(1),
            };
            let crossed = |above: [i32; 4]| {
                let at = |semitones: i32| {
                    let class = (i32::from(root.class().number()) + semitones) % 12;
                    let names = [
                        "C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B",
                    ];
                    format!("{}5:1", names[usize::try_from(class).unwrap()])
                };
                let row = above.map(at).join(" ");
                let chart = read(&format!("| {root}m |\nmel | {row} |")).unwrap();
                let slots = chart.slots();
                let spots: Vec<Spot<'_>> = slots.iter().filter_map(|s| Spot::of(s, None)).collect();
                is_crossed(&spots, root, &[seven])
            };
            assert!(crossed([0, 10, 7, 3]) && crossed([0, 3, 10, 3]), "{root}");
            // Gone from the ear, after the voice, or the same tone.
            assert!(!crossed([10, 0, 7, 3]) && !crossed([0, 3, 7, 10]), "{root}");
            assert!(!crossed([0, 7, 11, 3]) && crossed([0, 11, 11, 3]), "{root}");
        }
    }
}
