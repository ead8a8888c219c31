//! One voice that moves by half steps inside a chord that stays.
//!
//! A lesson on line clichés (read) prints m m(maj7) m7 m6, m m#5 m6 m7 and m m#5 m6 m#5, C C#5 C6 C7, and over a
//! ii-V Dm Dm(maj7) Dm7 G7, where the voice goes on to the third of the V; a course page (read) writes
//! the second as Cm(b6). In major 5 #5 6 #5 is from memory.

use super::idea::{Idea, Wanted, WantedKind, on, quarter};
use super::moving_voice::{VoiceStep, is_crossed};
use super::{Example, Technique};
use crate::chart::Beats;
use crate::chord::{Chord, Family};
use crate::harmony::passage::{Passage, up};
use crate::pitch::Degree;

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "line-cliche",
    rule: "In a minor chord that lasts, 8 7 b7 6 move down inside it, or 5 b6 6 up and on to b7 or back; in a ii, 8 7 b7 move to the third of its V; in a major chord 5 #5 6 move up and back, or before IV on to b7.",
    taught: "a lesson on line clichés (read); 5 #5 6 #5 from memory",
    melody: "not a note the moving voice rubs against, nor one of its tones bent just before it",
    example: Example {
        key: "Cm",
        before: "| Cm | Cm | G7 |",
        after: "| Cm Cm(maj7) | Cm7 Cm6 | G7 |",
    },
    find,
};

/// A chord's endings, how many quarters of its time each has, where the voice is, in half steps above the root, and
/// what it does.
struct Cliche {
    endings: &'static [(&'static str, usize)],
    voice: &'static [i32],
    way: &'static str,
}

/// The ending of a minor triad with b6, which the melody's 5 would rub.
const FLAT_SIX: &str = "m(b6)";

const BESIDE_FLAT_SIX: &[u8] = &[0, 2, 3, 5, 8, 10];

const DOWN: Cliche = Cliche {
    endings: &[("m", 1), ("m(maj7)", 1), ("m7", 1), ("m6", 1)],
    voice: &[0, 11, 10, 9],
    way: "a voice falls 8 7 b7 6",
};

const INTO_FIVE: Cliche = Cliche {
    endings: &[("m", 2), ("m(maj7)", 1), ("m7", 1)],
    voice: &[0, 11, 10],
    way: "a voice falls 8 7 b7, on its way to the third of the V,",
};

const UP: Cliche = Cliche {
    endings: &[("m", 1), (FLAT_SIX, 1), ("m6", 1), ("m7", 1)],
    voice: &[7, 8, 9, 10],
    way: "a voice climbs 5 b6 6 b7",
};

const UP_AND_BACK: Cliche = Cliche {
    endings: &[("m", 1), (FLAT_SIX, 1), ("m6", 1), (FLAT_SIX, 1)],
    voice: &[7, 8, 9, 8],
    way: "a voice moves 5 b6 6 b6",
};

const MAJOR: Cliche = Cliche {
    endings: &[("", 1), ("+", 1), ("6", 1), ("+", 1)],
    voice: &[7, 8, 9, 8],
    way: "a voice moves 5 #5 6 #5",
};

const INTO_FOUR: Cliche = Cliche {
    endings: &[("", 1), ("+", 1), ("6", 1), ("7", 1)],
    voice: &[7, 8, 9, 10],
    way: "a voice climbs 5 #5 6 b7, on its way to the third of the IV,",
};

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    ideas(passage, at).unwrap_or_default()
}

fn ideas(passage: &Passage<'_>, at: usize) -> Option<Vec<Idea>> {
    let spot = passage.spot(at).filter(|_| passage.begins(at))?;
    let spots = passage.run(at);
    let quarter = quarter(passage.beats(spots.clone()))?;
    let sung = passage.spots.get(spots.clone())?;
    let root = spot.chord.root();
    let next = passage.after(spots.end - 1);
    let lines = lines(spot.chord, next, passage.five_of(at).is_some());
    let lines = lines
        .iter()
        .filter(|line| !is_crossed(sung, root, &line.steps(quarter)));
    let ideas = lines.map(|line| {
        let chord = |(ending, quarters): &(&'static str, usize)| -> Wanted {
            let beats = std::iter::repeat_n(quarter, *quarters).sum();
            let chord = on(root, WantedKind::Text(ending), spot.key, beats);
            match *ending {
                FLAT_SIX => chord.only(BESIDE_FLAT_SIX),
                _ => chord,
            }
        };
        Idea {
            spots: spots.clone(),
            chords: line.endings.iter().map(chord).collect(),
            reason: format!("{} while {root} stays", line.way),
        }
    });
    Some(ideas.collect())
}

impl Cliche {
    fn steps(&self, quarter: Beats) -> Vec<VoiceStep> {
        let chords = self.endings.iter().zip(self.voice);
        let steps = chords.scan(Beats::ZERO, |start, ((_, quarters), above)| {
            let beats = std::iter::repeat_n(quarter, *quarters).sum();
            let (above, start_here) = (*above, *start);
            *start = start_here + beats;
            Some(VoiceStep {
                above,
                start: start_here,
                beats,
            })
        });
        steps.collect()
    }
}

/// The lines through a chord that stays: a minor or major triad, or its plain seventh.
fn lines(chord: &Chord, next: Option<&Chord>, is_two: bool) -> &'static [Cliche] {
    let plain = chord.extensions().is_empty() && chord.bass().is_none();
    let fifth = chord.fifth() == Some(Degree::FIFTH);
    let falls = next.is_some_and(|next| up(chord, next) == 5);
    match (chord.family(), chord.seventh()) {
        _ if !plain || !fifth => &[],
        (Family::Minor, None | Some(Degree::FLAT_SEVENTH)) if is_two => &[INTO_FIVE],
        (Family::Minor, None | Some(Degree::FLAT_SEVENTH)) => &[DOWN, UP, UP_AND_BACK],
        (Family::Major, None) if falls => &[INTO_FOUR],
        (Family::Major, None) => &[MAJOR],
        _ => &[],
    }
}
