//! Chords alone: how many voicings there are, and what is wrong with notes somebody plays.

use compline::arrange::{Cache, options};
use compline::chart;
use compline::chord::Chord;
use compline::hand::{SoundingNote, Sung};
use compline::pitch::Note;
use compline::voicing::read_given;

use super::{joined, notes, troubled};
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
        voicing.shape,
        joined(broken, "; ")
    )
}
