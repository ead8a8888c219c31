//! Tensions and notes to avoid, by function.

use super::{chords, everywhere, key};
use crate::harmony::{analyses, context};
use crate::pitch::Degree;

fn line(degrees: &[Degree]) -> String {
    let texts: Vec<String> = degrees.iter().map(Degree::to_string).collect();
    texts.join(" ")
}

/// The tensions and notes to avoid of the first chord before the second, in every key.
fn takes(symbols: &str, home: &str, tensions: &str, avoid: &str) {
    for (chords, key) in everywhere(symbols, home) {
        let context = context(&chords[0], key, chords.get(1));
        let scale = context.scale;
        assert_eq!(
            line(&scale.tensions(&chords[0])),
            tensions,
            "{symbols} in {key:?}: {scale}"
        );
        assert_eq!(
            line(&scale.avoid(&chords[0])),
            avoid,
            "{symbols} in {key:?}: {scale}"
        );
    }
}

#[test]
fn the_diatonic_sevenths_take_what_the_table_says() {
    // Berklee HARM 121 sheet, 2008; the natural 13 of the ii is conditional there and not offered.
    takes("Cmaj7", "C", "9 13", "11");
    takes("Dm7", "C", "9 11", "");
    takes("Em7", "C", "11", "b9 b13");
    takes("Fmaj7", "C", "9 #11 13", "");
    takes("G7", "C", "9 13", "11");
    takes("Am7", "C", "9 11", "b13");
    takes("Em7 A7", "C", "11", "b9 b13");
    // The 13 that the symbol names is the 9 of its ii.
    takes("Em7 A13", "C", "9 11", "");
    takes("Bm7b5", "C", "11 b13", "b9");
    takes("CmMaj7", "Cm", "9 11 13", "");
}

#[test]
fn the_secondary_dominants_take_what_the_sheet_says() {
    // The same sheet: V7/ii 9 b13, "many players" b9.
    takes("A7 Dm7", "C", "b9 9 b13", "11");
    takes("B7 Em7", "C", "b9 #9 b13", "11");
    takes("C7 Fmaj7", "C", "9 13", "11");
    takes("D7 G7", "C", "9 13", "11");
    takes("E7 Am7", "C", "b9 #9 b13", "11");
}

#[test]
fn a_secondary_dominant_that_does_not_resolve_keeps_its_colour() {
    takes("E7 Fmaj7", "C", "b9 #9 b13", "11");
    takes("A7 Fmaj7", "C", "b9 9 b13", "11");
    takes("D7 Fmaj7", "C", "9 13", "11");
}

#[test]
fn minor_keys_take_their_relative_majors_tensions() {
    takes("Cm7", "Cm", "9 11", "b13");
    takes("Dm7b5 G7", "Cm", "11 b13", "b9");
    takes("Ebmaj7", "Cm", "9 13", "11");
    takes("Fm7", "Cm", "9 11", "");
    takes("Gm7", "Cm", "11", "b9 b13");
    takes("Abmaj7", "Cm", "9 #11 13", "");
    takes("G7 Cm7", "Cm", "b9 b13", "11");
    takes("G7 Abmaj7", "Cm", "b9 b13", "11");
    takes("G7", "Cm", "b9 b13", "11");
    takes("G7sus Cm7", "Cm", "b9 b13", "");
    takes("C7 Fm7", "Cm", "b9 9 b13", "11");
    takes("Bb7 Ebmaj7", "Cm", "9 13", "11");
    // Into the V of minor the notes of the key win over the major third of the goal.
    takes("D7 G7", "Cm", "b9 #9 b13", "11");
    // Into a major tonic the minor key ends.
    takes("G7 Cmaj7", "Cm", "9 13", "11");
    // A tonic that goes on as a dominant is none.
    takes("G7 C7", "Cm", "b9 b13", "11");
}

#[test]
fn substitutes_backdoors_and_borrowed_chords() {
    takes("Db7 Cmaj7", "C", "9 #11 13", "");
    takes("Ab7 G7", "C", "9 #11 13", "");
    takes("Bb7 Cmaj7", "C", "9 #11 13", "");
    takes("G7sus Cmaj7", "C", "9 13", "");
    takes("Abmaj7", "C", "9 #11 13", "");
    takes("Dbmaj7", "C", "9 #11 13", "");
    takes("Ebmaj7", "C", "9 13", "11");
    takes("Fm7", "C", "9 11", "");
    takes("Fm6", "C", "9 11", "");
    takes("Dm7b5 G7", "C", "11 b13", "b9");
    takes("G7 Cm6", "C", "b9 b13", "11");
}

#[test]
fn a_blues_takes_natural_tensions_everywhere() {
    takes("C7 F7", "C", "9 13", "11");
    takes("F7 C7", "C", "9 13", "11");
    takes("F7 F#dim7", "C", "9 13", "11");
    takes("C7 A7", "C", "9 13", "11");
}

#[test]
fn what_the_symbol_names_is_not_offered_again() {
    takes("A7b9 Dm7", "C", "b13", "11");
    takes("E7alt Am7", "C", "b9 #9 #11 b13", "");
    takes("Cmaj7#11", "C", "9 13", "");
    takes("G13 Cmaj7", "C", "", "11");
}

#[test]
fn without_a_region_only_the_way_on_counts() {
    let row = chords("Em7 A7 Dm7");
    let scale = |at: usize| context(&row[at], None, row.get(at + 1)).scale;
    assert_eq!(line(&scale(0).tensions(&row[0])), "9 11");
    assert_eq!(line(&scale(1).tensions(&row[1])), "b9 b13");
}

/// Every tension lies a whole step over a tone of the plain chord, but for the flat and sharp
/// tensions of dominants, which are notes of the key (Nettles, *Harmony 3*, pp. 15 and 17, as quoted).
#[test]
fn tensions_obey_the_whole_step_rule() {
    for symbol in ["Cmaj7", "Cm7", "C6", "Cm6", "CmMaj7", "Cm7b5", "C7sus"] {
        let chord = &chords(symbol)[0];
        for tonic in super::TONICS {
            for mode in ["", "m"] {
                let scale = context(chord, key(&format!("{tonic}{mode}")), None).scale;
                if symbol == "C7sus" && scale == crate::harmony::Scale::SuspendedPhrygian {
                    continue;
                }
                for tension in scale.tensions(chord) {
                    let rubs = chord
                        .tones()
                        .iter()
                        .any(|tone| (tone.degree.class() + 1) % 12 == tension.class());
                    let locrian = symbol == "Cm7b5" && tension == Degree::FLAT_THIRTEENTH;
                    assert!(!rubs || locrian, "{symbol} in {tonic}{mode}: {tension}");
                }
            }
        }
    }
}

#[test]
fn a_context_needs_no_other_neighbour() {
    let row = chords("Cmaj7 A7 Dm7 G7 Em7 Eb7 Dm7 Db7 C6");
    let slots: Vec<_> = row.iter().map(Some).collect();
    let found = analyses(&slots, key("C"), false);
    for (at, analysis) in found.iter().enumerate() {
        let analysis = analysis.as_ref().unwrap();
        let alone = context(&row[at], Some(analysis.region), row.get(at + 1));
        assert_eq!(alone, analysis.context, "{}", row[at]);
    }
}
