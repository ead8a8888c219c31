//! Charts out to other formats and in again by the library: what they are comes back; no input brings a reader down.

use std::fs;

use compline::arrange::{Cache, Settings, arrange};
use compline::chart::{Chart, Slot, read};
use compline::formats::readers::reader;
use compline::formats::{midi, musicxml};
use compline::score::{Performing, Score};
use proptest::prelude::*;

use crate::program::project;

/// The bar, the beats and the chord's names, the hand, the chord's tones, the tune.
type Noticed = (usize, String, String, Vec<u8>, Vec<String>);

/// What a listener and a reader of a chart would notice: where each slot stands, what its chord means,
/// what is sung and what the hand plays.
fn content(chart: &Chart) -> Vec<Noticed> {
    let of = |slot: Slot| {
        let chord = slot.symbol.chord();
        let mut tones: Vec<u8> = chord
            .map(|c| c.tones().iter().map(|t| t.degree.class()).collect())
            .unwrap_or_default();
        tones.sort_unstable();
        tones.dedup();
        let names = chord.map(|c| (c.root(), c.bass().filter(|bass| *bass != c.root())));
        let tune = slot
            .melody_notes
            .iter()
            .map(|t| format!("{} {} {} {}", t.note, t.beat, t.beats, t.tied));
        let place = format!("{} {} {names:?}", slot.beat, slot.beats);
        let wish = format!("{:?}", slot.wish);
        let hand = if wish.starts_with("Given") {
            wish
        } else {
            String::new()
        };
        (slot.bar, place, hand, tones, tune.collect())
    };
    chart.slots().into_iter().map(of).collect()
}

/// The demo charts, by their names.
fn charts() -> Vec<(String, String)> {
    let folder = fs::read_dir(project().join("charts")).unwrap();
    let paths = folder.map(|entry| entry.unwrap().path());
    let mut charts: Vec<(String, String)> = paths
        .map(|path| {
            (
                path.display().to_string(),
                fs::read_to_string(&path).unwrap(),
            )
        })
        .collect();
    charts.sort();
    assert!(charts.len() > 5);
    charts
}

fn voiced(chart: Chart) -> compline::arrange::Arrangement {
    arrange(chart, &Settings::default(), &mut Cache::default()).unwrap()
}

/// The chart with its left hand written in.
fn with_hand(arrangement: &compline::arrange::Arrangement) -> Chart {
    read(&compline::formats::text(
        arrangement,
        &compline::formats::Style::default(),
    ))
    .unwrap()
}

fn back_from_musicxml(score: &Score) -> (Chart, Vec<String>) {
    let text = musicxml::musicxml(score);
    let tune = reader("musicxml")
        .unwrap()
        .tune(text.as_bytes(), None)
        .unwrap();
    let lost = tune.report.items().into_iter().map(|item| item.text);
    (tune.chart, lost.collect())
}

#[test]
fn every_demo_chart_comes_back_from_musicxml() {
    for (name, source) in charts() {
        let arrangement = voiced(read(&source).unwrap());
        let chart = with_hand(&arrangement);
        let (back, lost) = back_from_musicxml(&Score::of(&arrangement));
        assert_eq!(lost, [""; 0], "{name}");
        let beats = |chart: &Chart| chart.play_order().unwrap().beats();
        assert_eq!(beats(&back), beats(&chart), "{name}");
        assert_eq!(
            (back.title(), back.key(), back.tempo()),
            (chart.title(), chart.key(), chart.tempo())
        );
        // An order of sections that is not the page's is written out.
        if chart.order_of_sections().is_none() {
            assert_eq!(content(&back), content(&chart), "{name}");
            let signs = |chart: &Chart| chart.bars().map(|bar| bar.signs()).collect::<Vec<_>>();
            assert_eq!(signs(&back), signs(&chart), "{name}");
            let names = |chart: &Chart| {
                chart
                    .sections()
                    .iter()
                    .map(|s| s.name.clone())
                    .collect::<Vec<_>>()
            };
            assert_eq!(names(&back), names(&chart), "{name}");
        }
    }
}

#[test]
fn every_demo_chart_comes_back_from_midi_as_it_is_played() {
    for (name, source) in charts() {
        let arrangement = voiced(read(&source).unwrap());
        let bytes = midi::midi(&arrangement, &Performing::default());
        let tune = reader("midi").unwrap().tune(&bytes, None).unwrap();
        let chart = with_hand(&arrangement);
        let order = chart.play_order().unwrap();
        let unfolded = chart.unfolded(&order);
        // Names of notes and numbers of bars aside: a key has no name in MIDI.
        let sounds = |chart: &Chart| {
            let slots = chart.slots().into_iter();
            let of = |slot: Slot| {
                let tune: Vec<_> = slot
                    .melody_notes
                    .iter()
                    .map(|t| (t.note.pitch(), t.beat, t.beats))
                    .collect();
                let hand = match &slot.wish {
                    compline::chart::Wish::Given(notes) => {
                        notes.iter().map(|n| n.pitch()).collect()
                    }
                    _ => Vec::new(),
                };
                (slot.bar, slot.beat, slot.beats, tune, hand)
            };
            slots.map(of).collect::<Vec<_>>()
        };
        assert_eq!(sounds(&tune.chart), sounds(&unfolded), "{name}");
        assert!(tune.report.is_empty(), "{name}: {}", tune.report);
    }
}

/// Changes of key, meter and tempo; ties over bar lines, into both endings and into another key.
const TIDE: &str = "\
title: Tide
key: F
meter: 4/4
tempo: 120

[A]
     |: Fmaj7      | Gm7 C7     |1 Fmaj7 :|2 A7         ||
mel  |  r:3 A4:1-  | A4:2 G4:2- |  G4:4   |  G4:3 A4:1- |

[B]
key: D
tempo: 90
     | Dmaj7       | Em7  A7    |
mel  | A4:3 B4:1   | r:2  A4:2- |

meter: 3/4
tempo: 144
     | D6   |
mel  | A4:3 |
";

#[test]
fn changes_and_ties_go_out_and_come_back() {
    let chart = read(TIDE).unwrap();
    let arrangement = voiced(chart.clone());
    let (back, lost) = back_from_musicxml(&Score::of(&arrangement));
    assert_eq!(lost, [""; 0]);
    assert_eq!(back.tidy(), with_hand(&arrangement).tidy());
    // In a sequencer's file everything is written out as it is played.
    let bytes = midi::midi(&arrangement, &Performing::default());
    let tune = reader("midi").unwrap().tune(&bytes, None).unwrap();
    assert_eq!(tune.report.to_string(), "");
    let unfolded = with_hand(&arrangement).unfolded(&chart.play_order().unwrap());
    // The hand's keys have no names there.
    let heard = |chart: &Chart| -> Vec<_> {
        let slots = content(chart).into_iter();
        slots
            .map(|(bar, place, _, tones, tune)| (bar, place, tones, tune))
            .collect()
    };
    assert_eq!(heard(&tune.chart), heard(&unfolded));
    let changes = |chart: &Chart| -> Vec<String> {
        let text = chart.tidy();
        let named = |line: &&str| {
            ["key:", "meter:", "tempo:"]
                .iter()
                .any(|n| line.starts_with(n))
        };
        text.lines().filter(named).map(str::to_owned).collect()
    };
    assert_eq!(changes(&tune.chart), changes(&chart));
}

const BARS: &[(&str, &str)] = &[
    ("C", "C5:4"),
    ("Dm7 G7", "F4:3/2 E4:5/2"),
    ("C / / F#m7b5", "r:1 A4:2/3 B4:2/3 C5:2/3 r:1"),
    ("N.C.", "r:4"),
    ("Am7 D7b9 Gmaj7 C7alt", "C5:1/2 Bb4:1/2 r:3"),
    ("3/4 Bb13sus", "C5:3"),
    ("C/E F6/9", "E5:1/5 F5:1/5 G5:1/5 A5:1/5 B5:1/5 C6:3"),
    ("5/8 E7#9", "r:5"),
];

fn page() -> impl Strategy<Value = String> {
    let signs = prop::sample::select(vec![("|", "|"), ("|:", ":|"), ("|", "||"), ("|:", ":|x3")]);
    let bars = prop::collection::vec((0..BARS.len(), signs), 1..7);
    let keys = prop::sample::select(vec!["C", "Eb", "F#m", "Am"]);
    (bars, any::<bool>(), keys).prop_map(|(bars, tune, key)| {
        let mut text = format!("key: {key}\nmeter: 4/4\n[A]\n");
        for (bar, (open, close)) in bars {
            text += &format!("{open} {} {close}\n", BARS[bar].0);
            if tune {
                text += &format!("mel | {} |\n", BARS[bar].1);
            }
        }
        text
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// A chart that goes out as MusicXML comes back with everything in it.
    #[test]
    fn charts_survive_musicxml(text in page()) {
        let arrangement = voiced(read(&text).unwrap());
        let chart = with_hand(&arrangement);
        let (back, lost) = back_from_musicxml(&Score::of(&arrangement));
        prop_assert_eq!(lost, [""; 0]);
        prop_assert_eq!(content(&back), content(&chart));
        let signs = |chart: &Chart| chart.bars().map(|bar| bar.signs()).collect::<Vec<_>>();
        prop_assert_eq!(signs(&back), signs(&chart));
        // And what came back goes out the same again.
        let again = musicxml::musicxml(&Score::of(&voiced(back.clone())));
        let (twice, _) = back_from_musicxml(&Score::of(&voiced(back.clone())));
        prop_assert_eq!(content(&twice), content(&back));
        prop_assert!(again.contains("score-partwise"));
    }

    /// Whatever the bytes are, a reader says what is wrong or makes a chart that reads.
    #[test]
    fn no_bytes_bring_a_reader_down(bytes in prop::collection::vec(any::<u8>(), 0..300), start in 0usize..5) {
        let starts: [&[u8]; 5] = [b"", b"MThd\0\0\0\x06\0\x01\0\x01\0\x60MTrk\0\0\0\x20", b"PK\x03\x04", b"<score-partwise><part id='a'><measure>", b"X:1\nK:G\n"];
        let whole = [starts[start], &bytes].concat();
        for name in ["musicxml", "midi", "abc"] {
            if let Ok(tune) = reader(name).unwrap().tune(&whole, None) {
                prop_assert_eq!(read(&tune.text).unwrap(), tune.chart);
            }
        }
    }

    /// ABC made of its own signs.
    #[test]
    fn no_music_brings_abc_down(music in "[A-Ga-g0-9/|:\\[\\]\"(){}<>^_=,'zZx! \n&.~+-]{0,120}") {
        let text = format!("X:1\nM:6/8\nK:D\n\"D\"A|{music}\n");
        if let Ok(tune) = reader("abc").unwrap().tune(text.as_bytes(), None) {
            prop_assert_eq!(read(&tune.text).unwrap(), tune.chart);
        }
    }
}

/// A file of keys has no names: a black key is what the chord over it calls it, else what the key does.
#[test]
fn black_keys_are_named_by_the_chord_they_sound_with() {
    let rows = "key: F\n| F | D7 | A7 | N.C. |\nmel | F4:4 | F#4:4 | C#5:2 Bb4:2 | Db5:4 |\n";
    let chart = read(rows).unwrap();
    let bytes = midi::midi(&voiced(chart), &Performing::default());
    let tune = reader("midi").unwrap().tune(&bytes, None).unwrap();
    for there in ["F#4:4", "C#5:2 Bb4:2", "Db5:4", "F#3"] {
        assert!(tune.text.contains(there), "{there}: {}", tune.text);
    }
    assert!(!tune.text.contains("Gb"), "{}", tune.text);
}

/// A tempo that was played wavers all the time; a page says one.
#[test]
fn a_wavering_tempo_is_told_once() {
    let bars: String = (0..12)
        .map(|bar| format!("tempo: {}\n| C |\n", 100 + bar))
        .collect();
    let chart = read(&format!("meter: 4/4\n[A]\n{bars}")).unwrap();
    let bytes = midi::midi(&voiced(chart), &Performing::default());
    let tune = reader("midi").unwrap().tune(&bytes, None).unwrap();
    assert_eq!(tune.text.matches("tempo:").count(), 1, "{}", tune.text);
    assert_eq!(
        tune.report.to_string(),
        "11 changes of a tempo that wavers left out (first: bar 2)\n"
    );
}
