//! The usual tensions that a voicing gives up for a plainer tone, and the note of the melody that each
//! would rub.

use crate::chart::Slot;
use crate::chord::Chord;
use crate::hand::rubs;
use crate::pitch::{Degree, Note, Pitch};
use crate::voicing::{Ask, Colour, Filling, VoicedNote, Voicing, fillings};

/// A plain tone where a usual tension would stand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plainer {
    /// What sounds: the root, the 5, or an 11.
    pub note: VoicedNote,
    /// The tension in whose place it stands.
    pub tension: Degree,
    /// The tension where it would lie.
    pub instead: Note,
    /// The note of the melody that it would rub, as the page spells it; `None` where it would rub none
    /// and only the motion decided.
    pub rubs: Option<Note>,
    /// Whether that note only goes by.
    pub passing: bool,
}

/// The plain tones of a voicing that was charged for them, lowest first.
pub(super) fn plainer(
    ask: &Ask<'_>,
    colour: Colour,
    voicing: &Voicing,
    slot: &Slot,
) -> Vec<Plainer> {
    let usual = fillings(ask.chord, ask.coloured_context(), colour, &ask.colouring());
    let charged = voicing.surcharges.plain > 0;
    let Some(usual) = nearest(&usual, voicing).filter(|_| charged) else {
        return Vec::new();
    };
    let sounds = |degree: Degree| voicing.notes.iter().any(|note| note.degree == degree);
    let tensions = [usual.fifth, usual.ninth];
    let mut missing = tensions
        .into_iter()
        .filter(|t| t.number() > 7 && !sounds(*t));
    let plain = voicing.notes.iter();
    let plain = plain.filter(|note| !usual.degrees().contains(&note.degree));
    plain
        .filter_map(|note| one(ask, *note, missing.next()?, slot))
        .collect()
}

/// The usual filling that shares most degrees with a voicing; the first of equals.
fn nearest(usual: &[Filling], voicing: &Voicing) -> Option<Filling> {
    let shared = |filling: &&Filling| {
        let degrees = filling.degrees();
        let notes = voicing.notes.iter();
        notes.filter(|note| degrees.contains(&note.degree)).count()
    };
    usual.iter().rev().max_by_key(shared).copied()
}

fn one(ask: &Ask<'_>, note: VoicedNote, tension: Degree, slot: &Slot) -> Option<Plainer> {
    let instead = beside(ask.chord, note.pitch, tension)?;
    let key = instead.pitch()?;
    let rubbed = |keys: &[Pitch]| keys.iter().copied().find(|melody| rubs(key, *melody));
    let held = rubbed(&ask.melody.held);
    let passing = rubbed(&ask.melody.passing).filter(|_| held.is_none());
    Some(Plainer {
        note,
        tension,
        instead,
        rubs: held.or(passing).and_then(|melody| slot.spelled(melody)),
        passing: passing.is_some(),
    })
}

/// The key of a tension that lies nearest to another key, spelled over its chord.
fn beside(chord: &Chord, key: Pitch, tension: Degree) -> Option<Note> {
    let class = chord.root().class().plus(tension.semitones());
    let up = key.class().up_to(class).0;
    let nearer = if up > 6 { up - 12 } else { up };
    let pitch = key.plus(crate::pitch::Semitones(nearer))?;
    Note::spelled(pitch, chord.spell(tension))
}

/// Each of them in a sentence.
pub(crate) fn sentence(plainer: &Plainer) -> String {
    let Plainer {
        note,
        tension,
        instead,
        rubs,
        passing,
    } = plainer;
    let stands = match note.degree.number() {
        1 => format!("the root {}", note.note),
        _ => format!("the {} {}", note.degree, note.note),
    };
    match rubs {
        Some(melody) => {
            let moment = if *passing { " as it goes by" } else { "" };
            format!(
                "{instead} would rub the melody's {melody}{moment}: {stands} stands in its place"
            )
        }
        None => format!("{stands} stands for the {tension}, {instead}: so the hand moves less"),
    }
}

#[cfg(test)]
mod tests {
    use super::super::why;
    use super::sentence;
    use crate::arrange::{Cache, Settings};
    use crate::chart::read;

    fn said(rows: &str) -> Vec<Vec<String>> {
        let chart = read(rows).unwrap();
        let all = why(chart, &Settings::default(), &mut Cache::default()).unwrap();
        let each = all.iter().map(|why| why.plainer.iter().map(sentence));
        each.map(Iterator::collect).collect()
    }

    #[test]
    fn the_note_that_a_tension_would_rub_is_named() {
        let said = said("key: C\n| Dm7 | G7 | Cmaj7 |\nmel | F5:4 | D5:4 | E5:4 |");
        assert_eq!(
            said[0],
            ["E4 would rub the melody's F5: the root D4 stands in its place"]
        );
        assert_eq!(
            said[1],
            ["the 5 D4 stands for the 13, E4: so the hand moves less"]
        );
        assert!(said[2].is_empty(), "{said:?}");
    }

    #[test]
    fn names_are_the_pages_own() {
        let said = said("key: Ab\n| Bbm7 | Eb7 |\nmel | Db5:4 | Eb5:4 |");
        assert_eq!(
            said[0],
            ["C4 would rub the melody's Db5: the root Bb3 stands in its place"]
        );
    }
}
