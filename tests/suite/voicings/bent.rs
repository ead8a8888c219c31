//! Altered dominants keep their b13 where the tune lets them; a raised tone of a diminished seventh
//! chord does not rub at the bottom.

use super::*;
use Colour::{Altered, Natural};

/// The different layouts of a symbol in a shape under a tune note so many semitones above its root,
/// in the octave above the hand.
fn shown(
    symbol: &str,
    context: HarmonicContext,
    shape: &str,
    colour: Colour,
    tune: &[i32],
) -> Vec<String> {
    let chord = chord(symbol);
    let root = 84 + i32::from(chord.root().class().number());
    let melody: Vec<Pitch> = tune
        .iter()
        .map(|above| Pitch::try_from(root + above).unwrap())
        .collect();
    let ask = Ask {
        chord: &chord,
        context,
        melody: &held(melody),
    };
    let found = candidates(&ask, &settings(shape, colour, Hand::default())).unwrap();
    usual(&found)
}

const FLAT_THIRTEENTH: [&str; 4] = ["3 b13 b7 #9", "3 b13 b7 b9", "b7 #9 3 b13", "b7 b9 3 b13"];

#[test]
fn alt_is_b13_with_a_bent_ninth_in_every_key_and_colour() {
    for root in ROOTS {
        for colour in Colour::ALL {
            let settings = settings("rootless", colour, free_hand());
            let found = voiced(&format!("{root}7alt"), INTO_MINOR, &settings);
            assert_eq!(usual(&found), FLAT_THIRTEENTH, "{root}");
        }
        let settings = settings("rootless", Altered, free_hand());
        for context in [INTO_MAJOR, INTO_MINOR, HALF_DOWN] {
            let found = voiced(&format!("{root}7"), context, &settings);
            // The form with the #9 below the third is the altered chord's alone.
            let want = ["3 b13 b7 #9", "3 b13 b7 b9", "b7 b9 3 b13"];
            assert_eq!(usual(&found), want, "{root}");
        }
    }
    let three = shown("C7alt", INTO_MINOR, "three-note", Natural, &[]);
    assert_eq!(three, ["3 b7 #9", "3 b7 b9", "b7 3 b13"]);
}

#[test]
fn the_sharp_eleventh_stands_for_it_only_where_tune_or_symbol_wants_that() {
    let has = |voicings: &[String], degree: &str| {
        let each = voicings.iter().map(|v| v.split(' ').any(|d| d == degree));
        each.collect::<Vec<bool>>()
    };
    for (symbol, colour) in [("G7alt", Natural), ("Bb7alt", Natural), ("G7", Altered)] {
        let under = |tune: &[i32]| shown(symbol, INTO_MINOR, "rootless", colour, tune);
        // The tune sings the 13, a half step from b13.
        let thirteen = under(&[9]);
        assert!(has(&thirteen, "#11").iter().all(|has| *has), "{thirteen:?}");
        // It sings the #11 itself: either will do.
        let sung = under(&[6]);
        assert!(has(&sung, "#11").contains(&true) && has(&sung, "b13").contains(&true));
        // It sings the third, the root or the b13: no cause.
        for tune in [0, 4, 8, 10] {
            assert!(
                !has(&under(&[tune]), "#11").contains(&true),
                "{symbol} {tune}"
            );
        }
        // On the natural 5 there is no b13.
        assert!(!has(&under(&[7]), "b13").contains(&true), "{symbol}");
    }
    let named = shown("C7#11", INTO_MINOR, "rootless", Altered, &[]);
    assert_eq!(named, ["3 #11 b7 #9", "3 #11 b7 b9", "b7 b9 3 #11"]);
    let besides = shown("C7alt(#11)", INTO_MINOR, "rootless", Natural, &[]);
    assert_eq!(besides, named);
    let ninth = shown("C7b9", INTO_MINOR, "rootless", Altered, &[]);
    assert_eq!(ninth, ["3 b13 b7 b9", "b7 b9 3 b13"]);
}

#[test]
fn a_raised_diminished_tone_never_rubs_at_the_bottom() {
    for root in ROOTS {
        for symbol in [format!("{root}dim7"), format!("{root}dim7(b13)")] {
            let found = voiced(
                &symbol,
                ELSEWHERE,
                &settings("rootless", Natural, free_hand()),
            );
            for voicing in &found.voicings {
                let keys = midi(voicing);
                assert!(keys[1] - keys[0] > 1, "{symbol} {voicing}");
            }
            let raised = found.voicings.iter().any(|v| degrees(v).contains("b13"));
            assert!(raised, "{symbol}");
        }
    }
}
