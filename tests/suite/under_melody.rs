//! What the hand plays under a melody, planned, in all twelve keys.

use compline::arrange::{Arrangement, Cache, Settings, arrange};
use compline::chart;
use compline::hand::key;
use compline::harmony::Melody;
use compline::pitch::{Degree, Interval, Name};
use compline::voicing::Voicing;

const TONICS: [&str; 12] = [
    "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
];

/// A chart arranged as written and in the eleven other keys, each with the name of where its C went.
fn in_every_key(rows: &str) -> Vec<(&'static str, Arrangement)> {
    let chart = chart::read(rows).unwrap();
    let from: Name = "C".parse().unwrap();
    let moved = |tonic: &'static str| {
        let by = Interval::between(from, tonic.parse().unwrap()).nearer();
        let chart = chart.transposed(by).unwrap();
        let arranged = arrange(chart, &Settings::default(), &mut Cache::default());
        (tonic, arranged.unwrap())
    };
    TONICS.into_iter().map(moved).collect()
}

fn voicings(arrangement: &Arrangement) -> Vec<&Voicing> {
    let slots = arrangement.slots.iter();
    slots.map(|slot| slot.voicing.as_ref().unwrap()).collect()
}

fn sounds(voicing: &Voicing, degree: &str) -> bool {
    let wanted: Degree = degree.parse().unwrap();
    let mut notes = voicing.notes.iter();
    notes.any(|note| note.degree.class() == wanted.class())
}

/// Whether the melody holds a degree of the slot's chord.
fn sings(slot: &chart::Slot, degree: &str) -> bool {
    let wanted: Degree = degree.parse().unwrap();
    let root = slot.symbol.chord().unwrap().root().class();
    let held = Melody::of(slot).held;
    let mut held = held.iter();
    held.any(|key| root.up_to(key.class()).0 == i32::from(wanted.class()))
}

/// Whether a voicing and the melody have four notes together, none of them on one key.
fn is_whole_with_melody(voicing: &Voicing, slot: &chart::Slot) -> bool {
    let held = Melody::of(slot).held;
    !voicing.pitches().any(|key| held.contains(&key)) && !held.is_empty()
}

fn told(arrangement: &Arrangement) -> Vec<String> {
    arrangement
        .warnings
        .iter()
        .map(ToString::to_string)
        .collect()
}

#[test]
fn a_cadence_under_long_notes_stays_whole_and_at_its_height() {
    for (rows, floor) in [
        (
            "key: C\n| Dm7 | G7 | Cmaj7 |\nmel | F5:4 | D5:4 | E5:4 |",
            "Eb3",
        ),
        (
            "key: C\n| Dm7 | G7 | Cmaj7 |\nmel | A5:4 | G5:4 | E5:4 |",
            "Eb3",
        ),
        (
            "key: C\n| Dm9 | G7 | Cmaj9 |\nmel | A5:2 D5:2 | F5:4 | E5:4 |",
            "Eb3",
        ),
        // A half step below costs one semitone, and saves more in one key.
        (
            "key: Cm\n| Dm7b5 | G7b9 | Cm6 |\nmel | F5:4 | D5:2 F5:2 | G5:4 |",
            "D3",
        ),
    ] {
        for (key_of, arrangement) in in_every_key(rows) {
            let floor = key(floor).unwrap();
            for voicing in voicings(&arrangement) {
                let told = format!("{rows} in {key_of}: {voicing}");
                assert_eq!(voicing.notes.len(), 4, "{told}");
                assert!(!voicing.thinned, "{told}");
                assert!(voicing.notes[0].pitch >= floor, "{told}");
            }
        }
    }
}

#[test]
fn four_notes_stay_four_where_a_ninth_has_no_room() {
    for (rows, given_up) in [
        ("| Am9 |\nmel | C5:4 |", Some("is played without its 9")),
        ("| Bbm7 |\nmel | Db5:4 |", None),
        ("key: F\n| Gm7 | C7 |\nmel | Bb4:4 | G4:4 |", None),
    ] {
        for (key_of, arrangement) in in_every_key(rows) {
            for (voicing, slot) in voicings(&arrangement).into_iter().zip(&arrangement.slots) {
                // A key that the melody holds is left to it.
                let left = voicing.notes.len() == 3 && is_whole_with_melody(voicing, &slot.slot);
                let told = format!("{rows} in {key_of}: {voicing}");
                assert!(voicing.notes.len() == 4 || left, "{told}");
            }
            let told = told(&arrangement);
            match given_up {
                // Two octaves and a half step below the melody a ninth has room.
                Some(_) if sounds(voicings(&arrangement)[0], "9") => {}
                Some(words) => assert!(told.iter().any(|told| told.contains(words)), "{told:?}"),
                None => assert!(told.is_empty(), "{rows} in {key_of}: {told:?}"),
            }
        }
    }
}

#[test]
fn a_tonic_under_a_low_melody_has_its_third_and_its_root() {
    let rows = "key: Cm\n| Cm | G7 |\nmel | G4:2 Eb4:2 | D5:4 |";
    for (key_of, arrangement) in in_every_key(rows) {
        let melody = Melody::of(&arrangement.slots[0].slot);
        // Lower there is no room for three notes with both.
        if melody.held[0] < key("D4").unwrap() {
            continue;
        }
        let voicing = voicings(&arrangement)[0];
        let tonic = sounds(voicing, "b3") && sounds(voicing, "1");
        assert!(tonic && voicing.notes.len() > 2, "{key_of}: {voicing}");
    }
}

#[test]
fn the_third_sounds_whatever_goes_by() {
    for rows in [
        "key: C\n| G7 |\nmel | A5:2 F5:2 |",
        "key: C\n| G7 |\nmel | D5:15/4 C5:1/4 |",
        "key: C\n| G7 |\nmel | C5:1 B4:3 |",
        "key: C\nmeter: 3/4\n| G7 |\nmel | D5:1 C5:1 B4:1 |",
        "key: G\n| G |\nmel | D5:1 C5:1 B4:2 |",
        "| F7 |\nmel | C5:1 Bb4:1 A4:2 |",
        "key: D\n| A7 |\nmel | E5:1 D5:1 C#5:2 |",
        "key: F\n| Fmaj7 |\nmel | C5:1 Bb4:1 A4:1 G4:1 |",
    ] {
        for (key_of, arrangement) in in_every_key(rows) {
            let voicing = voicings(&arrangement)[0];
            assert!(sounds(voicing, "3"), "{rows} in {key_of}: {voicing}");
            assert_eq!(voicing.notes.len(), 4, "{rows} in {key_of}: {voicing}");
            assert_eq!(told(&arrangement), [""; 0], "{rows} in {key_of}");
        }
    }
}

#[test]
fn a_blue_third_bends_nothing() {
    for rows in [
        "key: F\n| F7 | Bb7 |\nmel | C5:3 Ab4:1 | F4:2 Ab4:2 |",
        "key: F\n| F13 | Bb7 |\nmel | Ab4:4 | Bb4:4 |",
        "key: F\n| Bb7 | F7 |\nmel | Db5:4 | C5:1 Ab4:3 |",
        "key: F\n| Bb13 | F7 |\nmel | Db5:2 Bb4:2 | A4:4 |",
        "key: C\n| C7 | F13 | C7 |\nmel | Eb5:4 | Ab5:2 F5:2 | C5:4 |",
    ] {
        for (key_of, arrangement) in in_every_key(rows) {
            assert_eq!(told(&arrangement), [""; 0], "{rows} in {key_of}");
            for slot in &arrangement.slots {
                let voicing = slot.voicing.as_ref().unwrap();
                assert!(!sounds(voicing, "b9"), "{rows} in {key_of}: {voicing}");
                let root = slot.slot.symbol.chord().unwrap().root().class();
                let blue = |note: &chart::MelodyNote| root.up_to(note.note.name().class()).0 == 3;
                if slot.slot.melody_notes.iter().any(blue) {
                    assert!(!sounds(voicing, "9"), "{rows} in {key_of}: {voicing}");
                }
            }
        }
    }
}

#[test]
fn an_added_ninth_without_room_leaves_the_triad() {
    for (key_of, arrangement) in in_every_key("| Am(add9) |\nmel | C5:4 |") {
        let voicing = voicings(&arrangement)[0];
        for degree in ["1", "b3", "5"] {
            assert!(sounds(voicing, degree), "{key_of}: {voicing}");
        }
        assert!(!sounds(voicing, "b7"), "{key_of}: {voicing}");
        let told = told(&arrangement);
        assert!(told[0].contains("is played without its 9"), "{told:?}");
    }
}

#[test]
fn a_diminished_chord_is_complete_or_says_what_it_lacks() {
    for symbol in ["Cdim7", "Ebdim7"] {
        for note in [
            "F4", "F#4", "G4", "Ab4", "A4", "Bb4", "B4", "C5", "Db5", "D5", "Eb5", "E5", "F5",
        ] {
            for (key_of, arrangement) in in_every_key(&format!("| {symbol} |\nmel | {note}:4 |")) {
                let told = told(&arrangement);
                let Some(voicing) = &arrangement.slots[0].voicing else {
                    let rests = told.iter().any(|told| told.starts_with("silent in bar 1"));
                    assert!(rests, "{symbol} under {note} in {key_of}");
                    continue;
                };
                for degree in ["1", "b3", "b5", "bb7"] {
                    let lacks = |told: &String| {
                        told.contains("without its") && told.contains(&format!(" {degree}"))
                    };
                    let whole = sounds(voicing, degree) || told.iter().any(lacks);
                    let whole = whole || told.iter().any(|told| told.starts_with("thinned out"));
                    // The b13 is the usual colour for the b5, wherever it has room.
                    let coloured = degree == "b5" && sounds(voicing, "b13");
                    let slot = &arrangement.slots[0].slot;
                    let sung = sings(slot, degree) || degree == "b5" && sings(slot, "b13");
                    assert!(
                        whole || coloured || sung,
                        "{symbol} under {note} in {key_of}: {voicing}, {told:?}"
                    );
                }
            }
        }
    }
}

#[test]
fn the_hands_keep_to_their_own_keys_and_clear_of_the_top() {
    for rows in [
        "key: C\n| D9 |\nmel | A4:4 |",
        "key: F\n| Fmaj7 |\nmel | A4:4 |",
        "key: C\n| G7 |\nmel | B4:4 |",
        "key: Bb\n| Cm7 | F7 |\nmel | G4:4 | A4:4 |",
    ] {
        for (key_of, arrangement) in in_every_key(rows) {
            for slot in &arrangement.slots {
                let voicing = slot.voicing.as_ref().unwrap();
                let melody = Melody::of(&slot.slot);
                let shared = voicing.pitches().any(|key| melody.held.contains(&key));
                // In other keys the melody may lie too low for it.
                assert!(key_of != "C" || !shared, "{rows}: {voicing}");
                let keys: Vec<u8> = voicing.pitches().map(|key| key.midi()).collect();
                let [.., second, top] = keys[..] else {
                    panic!("{rows} in {key_of}: {voicing}");
                };
                assert!(top - second > 1, "{rows} in {key_of}: {voicing}");
            }
        }
    }
}

#[test]
fn a_key_that_the_melody_holds_is_left_to_it() {
    for rows in [
        "key: D\n| Em7 | A7 | D |\nmel | E4:4 | E4:4 | F#4:4 |",
        "key: Db\n| Ebm9 | Ab13 | Dbmaj7 |\nmel | F4:4 | F5:2 E5:2 | C5:4 |",
        "key: F\n| F7 | Cm7 F7 | Bb7 |\nmel | C5:4 | G4:2 A4:2 | F4:4 |",
        "key: Ab\n| Cm7 | Bbm7 | Abmaj7 |\nmel | G4:4 | F4:4 | Eb4:4 |",
        "key: Bb\n| Cm9 | F7 |\nmel | D4:1 Eb4:1 G4:2 | F4:4 |",
    ] {
        for (key_of, arrangement) in in_every_key(rows) {
            for slot in &arrangement.slots {
                let held = Melody::of(&slot.slot).held;
                // Lower there is no room for three notes under it.
                if held[0] < key("D4").unwrap() {
                    continue;
                }
                let voicing = slot.voicing.as_ref().unwrap();
                let shared = voicing.pitches().any(|key| held.contains(&key));
                let told = format!("{rows} in {key_of}: {voicing}");
                assert!(!shared && voicing.notes.len() > 2, "{told}");
            }
        }
    }
}

#[test]
fn a_chord_over_its_own_third_fifth_or_seventh_has_its_root() {
    for (symbol, tones) in [
        ("Cmaj7/E", ["1", "3", "7"]),
        ("C7/Bb", ["1", "3", "b7"]),
        ("C7/E", ["1", "3", "b7"]),
        ("Cm7/Bb", ["1", "b3", "b7"]),
        ("Cm7/G", ["1", "b3", "b7"]),
        ("C6/G", ["1", "3", "6"]),
        ("C9/Bb", ["1", "3", "9"]),
    ] {
        let rows = format!("key: C\n| Dm7 | {symbol} | Fmaj7 |\nmel | A5:4 | G5:4 | E5:4 |");
        for (key_of, arrangement) in in_every_key(&rows) {
            let voicing = voicings(&arrangement)[1];
            let all = tones.iter().all(|tone| sounds(voicing, tone));
            let told = format!("{symbol} in {key_of}: {voicing}");
            assert!(all && voicing.notes.len() == 4, "{told}");
        }
    }
}

#[test]
fn a_sharp_ninth_lies_above_the_third() {
    for rows in [
        "key: Em\n| B7#9 | Em7 |\nmel | D5:4 | B4:4 |",
        "key: Am\n| E7#9 | Am7 |\nmel | G4:4 | C5:4 |",
    ] {
        for (key_of, arrangement) in in_every_key(rows) {
            let voicing = voicings(&arrangement)[0];
            let at = |degree: &str| {
                let wanted: Degree = degree.parse().unwrap();
                let mut notes = voicing.notes.iter();
                notes.position(|note| note.degree == wanted)
            };
            let third = at("3").unwrap();
            // Where the third under it would lie below Eb3, or the #9 over the range, b7 #9 3 b13 is taken.
            let root = arrangement.slots[0].slot.symbol.chord().unwrap().root();
            let low = [7, 8, 9, 10].contains(&root.class().number()) && at("b13") == Some(3);
            let below = at("#9").is_some_and(|ninth| ninth < third) && !low;
            assert!(!below, "{rows} in {key_of}: {voicing}");
        }
    }
}

/// No melody, however low or foreign, has a chart refused.
#[test]
fn no_chart_is_refused_because_of_its_melody() {
    let symbols = [
        "C",
        "Dm7",
        "G7",
        "Fmaj7",
        "Bdim7",
        "F#m7b5",
        "G7alt",
        "Am(add9)",
        "C6/9",
        "Dsus4",
        "C/E",
        "Ebmaj9#11",
        "E7#9",
        "Caug",
        "A5",
        "C13",
    ];
    let mut silent = 0;
    for symbol in symbols {
        for midi in 40..88 {
            let pitch = compline::pitch::Pitch::new(midi).unwrap();
            let note = compline::pitch::Note::usual(pitch).to_string();
            let chart = chart::read(&format!("| {symbol} |\nmel | {note}:4 |")).unwrap();
            let arranged = arrange(chart, &Settings::default(), &mut Cache::default());
            let arrangement = arranged.unwrap_or_else(|why| panic!("{symbol} {note}: {why:?}"));
            let rests = arrangement.slots[0].voicing.is_none();
            silent += usize::from(rests);
            let told = told(&arrangement);
            let says = told.iter().any(|told| told.starts_with("silent in bar 1"));
            assert_eq!(rests, says, "{symbol} under {note}: {told:?}");
        }
    }
    assert!(silent > 0);
}
