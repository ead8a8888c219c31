//! How the hand's notes are named, from the chart to the page and back.

use compline::arrange::{Settings, arrange};
use compline::chart;
use compline::pitch::{Interval, Spelling};
use compline::voicing::{Colour, read_given};

use crate::program::{folder, run, run_with};

/// Two altered dominants and a diminished chord, whose theory has double accidentals.
const CHORDS: &str = "| B7#9 | E6 | Bbdim7 | Bm7 |";

fn settings(spelling: Option<Spelling>) -> Settings {
    let mut settings = Settings::default();
    settings.voicing.spelling = spelling;
    settings
}

/// The notes of each slot, as printed.
fn notes(text: &str, settings: &Settings) -> Vec<String> {
    let chart = chart::read(text).unwrap();
    let arrangement = arrange(chart, settings, &mut Default::default()).unwrap();
    let voicings = arrangement.slots.iter().map(|slot| &slot.voicing);
    voicings.map(|v| v.as_ref().unwrap().to_string()).collect()
}

/// The names without their octaves.
fn names(text: &str, spelling: Option<Spelling>) -> String {
    let notes = notes(text, &settings(spelling)).join(" ");
    notes.replace(|c: char| c.is_ascii_digit(), "")
}

#[test]
fn double_accidentals_are_kept_only_where_theory_is_asked_for() {
    let text = format!("key: D\n{CHORDS}\n");
    let practical = names(&text, None);
    assert!(
        !practical.contains("##") && !practical.contains("bb"),
        "{practical}"
    );
    assert_eq!(names(&text, Some(Spelling::Practical)), practical);
    let strict = names(&text, Some(Spelling::Strict));
    assert!(strict.contains("C##") && strict.contains("Abb"), "{strict}");
    assert_eq!(names(&format!("spelling: strict\n{text}"), None), strict);
}

#[test]
fn what_is_asked_for_comes_before_the_charts_own_line() {
    let text = format!("spelling: strict\nkey: D\n{CHORDS}\n");
    let practical = names(&text, Some(Spelling::Practical));
    assert!(!practical.contains("##"), "{practical}");
}

#[test]
fn the_key_keeps_the_names_it_has() {
    for (text, has, lacks) in [
        ("key: Gb\n| Abm7 | Db7 | Gbmaj7 |\n", "Cb", "B "),
        ("key: Bb\n| Fdim7 | Bbmaj7 |\n", "B ", "Cb"),
        // Beside a Bb a B would be the same letter twice.
        ("key: Bb\n| Abm7 | Db7 | Bbmaj7 |\n", "Cb", "B "),
        ("key: F#m\n| G#m7b5 | C#7b9 | F#m6 |\n", "E#", "F "),
        ("key: A\n| Bm7 | A#dim7 | C#7 | D6 |\n", "F ", "E#"),
    ] {
        let names = names(text, None) + " ";
        assert!(
            names.contains(has) && !names.contains(lacks),
            "{text}{names}"
        );
    }
}

#[test]
fn what_is_printed_is_read_as_the_same_voicing() {
    let progression = "| Dm7 | Db7#11 | Cmaj7 | B7alt | Em7b5 | A7b9 | Dm9 | G7#9 | Cdim7 | C6/9 |";
    let colours = [Colour::Written, Colour::Natural, Colour::Altered];
    for key in [
        "C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B",
    ] {
        let chart = chart::read(&format!("key: C\n{progression}\n")).unwrap();
        let up = Interval::between("C".parse().unwrap(), key.parse().unwrap());
        let chart = chart.transposed(up).unwrap();
        for colour in colours {
            let mut settings = settings(None);
            settings.voicing.colour = colour;
            let arrangement = arrange(chart.clone(), &settings, &mut Default::default()).unwrap();
            for slot in &arrangement.slots {
                let (voicing, chord) = (slot.voicing.as_ref().unwrap(), slot.slot.symbol.chord());
                let notes: Vec<_> = voicing.notes.iter().map(|note| note.note).collect();
                let read = read_given(chord.unwrap(), &notes).unwrap();
                assert_eq!(
                    (&read.notes, read.shape),
                    (&voicing.notes, voicing.shape),
                    "{key}"
                );
            }
        }
    }
}

#[test]
fn option_settings_and_messages_agree() {
    let text = format!("key: D\n{CHORDS}\n");
    let folder = folder(&[
        ("a.chart", &text),
        ("compline.toml", "spelling = \"strict\"\n"),
    ]);
    let strict = run(folder.path(), &["voice", "a.chart"]).out;
    assert!(strict.contains("C##"), "{strict}");
    let practical = run(
        folder.path(),
        &["voice", "a.chart", "--spelling", "practical"],
    )
    .out;
    assert!(!practical.contains("##"), "{practical}");
    let typed = run(
        folder.path(),
        &["voice", "a.chart", "--no-settings", "--spelling", "strict"],
    );
    assert_eq!(typed.out, strict);
}

#[test]
fn why_names_the_tunes_notes_as_the_tune_does() {
    let text = "key: Ab\n     | Bbm7 | Eb7 | Abmaj7 |\nmel  | Db5:4 | Db5:4 | C5:4 |\n";
    let folder = folder(&[]);
    for to in ["text", "json"] {
        let why = run_with(folder.path(), &["why", "-", "--to", to], text).out;
        assert!(why.contains("Db5") && !why.contains("C#"), "{why}");
    }
}
