//! What a pianist would play: planned left hands without a melody, in all twelve keys.

use std::collections::BTreeSet;

use compline::arrange::{Arrangement, Cache, Settings, arrange};
use compline::chart;
use compline::chord::Chord;
use compline::hand::key;
use compline::harmony::{HarmonicContext, Melody};
use compline::pitch::{Degree, Interval, Name, Pitch};
use compline::voicing::{Ask, Colour, SHAPES, SurchargeWeights, Voicing, candidates};

const TONICS: [&str; 12] = [
    "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
];

/// A chart arranged as written and in the eleven other keys.
fn in_every_key(rows: &str) -> Vec<Arrangement> {
    let chart = chart::read(rows).unwrap();
    let from: Name = "C".parse().unwrap();
    let moved = |tonic: &str| {
        let by = Interval::between(from, tonic.parse().unwrap()).nearer();
        let chart = chart.transposed(by).unwrap();
        arrange(chart, &Settings::default(), &mut Cache::default()).unwrap()
    };
    TONICS.into_iter().map(moved).collect()
}

fn voicings(arrangement: &Arrangement) -> Vec<&Voicing> {
    let slots = arrangement.slots.iter();
    slots.map(|slot| slot.voicing.as_ref().unwrap()).collect()
}

/// The degrees that sound, as semitones above the root.
fn classes(voicing: &Voicing) -> BTreeSet<u8> {
    voicing.notes.iter().map(|n| n.degree.class()).collect()
}

fn keys(voicing: &Voicing) -> BTreeSet<Pitch> {
    voicing.pitches().collect()
}

#[test]
fn over_a_bass_that_is_not_the_root_the_triad_sounds_and_nothing_else() {
    for rows in [
        "key: C\n| F/G | C |",
        "key: F\n| Bb/C | F |",
        "key: C\n| C/E | D/F# | D/A | G/B |",
        "key: Am\n| Am | Am/G# | Am/G | Am/F# |",
        "key: C\n| C/Bb | Fm/Ab | G/F | C/G |",
    ] {
        for arrangement in in_every_key(rows) {
            for slot in &arrangement.slots {
                let (chord, voicing) = (slot.slot.symbol.chord().unwrap(), slot.voicing.as_ref());
                let voicing = voicing.unwrap();
                if chord.bass().is_none() {
                    continue;
                }
                let third = if chord.symbol().contains('m') { 3 } else { 4 };
                assert_eq!(
                    classes(voicing),
                    BTreeSet::from([0, third, 7]),
                    "{chord}: {voicing}"
                );
                assert!(!voicing.thinned, "{chord} has no thicker shape");
            }
            assert!(
                !arrangement
                    .warnings
                    .iter()
                    .any(|w| w.to_string().contains("thinned"))
            );
        }
    }
}

#[test]
fn a_line_on_one_root_is_in_one_voice_and_the_rest_stays() {
    for (rows, steps) in [
        ("key: Cm\n| Cm | Cm(maj7) | Cm7 | Cm6 |", [-1, -1, -1]),
        ("key: F\n| C | C+ | C6 | C7 |", [1, 1, 1]),
        ("key: Cm\n| Cm | Cm#5 | Cm6 | Cm#5 |", [1, 1, -1]),
        ("key: Cm\n| Cm Cm#5 | Cm6 Cm7 |", [1, 1, 1]),
    ] {
        for arrangement in in_every_key(rows) {
            for (pair, step) in voicings(&arrangement).windows(2).zip(steps) {
                let (before, after) = (keys(pair[0]), keys(pair[1]));
                let left: Vec<&Pitch> = before.difference(&after).collect();
                let reached: Vec<&Pitch> = after.difference(&before).collect();
                let told = format!("{rows}: {} to {}", pair[0], pair[1]);
                assert_eq!((left.len(), reached.len()), (1, 1), "{told}");
                assert_eq!(left[0].up_to(*reached[0]).0, step, "{told}");
                assert!(before.intersection(&after).count() >= 2, "{told}");
            }
        }
    }
}

#[test]
fn a_dominant_into_minor_has_a_b9_or_b13_and_no_natural_9() {
    for rows in [
        "key: Cm\n| Dm7b5 | G7 | Cm6 |",
        "key: C\n| Em7 A7 | Dm7 G7 | Cmaj7 | E7 | Am7 |",
        "key: Eb\n| Dm7b5 G7 | Cm7 C7 | Fm7 Bb7 | Ebmaj7 |",
        "key: C\n| A7 | Dm | D7 | Gm |",
    ] {
        for arrangement in in_every_key(rows) {
            for pair in arrangement.slots.windows(2) {
                let chord = |at: usize| pair[at].slot.symbol.chord().unwrap();
                let falls = chord(0).root().class().up_to(chord(1).root().class()).0 == 5;
                let minor = chord(1).third() == Some(Degree::MINOR_THIRD);
                if chord(0).symbol().ends_with('7')
                    && !chord(0).symbol().contains('m')
                    && falls
                    && minor
                {
                    let found = classes(pair[0].voicing.as_ref().unwrap());
                    let told = format!("{} {}", chord(0), pair[0].voicing.as_ref().unwrap());
                    assert!(found.contains(&1) || found.contains(&8), "{told}");
                    assert!(!found.contains(&2) && !found.contains(&9), "{told}");
                }
            }
        }
    }
}

#[test]
fn the_seventh_of_the_iii_falls_to_the_third_of_the_vi() {
    for arrangement in in_every_key("key: C\n| Cmaj7 | Em7 A7 | Dm7 G7 | Cmaj7 |") {
        let hands = voicings(&arrangement);
        let key_of = |voicing: &Voicing, class: u8| {
            let mut notes = voicing.notes.iter();
            notes
                .find(|note| note.degree.class() == class)
                .map(|note| note.pitch)
        };
        let (seventh, third) = (key_of(hands[1], 10).unwrap(), key_of(hands[2], 4).unwrap());
        assert_eq!(seventh.up_to(third).0, -1, "{} to {}", hands[1], hands[2]);
    }
}

#[test]
fn what_is_named_sounds_and_diminished_chords_are_complete() {
    for (rows, wanted) in [
        ("key: D\n| A9sus | D |", vec![2, 5, 10]),
        ("key: D\n| A13sus | D |", vec![2, 5, 9, 10]),
        ("key: Am\n| Am(add9) | Dm |", vec![2, 3]),
        ("key: C\n| Cdim7 | C |", vec![0, 3, 9]),
        ("key: Eb\n| Ebdim7 | Eb |", vec![0, 3, 9]),
    ] {
        for arrangement in in_every_key(rows) {
            let first = voicings(&arrangement)[0];
            assert!(
                wanted.iter().all(|class| classes(first).contains(class)),
                "{rows}: {first}"
            );
            assert!(first.notes.len() == 4 && !first.thinned, "{rows}: {first}");
        }
    }
}

#[test]
fn a_sharp_ninth_lies_above_the_third_and_no_half_step_on_top() {
    for rows in [
        "key: Em\n| F#m7b5 | B7#9 | Em6 |",
        "key: Am\n| Am9 | E7#9 | Am9 |",
    ] {
        for arrangement in in_every_key(rows) {
            let at = |voicing: &Voicing, degree: Degree| {
                voicing.notes.iter().position(|note| note.degree == degree)
            };
            let dominant = voicings(&arrangement)[1];
            let sharp = at(dominant, Degree::SHARP_NINTH);
            assert!(sharp.is_some(), "{dominant}");
            // Where the third under it would lie below Eb3, or the #9 over the range, b7 #9 3 b13 is taken.
            let root = arrangement.slots[1].slot.symbol.chord().unwrap().root();
            let low = [7, 8, 9, 10].contains(&root.class().number());
            let below = low && at(dominant, Degree::FLAT_THIRTEENTH) == Some(3);
            assert!(sharp > at(dominant, Degree::THIRD) || below, "{dominant}");
            for voicing in voicings(&arrangement) {
                let pitches: Vec<Pitch> = voicing.pitches().collect();
                let top = pitches[pitches.len() - 2]
                    .up_to(pitches[pitches.len() - 1])
                    .0;
                assert!(top > 1, "{voicing}");
            }
        }
    }
}

#[test]
fn a_tonic_triad_tells_its_third_and_its_home() {
    for rows in ["key: Cm\n| Cm | G7 | Cm |", "key: C\n| C | G7 | C |"] {
        for arrangement in in_every_key(rows) {
            let first = voicings(&arrangement)[0];
            let found = classes(first);
            let told = found.contains(&0) || found.contains(&7);
            assert!(first.notes.len() > 2 && told, "{first}");
        }
    }
}

#[test]
fn two_five_ones_keep_their_forms_and_their_height() {
    for rows in [
        "key: C\n| Dm7 | G7 | Cmaj7 |",
        "key: Cm\n| Dm7b5 | G7alt | Cm6 |",
    ] {
        for arrangement in in_every_key(rows) {
            let floor = key("Eb3").unwrap();
            for pair in voicings(&arrangement).windows(2) {
                let stays = keys(pair[0]).intersection(&keys(pair[1])).count();
                assert!(
                    stays > 0 || pair[1].lowest.number() != pair[0].lowest.number(),
                    "{} {}",
                    pair[0],
                    pair[1]
                );
            }
            for voicing in voicings(&arrangement) {
                assert_eq!(voicing.notes.len(), 4, "{voicing}");
                assert!(voicing.notes[0].pitch >= floor, "{voicing}");
            }
        }
    }
}

#[test]
fn without_surcharges_effort_is_motion_and_the_least_there_is() {
    for rows in [
        "key: C\n| Dm7 G7 | Cmaj7 A7 | Dm7 G7 | C6 |\nmel | F5:2 E5:2 | E5:4 | D5:3 C5:1 | C5:4 |",
        "key: F\n|: F7 | Bb7 | F7 | Cm7 F7 :|",
    ] {
        let planned = |surcharges: SurchargeWeights| {
            let mut settings = Settings::default();
            settings.voicing.surcharges = surcharges;
            arrange(chart::read(rows).unwrap(), &settings, &mut Cache::default()).unwrap()
        };
        let (free, charged) = (
            planned(SurchargeWeights::NONE),
            planned(SurchargeWeights::default()),
        );
        assert_eq!(free.totals.cost.effort, free.totals.motion());
        assert_eq!(free.totals.surcharges.sum(), 0);
        assert!(free.totals.motion() <= charged.totals.motion());
        let sum: u64 = charged.totals.motion() + charged.totals.surcharges.sum();
        assert_eq!(sum, charged.totals.cost.effort);
        // The candidates are the same, so the charged plan's effort can't be less than its motion.
        assert!(charged.totals.cost.effort >= free.totals.cost.effort);
    }
}

/// What colour *written* allows, *natural* allows too, in every shape.
#[test]
fn natural_has_all_that_written_has() {
    let suffixes = [
        "", "m", "6", "m6", "maj7", "m7", "7", "9", "13", "7b9", "7#9", "7sus", "9sus", "m7b5",
        "dim7", "+", "7alt", "maj7#11", "m(maj7)", "add9",
    ];
    for suffix in suffixes {
        let chord = Chord::read(&format!("C{suffix}")).unwrap();
        let ask = Ask {
            chord: &chord,
            context: HarmonicContext::default(),
            melody: &Melody::NONE,
        };
        for shape in SHAPES {
            let offered = |colour| {
                let mut settings = Settings::default().voicing;
                (settings.palette, settings.colour) = (shape.name.parse().unwrap(), colour);
                let found = candidates(&ask, &settings);
                found
                    .map(|found| found.voicings.iter().map(keys).collect::<Vec<_>>())
                    .unwrap_or_default()
            };
            let natural = offered(Colour::Natural);
            for written in offered(Colour::Written) {
                assert!(
                    natural.contains(&written),
                    "{chord} {}: {written:?}",
                    shape.name
                );
            }
        }
    }
}
