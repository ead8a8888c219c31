//! Chords alone: how many voicings there are, and what is wrong with notes somebody plays.

use compline::arrange::{Cache, arrange, options};
use compline::chart;
use compline::chord::Chord;
use compline::hand::{SoundingNote, Sung};
use compline::pitch::Note;
use compline::voicing::read_given;

use super::{joined, notes, plans, troubled, whole};
use crate::recorded::ask::Ask;

/// How many voicings a chord has, the sum of their keys, that of their surcharges, the lowest and the highest.
pub fn counted(ask: &Ask, symbol: &str, cache: &mut Cache) -> String {
    let Ok(chart) = chart::read(&format!("| {symbol} |\n")) else {
        return format!("{symbol}: no chord\n");
    };
    let slots = match options(chart, ask.settings(), cache) {
        Ok(slots) => slots,
        Err(trouble) => return troubled(&trouble),
    };
    let mut voicings: Vec<_> = slots[0]
        .voicings
        .iter()
        .map(|priced| &priced.voicing)
        .collect();
    voicings.sort_by(|a, b| a.by_pitches(b));
    let keys = voicings.iter().flat_map(|voicing| voicing.pitches());
    let keys: u32 = keys.map(|key| u32::from(key.midi())).sum();
    let charged: u32 = voicings
        .iter()
        .map(|voicing| voicing.surcharges.sum())
        .sum();
    let (first, last) = (voicings.first(), voicings.last());
    let ends = [first, last].map(|voicing| notes(voicing.copied()));
    format!(
        "{symbol} {}, keys {keys}, +{charged}, {}\n",
        voicings.len(),
        ends.join(" to ")
    )
}

/// The melody notes a chord is put under: an octave, the lower half of it where the hand plays.
const SUNG: [&str; 12] = [
    "F4", "F#4", "G4", "Ab4", "A4", "Bb4", "B4", "C5", "Db5", "D5", "Eb5", "E5",
];

/// How many voicings a chord has under each melody note, and a number for what they are: notes, degrees, shapes,
/// charges; and for the warnings. `A7>Dm` is A7 on its way to Dm.
pub fn under(ask: &Ask, chords: &str, cache: &mut Cache) -> String {
    let (symbol, next) = chords.split_once('>').unwrap_or((chords, ""));
    let page = SUNG.iter().map(|note| match next {
        "" => format!("| {symbol} |\nmel | {note}:4 |\n"),
        next => format!("| {symbol} {next} |\nmel | {note}:2 r:2 |\n"),
    });
    let page: String = page.collect();
    let Ok(chart) = chart::read(&page) else {
        return format!("{chords}: no chords\n");
    };
    let plan = match arrange(chart, ask.settings(), cache) {
        Ok(plan) => plan,
        Err(trouble) => {
            let told = troubled(&trouble);
            let (lines, number) = (told.lines().count(), whole::number(&told));
            return format!("{chords}: trouble in {lines} lines; {number}\n");
        }
    };
    let first = |at: &usize| next.is_empty() || at.is_multiple_of(2);
    let slots = plan.slots.iter().enumerate();
    let slots = slots.filter(|(at, _)| first(at)).map(|(_, slot)| slot);
    let counts = joined(slots.clone().map(|slot| slot.candidates.len()), " ");
    let all = slots.flat_map(|slot| slot.candidates.iter());
    let all = all.map(|voicing| format!("{}{}\n", notes(Some(voicing)), plans::shape(voicing)));
    let all = all.collect::<String>() + &joined(&plan.warnings, "\n");
    format!("{chords}: {counts}; {}\n", whole::number(&all))
}

/// `Dm7 F3.A3.C4`, and the melody over it if there is one: `Dm7 F3.A3.C4 under C5`.
pub fn judged(ask: &Ask, line: &str) -> String {
    let mut words = line.split_whitespace();
    let chord = Chord::read(words.next().unwrap()).unwrap();
    let given = words.next().unwrap().split('.');
    let given: Vec<Note> = given.map(|note| note.parse().unwrap()).collect();
    let held: Vec<_> = words
        .skip(1)
        .map(|note| note.parse::<Note>().unwrap().pitch().unwrap())
        .collect();
    let Some(voicing) = read_given(&chord, &given) else {
        return format!("{line}: no voicing\n");
    };
    let sounding: Vec<SoundingNote> = voicing.notes.iter().map(SoundingNote::from).collect();
    let hand = &ask.settings().voicing.hand;
    let broken = hand.judge(&chord, &sounding, Sung::for_long(&held));
    let broken = broken.iter().map(|broken| match broken.loosening() {
        Some(loosening) => format!("{broken} ({loosening})"),
        None => broken.to_string(),
    });
    let degrees = joined(voicing.notes.iter().map(|note| note.degree), " ");
    let form = voicing
        .form
        .map_or_else(String::new, |form| format!(" {form}"));
    format!(
        "{line}: {degrees}, {}{form}; {}\n",
        voicing.shape_name(),
        joined(broken, "; ")
    )
}
