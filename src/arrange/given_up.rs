//! What a voicing leaves out although the symbol asks for it, since the melody leaves no room for it.

use super::arrangement::Arranged;
use super::settings::Settings;
use super::warning::GivenUp;
use crate::chord::Chord;
use crate::hand::{fourth_for_third, is_forbidden, sixth_for_seventh};
use crate::pitch::{Degree, Pitch};
use crate::voicing::Voicing;

/// The chords that give up a tone for the melody, in the order they first come; the same once.
pub(super) fn given_up(slots: &[Arranged], settings: &Settings) -> Vec<GivenUp> {
    let mut all: Vec<GivenUp> = Vec::new();
    for one in slots.iter().filter_map(|slot| of_slot(slot, settings)) {
        let alike = |known: &&mut GivenUp| {
            (&known.symbol, &known.tones, &known.under) == (&one.symbol, &one.tones, &one.under)
        };
        match all.iter_mut().find(alike) {
            Some(known) => known.bars.extend(one.bars),
            None => all.push(one),
        }
    }
    all.iter_mut().for_each(|one| one.bars.dedup());
    all
}

fn of_slot(arranged: &Arranged, settings: &Settings) -> Option<GivenUp> {
    let Arranged { slot, voicing, .. } = arranged;
    let (chord, voicing) = slot.symbol.chord().zip(voicing.as_ref())?;
    // Only a held note forbids a tone.
    let melody = settings.melody(slot);
    let held = melody.held;
    if held.is_empty() {
        return None;
    }
    let tones: Vec<Degree> = asked_for(chord)
        .filter(|tone| is_silent(chord, *tone, voicing, &held))
        .filter(|tone| is_forbidden(chord, *tone, &held))
        .filter(|tone| melody.resolves_to != Some(*tone))
        .collect();
    let told = chord.is_altered() && voicing.notes.iter().any(|note| is_alteration(note.degree));
    let first = tones.first().filter(|_| !arranged.given && !told)?;
    let above = |key: &&Pitch| is_forbidden(chord, *first, &[**key]);
    let under = held.iter().find(above)?;
    Some(GivenUp {
        symbol: chord.symbol().to_owned(),
        bars: vec![slot.bar],
        under: slot.written(*under),
        tones,
    })
}

/// Whether a degree is one of the alterations of an "alt", of which any will do.
fn is_alteration(degree: Degree) -> bool {
    degree.number() > 7 && degree.alter() != 0
}

/// Third and seventh, and what the symbol names.
fn asked_for(chord: &Chord) -> impl Iterator<Item = Degree> {
    let frame = [chord.third(), chord.seventh()].into_iter().flatten();
    frame.chain(chord.named_beyond_frame())
}

/// Whether neither the tone sounds, in the hand or in the melody, nor what may stand for it.
fn is_silent(chord: &Chord, tone: Degree, voicing: &Voicing, held: &[Pitch]) -> bool {
    let stand_in = match Some(tone) {
        third if third == chord.third() => fourth_for_third(chord, held),
        // The major seventh of a minor chord is a colour of its own, and is missed.
        seventh if seventh == chord.seventh() && chord.third() != Some(Degree::MINOR_THIRD) => {
            sixth_for_seventh(chord, held)
        }
        _ => None,
    };
    let classes = [Some(tone), stand_in].map(|tone| tone.map(Degree::class));
    let sung = held.iter().any(|key| {
        let above = chord.root().class().up_to(key.class()).0;
        above == i32::from(tone.class())
    });
    let mut sounding = voicing.notes.iter().map(|note| note.degree.class());
    !sung && sounding.all(|class| !classes.contains(&Some(class)))
}

#[cfg(test)]
mod tests {
    use crate::arrange::{Cache, Settings, arrange};
    use crate::chart::read;

    /// What is said, and how many notes each slot has.
    fn told(rows: &str) -> (Vec<String>, Vec<usize>) {
        let chart = read(rows).unwrap();
        let arrangement = arrange(chart, &Settings::default(), &mut Cache::default()).unwrap();
        let said = arrangement.warnings.iter().map(ToString::to_string);
        let notes = arrangement.slots.iter();
        let notes = notes.map(|slot| slot.voicing.as_ref().map_or(0, |v| v.notes.len()));
        (said.collect(), notes.collect())
    }

    #[test]
    fn a_named_tone_is_given_up_with_a_word_and_four_notes_stay_four() {
        let (said, notes) = told("| Am9 | Am9 |\nmel | C5:4 | C5:4 |");
        assert_eq!(
            said,
            ["bars 1, 2, Am9 is played without its 9: the melody's C5 leaves no room for it"]
        );
        assert_eq!(notes, [4, 4]);
    }

    #[test]
    fn an_added_ninth_is_given_up_and_the_triad_stays() {
        let (said, notes) = told("| Am(add9) |\nmel | C5:4 |");
        assert_eq!(notes, [3]);
        assert_eq!(
            said,
            ["bar 1, Am(add9) is played without its 9: the melody's C5 leaves no room for it"]
        );
    }

    #[test]
    fn the_major_seventh_of_a_minor_chord_is_missed() {
        let said = told("key: Cm\n| Cm(maj7) |\nmel | C5:4 |").0;
        assert_eq!(
            said,
            ["bar 1, Cm(maj7) is played without its 7: the melody's C5 leaves no room for it"]
        );
    }

    #[test]
    fn what_has_room_or_a_stand_in_is_not_given_up() {
        for rows in [
            "| Am9 |\nmel | E5:4 |",
            "| Am9 |\nmel | A4:3 C5:1 |",
            "| Cmaj7 |\nmel | C5:4 |",
            "| G7 |\nmel | C5:4 |",
            // The melody sings the #9 itself.
            "| G7#9 |\nmel | Bb4:2 B4:2 |",
        ] {
            let said = told(rows).0;
            let given_up = said.iter().filter(|said| said.contains("without its"));
            assert_eq!(given_up.count(), 0, "{rows}: {said:?}");
        }
    }
}
