//! What voicings would be taken for and what to touch, from outside: the lines of `why`, the JSON of
//! both commands, and what must hold of them on every demo chart.

use compline::chord::Chord;
use compline::pitch::{Degree, Name, PitchClass};
use serde_json::Value;

use crate::program::{project, run, run_with};

const TURN: &str = "key: C\n| Dm7 | N.C. | G7 | Cmaj7 |\n";

fn voiced(arguments: &[&str], chart: &str) -> Value {
    let all = [&["voice", "-", "--to", "json"], arguments].concat();
    serde_json::from_str(&run_with(project(), &all, chart).out).unwrap()
}

#[test]
fn why_says_what_each_chord_would_be_taken_for_and_what_to_touch() {
    let ran = run_with(project(), &["why", "-", "--grounding"], TURN);
    let kept = |line: &&str| {
        ["bar", "  heard", "  touch"]
            .iter()
            .any(|w| line.starts_with(w))
    };
    let lines: Vec<&str> = ran.out.lines().filter(kept).collect();
    assert_eq!(
        lines,
        [
            "bar 1, beat 1: Dm7  F3 A3 C4 E4 (b3 5 b7 9, rootless A, on the b3)",
            "  heard as   Fmaj7 with every tone; G13sus without the root",
            "  touch      the root D: silent",
            "bar 2, beat 1: N.C.  silent: the hand stays where it was",
            "bar 3, beat 1: G7  F3 A3 B3 E4 (b7 9 3 13, rootless B, on the b7)",
            "  heard as   Fmaj7#11 with the root; Db7alt, Dm6/9 without the root",
            "  touch      the root G: silent; 3 B: not among the guide tones of the chord before",
            "bar 4, beat 1: Cmaj7  E3 G3 B3 D4 (3 5 7 9, rootless A, on the 3)",
            "  heard as   Em7, G6 with every tone; A9sus without the root",
            "  touch      the root C: silent; 3 E: not among the guide tones of the chord before",
        ]
    );
}

#[test]
fn nothing_is_said_unless_it_is_asked_for() {
    let plain = run_with(project(), &["why", "-"], TURN).out;
    assert!(!plain.contains("heard as") && !plain.contains("touch"));
    let json = run_with(project(), &["why", "-", "--to", "json"], TURN).out;
    assert!(!json.contains("heard_as") && !json.contains("\"touch\""));
    for slot in voiced(&[], TURN)["slots"].as_array().unwrap() {
        assert!(slot.get("heard_as").is_none() && slot.get("touch").is_none());
    }
}

#[test]
fn both_commands_give_the_same_and_silence_has_none() {
    let why = run_with(
        project(),
        &["why", "-", "--to", "json", "--grounding"],
        TURN,
    )
    .out;
    let why: Vec<Value> = why
        .lines()
        .map(|l| serde_json::from_str(l).unwrap())
        .collect();
    let voice = voiced(&["--grounding"], TURN);
    for (why, slot) in why.iter().zip(voice["slots"].as_array().unwrap()) {
        for field in ["heard_as", "touch"] {
            assert_eq!(why.get(field), slot.get(field));
            assert_eq!(slot.get(field).is_some(), slot["voicing"].is_object());
        }
    }
    let touch = &voice["slots"][2]["touch"][1];
    assert_eq!(
        (&touch["name"], &touch["reason"]),
        (&"B".into(), &"changes".into())
    );
}

/// The class of a name in the JSON.
fn class(name: &Value) -> PitchClass {
    name.as_str().unwrap().parse::<Name>().unwrap().class()
}

/// The classes of the notes a slot sounds, lowest first.
fn sounding(slot: &Value) -> Vec<PitchClass> {
    let notes = slot["voicing"]["notes"].as_array().unwrap().iter();
    let midi = notes.map(|note| note["midi"].as_i64().unwrap());
    midi.map(|midi| PitchClass::of(midi as i32)).collect()
}

#[test]
fn on_every_chart_the_other_chords_have_the_notes_and_the_touched_ones_complete_the_frame() {
    let all = run(
        project(),
        &["voice", "charts", "--to", "json", "--grounding"],
    );
    let (mut others, mut touched) = (0, 0);
    for chart in all.out.lines() {
        let chart: Value = serde_json::from_str(chart).unwrap();
        let slots = chart["slots"].as_array().unwrap().iter();
        for slot in slots.filter(|slot| slot["voicing"].is_object()) {
            let (notes, own) = (sounding(slot), class(&slot["root"]));
            for heard in slot["heard_as"].as_array().unwrap() {
                others += 1;
                assert_ne!(class(&heard["root"]), own, "{slot}");
                let chord = Chord::read(heard["symbol"].as_str().unwrap()).unwrap();
                let degrees = heard["degrees"].as_array().unwrap().iter();
                let degrees = degrees.map(|d| d.as_str().unwrap().parse::<Degree>().unwrap());
                let classes: Vec<_> = degrees
                    .map(|d| chord.root().class().plus(d.semitones()))
                    .collect();
                assert_eq!(classes, notes, "{slot}");
                let tones = chord.tones().iter();
                let tones: Vec<_> = tones.map(|t| chord.spell(t.degree).class()).collect();
                assert!(notes.iter().all(|note| tones.contains(note)), "{slot}");
            }
            let touch = slot["touch"].as_array().unwrap().iter();
            let touch: Vec<_> = touch.map(|touch| class(&touch["name"])).collect();
            touched += touch.len();
            let chord = Chord::read(slot["symbol"].as_str().unwrap()).unwrap();
            assert!(notes[0] == own || touch.contains(&own), "{slot}");
            for guide in chord.third().into_iter().chain(chord.seventh()) {
                let guide = chord.spell(guide).class();
                assert!(notes.contains(&guide) || touch.contains(&guide), "{slot}");
            }
        }
    }
    assert!(
        others > 100 && touched > 100,
        "{others} chords, {touched} notes"
    );
}

#[test]
fn other_chords_go_by_their_names_in_the_key_they_stand_in() {
    // The second line is in G flat, where Cb is a note of the signature; in E flat it is not.
    let text = "key: Eb\n| Fm7 | Bb7b9 | Ebmaj7 | % |\n| Abm9 | Db13 | Gbmaj7 | % |\n";
    let voiced = voiced(&["--grounding"], text);
    let heard = |slot: usize| {
        let heard = voiced["slots"][slot]["heard_as"].as_array().unwrap();
        let symbols = heard.iter().map(|h| h["symbol"].as_str().unwrap());
        symbols.collect::<Vec<_>>().join(" ")
    };
    assert!(heard(1).contains("Bdim7"), "{}", heard(1));
    assert!(heard(4).contains("Cbmaj7"), "{}", heard(4));
}
