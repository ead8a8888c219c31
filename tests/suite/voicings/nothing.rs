//! Slots where nothing is left: what threw the last ones out, and what would help.

use compline::voicing::NoVoicing;

use super::*;
use Colour::Natural;

fn nothing(symbol: &str, palette: &str, hand: Hand, tune: &[&str]) -> NoVoicing {
    let chord = chord(symbol);
    let melody: Vec<Pitch> = tune
        .iter()
        .map(|n| compline::hand::key(n).unwrap())
        .collect();
    let ask = Ask {
        chord: &chord,
        context: ELSEWHERE,
        melody: &held(melody),
    };
    candidates(&ask, &settings(palette, Natural, hand)).unwrap_err()
}

fn help(none: &NoVoicing) -> String {
    none.loosening
        .as_ref()
        .map_or("nothing".to_owned(), ToString::to_string)
}

#[test]
fn a_narrow_range_is_widened_at_the_nearer_end() {
    let range = |text: &str| Hand {
        range: text.parse().unwrap(),
        ..Hand::default()
    };
    let none = nothing("Fm7", "rootless", range("Ab3-D4"), &[]);
    assert_eq!(
        none.to_string(),
        "no legal voicing for Fm7: 7 rootless out by range; \
         the last, rootless, because Eb4 lies over the range, D4"
    );
    assert_eq!(help(&none), "--high Eb4");
    assert_eq!(
        help(&nothing("Fm7", "rootless", range("A3-Eb4"), &[])),
        "--low Ab3"
    );
}

#[test]
fn a_small_hand_is_told_how_far_it_must_open() {
    let reach = Hand {
        reach: Reach::Semitones(6),
        ..Hand::default()
    };
    let none = nothing("Cm7", "rootless", reach, &[]);
    assert!(
        none.to_string().contains("the hand would have to open"),
        "{none}"
    );
    assert_eq!(help(&none), "--reach 7");
}

#[test]
fn a_measured_hand_is_never_told_to_stretch() {
    let hand = Hand {
        reach: Reach::of_hand("130mm").unwrap(),
        ..Hand::default()
    };
    let none = nothing("C6/9", "rootless", hand, &[]);
    assert_eq!(
        none.to_string(),
        format!(
            "no legal voicing for C6/9: 2 rootless out by reach; the last, rootless, because \
             E3 to D4 would need a hand of 146 mm. {}",
            compline::explain::CAUTION
        )
    );
    assert_eq!(help(&none), "add the shape guide-tones to the palette");
}

#[test]
fn muddy_intervals_are_listed_one_by_one() {
    let low = Hand {
        range: "C2-C3".parse().unwrap(),
        ..Hand::default()
    };
    let none = nothing(
        "C7",
        "guide-tones",
        Hand {
            range: "E2-Bb2".parse().unwrap(),
            ..low
        },
        &[],
    );
    assert_eq!(
        none.to_string(),
        "no legal voicing for C7: 1 guide-tones out by range, 1 guide-tones out by low-interval \
         limits; the last, guide-tones, because TT on E2 is muddy: not below B2"
    );
    assert_eq!(help(&none), "limits: allow TT from E2");
}

#[test]
fn a_tune_in_the_way_is_named() {
    let none = nothing("C7", "guide-tones", Hand::default(), &["C3"]);
    assert_eq!(
        none.to_string(),
        "no legal voicing for C7: 1 guide-tones out by range, 2 guide-tones out by melody; \
         the last, guide-tones, because the 3, E3, would sound above the melody's C3"
    );
    assert_eq!(
        help(&none),
        "do not mind the melody's C3: --ignore-melody, or give the chord's notes in an lh line"
    );
}

#[test]
fn a_shape_the_chord_does_not_have_is_said() {
    let none = nothing("C5", "rootless,guide-tones", Hand::default(), &[]);
    assert_eq!(
        none.to_string(),
        "no legal voicing for C5: it has no rootless, no guide-tones"
    );
    assert_eq!(help(&none), "add the shape block to the palette");
}

#[test]
fn nothing_helps_when_nothing_does() {
    // Every note the chord has to sound lies a minor ninth or second below some tune note.
    let none = nothing(
        "C5",
        "block",
        Hand::default(),
        &["C#4", "Ab4", "C#3", "Ab3", "C#5", "Ab5"],
    );
    assert_eq!(none.loosening, None);
}
