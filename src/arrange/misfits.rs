//! The notes of the melody that the chords as written can't carry.
//!
//! Which notes fit a chord is said in [`crate::harmony::fit`]; here the misfits are looked for over the
//! whole page, and put together so that a chord is named once for all notes it can't carry.

use super::problem::Problem;
use super::settings::Settings;
use super::trouble::Trouble;
use super::uncarried::{Uncarried, gathered};
use crate::chart::{Chart, MelodyNote, Slot};
use crate::harmony::{ChordTime, Fit, Melody, Misfit, Spot, lasts, melody_fit};
use crate::pitch::{Degree, Note};

/// The notes of the melody that the chords as written can't carry: chord by chord, in the order of the
/// page, a chord with the same notes once.
///
/// Notes that go by ([`crate::harmony::is_held`]) are left out. `looped` where the last chord goes on to the first.
///
/// ```
/// use compline::{arrange::uncarried, chart};
///
/// let chart = chart::read("key: C\n| Cmaj7 | Cmaj7 |\nmel | E4:1 F4:1 G4:2 | F4:4 |").unwrap();
/// let found = uncarried(&chart, false).unwrap();
/// assert_eq!(found.len(), 1);
/// assert_eq!(
///     found[0].to_string(),
///     "bar 2, Cmaj7 can't carry the melody's F4: the chord has no place for an 11"
/// );
/// ```
///
/// # Errors
///
/// A play order that can't be played.
pub fn uncarried(chart: &Chart, looped: bool) -> Result<Vec<Uncarried>, Trouble> {
    let settings = Settings {
        looped,
        ..Settings::default()
    };
    let problem = Problem::of(chart, &settings)?;
    Ok(gathered(uncarried_slots(&problem)))
}

/// The notes that the chord of each slot can't carry, slot by slot.
pub(crate) fn uncarried_slots(problem: &Problem<'_>) -> Vec<Uncarried> {
    let slots = &problem.slots;
    if slots.iter().all(|slot| slot.melody_notes.is_empty()) {
        return Vec::new();
    }
    let each = slots.iter().zip(&problem.keys).filter_map(|(slot, key)| {
        let spot = Spot::of(slot, *key)?;
        of_slot(slot, &spot)
    });
    each.collect()
}

fn of_slot(slot: &Slot, spot: &Spot<'_>) -> Option<Uncarried> {
    let time = ChordTime::of(spot);
    let (mut notes, mut held) = (Vec::new(), false);
    for one in melody_fit(spot) {
        let Fit::Misfit(Misfit::Foreign(degree)) = one.fit else {
            continue;
        };
        // A note that the melody leads on to the tone below by itself is its affair, and no fault of the symbol.
        let resolves_to = Melody::of(slot).resolves_to;
        if resolves_to.is_some_and(|tone| suspends(spot, &one.note, tone)) {
            continue;
        }
        held |= lasts(&one.note, time);
        if !notes.contains(&(one.note.note, degree)) {
            notes.push((one.note.note, degree));
        }
    }
    (!notes.is_empty()).then(|| Uncarried {
        symbol: slot.symbol.text().to_owned(),
        slots: vec![slot.index],
        bars: vec![slot.bar],
        notes,
        held,
        middle_c: slot.middle_c,
    })
}

/// Whether a note lies a half step above a tone of the chord and goes on to it.
fn suspends(spot: &Spot<'_>, note: &MelodyNote, tone: Degree) -> bool {
    let class = spot.chord.root().class().plus(tone.semitones());
    let above = |note: Note| class.up_to(note.name().class()).0;
    let [_, after] = note.beside;
    above(note.note) == 1 && after.map(above) == Some(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::read;

    fn said(text: &str) -> Vec<String> {
        let chart = read(text).unwrap();
        let found = uncarried(&chart, false).unwrap();
        found.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn a_held_note_the_chord_has_no_place_for_is_reported() {
        let held = said("key: C\n| Cmaj7 | G7 |\nmel | F4:4 | F#4:4 |");
        assert_eq!(
            held,
            [
                "bar 1, Cmaj7 can't carry the melody's F4: the chord has no place for an 11",
                "bar 2, G7 can't carry the melody's F#4: the chord has no place for a 7",
            ]
        );
        assert_eq!(
            said("key: C\n| Cmaj7 | G7 |\nmel | E4:4 | Ab4:4 |"),
            [""; 0]
        );
    }

    #[test]
    fn a_chord_is_named_once_for_all_its_notes_and_bars() {
        assert_eq!(
            said("key: C\n| Cmaj7 | Dm7 | Cmaj7 |\nmel | F4:1 r:1 Db5:1 r:1 | F4:4 | F4:2 Db5:2 |"),
            [
                "bars 1, 3, Cmaj7 can't carry the melody's F4 and Db5: the chord has no place for \
                 an 11 or a b9"
            ]
        );
        assert_eq!(
            said("key: C\n| Cmaj7 |\nmel | F4:2 F5:2 |"),
            ["bar 1, Cmaj7 can't carry the melody's F4 and F5: the chord has no place for an 11"]
        );
    }

    /// A note is told of as held where it is so in any of its bars.
    #[test]
    fn a_note_that_is_held_once_is_held() {
        let (held, brief) = ("F4:4", "F4:1 r:1 G4:2");
        for (first, second, wanted) in [
            (held, brief, true),
            (brief, held, true),
            (held, held, true),
            (brief, brief, false),
        ] {
            let text = format!("key: C\n| Cmaj7 | Cmaj7 |\nmel | {first} | {second} |");
            let found = uncarried(&read(&text).unwrap(), false).unwrap();
            let told: Vec<bool> = found.iter().map(|one| one.held).collect();
            assert_eq!(told, [wanted], "{text}");
        }
    }

    #[test]
    fn a_note_that_goes_by_is_left_alone() {
        for passing in [
            "E4:1 F4:1/2 G4:1/2 E4:2 | r:4",
            "E4:1 F4:1 G4:2 | r:4",
            "G4:2 E4:1 F4:1 | G4:4",
            "G4:2 F4:1 E4:1 | r:4",
            "E4:1 F4:1 C5:2 | r:4",
        ] {
            let text = format!("key: C\n| Cmaj7 | Cmaj7 |\nmel | {passing} |");
            assert_eq!(said(&text), [""; 0], "{passing}");
        }
        // On a strong beat and left by leap or into nothing, or half of what the chord lasts.
        for minded in [
            "E4:2 F4:1 C5:1 | r:4",
            "F4:1 r:1 G4:2 | r:4",
            "G4:2 F4:2 | E4:4",
        ] {
            let text = format!("key: C\n| Cmaj7 | Cmaj7 |\nmel | {minded} |");
            assert_eq!(said(&text).len(), 1, "{minded}");
        }
    }

    #[test]
    fn only_what_is_held_is_held() {
        let held = |melody: &str| {
            let chart = read(&format!("key: C\n| Cmaj7 |\nmel | {melody} |")).unwrap();
            let found = uncarried(&chart, false).unwrap();
            found.iter().map(|one| one.held).collect::<Vec<_>>()
        };
        assert_eq!(held("F4:2 E4:2"), [false; 0]);
        assert_eq!(held("F4:2 D4:2"), [true]);
        assert_eq!(held("F4:1 C5:3"), [false]);
        assert_eq!(held("F4:1 E4:3"), [false; 0]);
        assert_eq!(held("F4:1 E4:1 F4:2"), [true]);
    }
}
