//! One voice that moves by half steps inside a chord that stays.

use super::idea::{Idea, Kind, on};
use super::{Example, Technique};
use crate::chart::Beats;
use crate::chord::{Chord, Family};
use crate::harmony::passage::Passage;
use crate::pitch::Degree;

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "line-cliche",
    rule: "In a minor chord that lasts, 8 7 b7 6 move down inside it; in a major one, 5 #5 6 #5 move up and back.",
    taught: "common practice, from memory",
    melody: "not a note the moving voice rubs against",
    example: Example {
        key: "Cm",
        before: "| Cm | Cm | G7 |",
        after: "| Cm CmMaj7 | Cm7 Cm6 | G7 |",
    },
    find,
};

const MINOR: [&str; 4] = ["m", "mMaj7", "m7", "m6"];
const MAJOR: [&str; 4] = ["", "+", "6", "+"];

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    idea(passage, at).into_iter().collect()
}

fn idea(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let spot = passage.spot(at).filter(|_| passage.begins(at))?;
    let (line, reason) = line(spot.chord)?;
    let spots = passage.run(at);
    let quarter = quarter(passage.beats(spots.clone()))?;
    let chord =
        |ending: &&'static str| on(spot.chord.root(), Kind::Text(ending), spot.key, quarter);
    Some(Idea {
        spots,
        chords: line.iter().map(chord).collect(),
        reason: format!("{reason} while {} stays", spot.chord.root()),
    })
}

/// The four chords for one that stays: a minor or major triad, or its plain seventh.
fn line(chord: &Chord) -> Option<(&'static [&'static str; 4], &'static str)> {
    let plain = chord.extensions().is_empty() && chord.bass().is_none();
    let fifth = chord.fifth() == Some(Degree::FIFTH);
    match (chord.family(), chord.seventh()) {
        _ if !plain || !fifth => None,
        (Family::Minor, None | Some(Degree::FLAT_SEVENTH)) => {
            Some((&MINOR, "a voice falls 8 7 b7 6"))
        }
        (Family::Major, None) => Some((&MAJOR, "a voice moves 5 #5 6 #5")),
        _ => None,
    }
}

fn quarter(beats: Beats) -> Option<Beats> {
    let whole = beats.denominator() == 1 && beats.numerator() % 4 == 0;
    whole.then(|| Beats::whole(beats.numerator() / 4))
}
