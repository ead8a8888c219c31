//! A tone of a chord that the melody suspends and resolves by itself: the 3 behind a 4, the 6 behind a b7, the 5 of
//! a minor chord behind a b6.
//!
//! The melody stands a half step above the tone, and comes to it while the chord lasts. It holds the note, or
//! leans from a strong place for a third of the chord: shorter ones go by, and the hand has the tone under them.
//! Where it suspends, the tone is the melody's own affair, and the hand does well without it (common practice,
//! no source).

use super::chord_time::ChordTime;
use super::non_chord_tone::{is_held, leans};
use crate::chart::{Beats, MelodyNote};
use crate::chord::{Chord, Family};
use crate::pitch::Degree;

/// The tone that the melody suspends and resolves while the chord lasts; `None` over most chords.
pub(super) fn sung_resolution(
    chord: &Chord,
    notes: &[MelodyNote],
    time: ChordTime,
) -> Option<Degree> {
    suspensible(chord).find(|tone| resolves_to(chord, *tone, notes, time))
}

/// The tones that a melody may suspend from a half step above: a major third, the 6 of a sixth chord, and the 5 of a
/// minor chord.
fn suspensible(chord: &Chord) -> impl Iterator<Item = Degree> {
    let third = chord.third().filter(|third| third.class() == 4);
    let sixth = chord.seventh().filter(|sixth| sixth.class() == 9);
    let sixth = sixth.filter(|_| chord.family() != Family::Diminished);
    let minor = chord.family() == Family::Minor;
    let fifth = chord.fifth().filter(|fifth| minor && fifth.class() == 7);
    third.into_iter().chain(sixth).chain(fifth)
}

/// Whether a weighty note stands above the tone, and goes on to it or leaves it a beat or more elsewhere.
fn resolves_to(chord: &Chord, tone: Degree, notes: &[MelodyNote], time: ChordTime) -> bool {
    let above_tone = |note: &MelodyNote| {
        let root = chord.root().class();
        let key = note.note.pitch().map(|key| root.up_to(key.class()).0);
        key.map(|key| (key - i32::from(tone.class())).rem_euclid(12))
    };
    let heard = || notes.iter().filter(|note| time.hears(note));
    let on_tone = || heard().filter(|note| above_tone(note) == Some(0));
    let for_a_beat = on_tone().any(|note| time.heard(note) >= Beats::whole(1));
    let mut suspending = heard().filter(|note| above_tone(note) == Some(1));
    suspending.any(|note| {
        let goes_on = on_tone().any(|next| next.beat == note.beat + note.beats);
        (goes_on || for_a_beat) && (is_held(chord, note, time) || leans(chord, note, time))
    })
}

#[cfg(test)]
mod tests {
    use crate::chart;
    use crate::harmony::Melody;

    #[test]
    fn a_weighty_note_above_the_tone_that_goes_on_to_it_suspends_it() {
        for (rows, tone) in [
            ("| G7 |\nmel | C5:2 B4:2 |", "3"),
            ("| G7 |\nmel | C5:3/2 B4:5/2 |", "3"),
            ("meter: 3/4\n| G7 |\nmel | C5:1 B4:2 |", "3"),
            ("meter: 6/8\n| G7 |\nmel | C5:2/3 B4:4/3 |", "3"),
            // The resolution may be short.
            ("meter: 6/8\n| G7 |\nmel | C5:4/3 B4:2/3 |", "3"),
            ("| Dm6 |\nmel | C5:2 B4:2 |", "6"),
            ("| Dm |\nmel | Bb4:2 A4:2 |", "5"),
            // Or come by a way round.
            ("| G7 |\nmel | C5:2 D5:1 B4:1 |", "3"),
            // A quarter of the chord, an eighth, a weak beat, a whole step, another way on, no resolution.
            ("| G7 |\nmel | C5:1 B4:3 |", ""),
            ("meter: 2/4\n| G7 C |\nmel | C5:1/2 B4:1/2 C5:1 |", ""),
            ("| G7 |\nmel | G4:1 C5:1 B4:2 |", ""),
            ("| Gm7 |\nmel | C5:2 Bb4:2 |", ""),
            ("| G7 |\nmel | C5:2 D5:2 |", ""),
            ("| G7 |\nmel | C5:4 |", ""),
            ("| Bdim7 |\nmel | A4:2 Ab4:2 |", ""),
        ] {
            let chart = chart::read(rows).unwrap();
            let melody = Melody::of(&chart.slots()[0]);
            let found = melody.resolves_to.map(|tone| tone.to_string());
            assert_eq!(found.unwrap_or_default(), tone, "{rows}");
        }
    }
}
