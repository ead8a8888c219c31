//! Scores of our own: jumps and nested repeats against orders written out by hand, scores through a chart and
//! back, and an arranger's whole way from a folk tune to a score and a sequencer.

use std::fs;

use compline::arrange::{Cache, Settings, arrange};
use compline::chart::Chart;
use compline::formats::musicxml::musicxml;
use compline::formats::readers::{ReadTune, reader};
use compline::score::Score;
use proptest::prelude::*;

use crate::program::{folder, run};

/// A score of measures numbered from 1; each is what stands before and behind its note.
fn score(measures: &[(String, String)]) -> String {
    let each = (1..).zip(measures).map(|(number, (before, behind))| {
        let head = if number == 1 { "<attributes><divisions>2</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>" } else { "" };
        format!(
            "<measure number=\"{number}\">{before}{head}<harmony><root><root-step>C</root-step></root><kind>major</kind></harmony>\
             <note><pitch><step>E</step><octave>5</octave></pitch><duration>8</duration></note>{behind}</measure>"
        )
    });
    let measures: String = each.collect();
    format!(
        "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name>Tune</part-name></score-part></part-list><part id=\"P1\">{measures}</part></score-partwise>"
    )
}

fn read(text: &str) -> ReadTune {
    reader("musicxml")
        .unwrap()
        .tune(text.as_bytes(), None)
        .unwrap()
}

/// The measures in the order they are played, from 1.
fn played(chart: &Chart) -> Vec<usize> {
    let order = chart.play_order().unwrap();
    order.visits().iter().map(|visit| visit.bar + 1).collect()
}

/// A score by its signs: for each measure words such as `|:` `:|` `1` `segno` `D.C. al Fine`.
fn signed(measures: &[&str]) -> String {
    let direction = |kind: &str, sound: &str| {
        let sound = if sound.is_empty() {
            String::new()
        } else {
            format!("<sound {sound}/>")
        };
        format!("<direction><direction-type>{kind}</direction-type>{sound}</direction>")
    };
    let mut all = Vec::new();
    for signs in measures {
        let (mut before, mut behind, mut left, mut right) =
            (String::new(), String::new(), String::new(), String::new());
        for sign in signs
            .split(',')
            .map(str::trim)
            .filter(|sign| !sign.is_empty())
        {
            let words = |sound: &str| direction(&format!("<words>{sign}</words>"), sound);
            match sign {
                "|:" => left += "<repeat direction=\"forward\"/>",
                ":|" => right += "<repeat direction=\"backward\"/>",
                "segno" => before += &direction("<segno/>", "segno=\"a\""),
                "coda" => before += &direction("<coda/>", "coda=\"b\""),
                "To Coda" => behind += &words("tocoda=\"b\""),
                "Fine" => behind += &words("fine=\"yes\""),
                back if back.starts_with("D.C.") => behind += &words("dacapo=\"yes\""),
                back if back.starts_with("D.S.") => behind += &words("dalsegno=\"a\""),
                ending => {
                    let number = ending.trim_end_matches('.');
                    left.insert_str(0, &format!("<ending number=\"{number}\" type=\"start\"/>"));
                    right.insert_str(0, &format!("<ending number=\"{number}\" type=\"stop\"/>"));
                }
            }
        }
        let line = |inside: &str, location: &str| match inside {
            "" => String::new(),
            inside => format!("<barline location=\"{location}\">{inside}</barline>"),
        };
        all.push((
            line(&left, "left") + &before,
            behind + &line(&right, "right"),
        ));
    }
    score(&all)
}

/// Expanded by hand. Where no standard says more, as the program's own documentation of play orders has it.
#[test]
fn jumps_and_nested_repeats_are_played_as_written_out_by_hand() {
    let cases: &[(&[&str], &[usize])] = &[
        (&["", "", "D.C."], &[1, 2, 3, 1, 2, 3]),
        (&["", "Fine", "D.C. al Fine"], &[1, 2, 3, 1, 2]),
        (&["", "segno", "Fine", "D.S. al Fine"], &[1, 2, 3, 4, 2, 3]),
        (
            &["", "To Coda", "", "D.C. al Coda", "coda", ""],
            &[1, 2, 3, 4, 1, 2, 5, 6],
        ),
        (
            &["", "segno", "To Coda", "D.S. al Coda", "coda"],
            &[1, 2, 3, 4, 2, 3, 5],
        ),
        // The repeat was played: after the jump it is not taken again.
        (
            &["|:", ":|", "Fine", "D.C. al Fine"],
            &[1, 2, 1, 2, 3, 4, 1, 2, 3],
        ),
        (
            &["|:", "1, :|", "2", "Fine", "D.C. al Fine"],
            &[1, 2, 1, 3, 4, 5, 1, 3, 4],
        ),
        // The repeat in the coda was not.
        (
            &["", "To Coda", "D.C. al Coda", "coda, |:", ":|"],
            &[1, 2, 3, 1, 2, 4, 5, 4, 5],
        ),
        (
            &["|:", "|:", ":|", ":|"],
            &[1, 2, 3, 2, 3, 4, 1, 2, 3, 2, 3, 4],
        ),
        (
            &["|:", "|:", "1, :|", "2", ":|"],
            &[1, 2, 3, 2, 4, 5, 1, 2, 3, 2, 4, 5],
        ),
        (&["|:", "1, :|", "2, :|", "3"], &[1, 2, 1, 3, 1, 4]),
    ];
    for (signs, expected) in cases {
        let tune = read(&signed(signs));
        assert_eq!(played(&tune.chart), *expected, "{signs:?}\n{}", tune.text);
        let lost: Vec<String> = tune
            .report
            .items()
            .into_iter()
            .map(|item| item.text)
            .collect();
        assert_eq!(lost, [""; 0], "{signs:?}");
        // And out again.
        let arrangement = arrange(tune.chart, &Settings::default(), &mut Cache::default()).unwrap();
        let back = read(&musicxml(&Score::of(&arrangement)));
        assert_eq!(played(&back.chart), *expected, "{signs:?}\n{}", back.text);
    }
}

/// What a bar can be made of: its kind and degrees, its notes in eighths.
const KINDS: [(&str, &str); 8] = [
    ("major", ""),
    ("minor-seventh", ""),
    (
        "dominant",
        "<degree><degree-value>9</degree-value><degree-alter>-1</degree-alter><degree-type>add</degree-type></degree>",
    ),
    ("half-diminished", ""),
    ("major-seventh", ""),
    ("suspended-fourth", ""),
    ("diminished-seventh", ""),
    ("major-sixth", ""),
];
const NOTES: [&[(&str, u32)]; 4] = [
    &[("E", 8)],
    &[("G", 3), ("A", 1), ("", 4)],
    &[("", 2), ("F", 2), ("D", 4)],
    &[("C", 1), ("D", 1), ("E", 2), ("G", 4)],
];

fn bar() -> impl Strategy<Value = String> {
    let chords = prop::collection::vec((0..7usize, 0..KINDS.len(), -1..2i8), 1..3);
    (chords, 0..NOTES.len()).prop_map(|(chords, notes)| {
        let chord = |(letter, kind, alter): &(usize, usize, i8)| {
            let step = &"ABCDEFG"[*letter..=*letter];
            let (name, degrees) = KINDS[*kind];
            format!("<root><root-step>{step}</root-step><root-alter>{alter}</root-alter></root><kind>{name}</kind>{degrees}")
        };
        let mut text = String::new();
        for (at, one) in chords.iter().enumerate() {
            let offset = if at == 0 { "" } else { "<offset>4</offset>" };
            text += &format!("<harmony>{}{offset}</harmony>", chord(one));
        }
        for (step, duration) in NOTES[notes] {
            let what = match *step {
                "" => "<rest/>".to_owned(),
                step => format!("<pitch><step>{step}</step><octave>5</octave></pitch>"),
            };
            text += &format!("<note>{what}<duration>{duration}</duration></note>");
        }
        text
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// What of a score came into a chart goes out and comes back the same.
    #[test]
    fn scores_survive_a_chart(bars in prop::collection::vec((bar(), 0..4u8), 1..6)) {
        let measures = (1..).zip(&bars).map(|(number, (inside, sign)): (usize, _)| {
            let head = if number == 1 { "<attributes><divisions>2</divisions></attributes>" } else { "" };
            let end = if *sign == 0 { "<barline location=\"right\"><repeat direction=\"backward\"/></barline>" } else { "" };
            format!("<measure number=\"{number}\">{head}{inside}{end}</measure>")
        });
        let text = format!("<score-partwise><part id=\"P1\">{}</part></score-partwise>", measures.collect::<String>());
        let tune = read(&text);
        prop_assert!(tune.report.is_empty(), "{}", tune.report);
        let arrangement = arrange(tune.chart.clone(), &Settings::default(), &mut Cache::default());
        let Ok(arrangement) = arrangement else { return Ok(()) };
        let back = read(&musicxml(&Score::of(&arrangement)));
        prop_assert!(back.report.is_empty(), "{}", back.report);
        prop_assert_eq!(played(&back.chart), played(&tune.chart));
        let content = |chart: &Chart| -> Vec<_> {
            let slots = chart.slots().into_iter();
            slots.map(|slot| (slot.bar, slot.beat, slot.beats, slot.symbol.text().to_owned(), slot.melody)).collect()
        };
        prop_assert_eq!(content(&back.chart), content(&tune.chart));
    }
}

/// An invented tune, as a folk tune collection has it.
const FOLK: &str = "X:1\nT:The Rope Walk\nC:trad.\nM:4/4\nL:1/8\nQ:1/4=112\nK:F\n\
    |:\"F\"c2A2 F2A2|\"Bb\"d2B2 \"F\"c4|\"Gm\"B2G2 \"C7\"E2G2|1 \"F\"A2G2 F4:|2 \"F\"A2\"C7\"G2 \"F\"F4|]\n";

#[test]
fn a_folk_tune_is_reharmonised_voiced_and_handed_on() {
    let scratch = folder(&[("walk.abc", FOLK)]);
    let go = |arguments: &[&str]| {
        let ran = run(scratch.path(), arguments);
        assert!(ran.status == 0, "{arguments:?}: {}", ran.err);
        ran.out
    };
    go(&["convert", "walk.abc", "-o", "walk.chart"]);
    go(&["reharm", "walk.chart", "--changes", "2", "-o", "rich.chart"]);
    let rich = fs::read_to_string(scratch.path().join("rich.chart")).unwrap();
    assert!(rich.contains("was"), "{rich}");
    go(&["voice", "rich.chart", "-o", "voiced.chart"]);
    for (to, file) in [("musicxml", "walk.musicxml"), ("midi", "walk.mid")] {
        go(&["voice", "voiced.chart", "--to", to, "-o", file]);
    }
    // The score has what the voiced chart has, and is as sound.
    assert_eq!(
        go(&["check", "walk.musicxml"]),
        go(&["check", "voiced.chart"])
    );
    go(&["convert", "walk.musicxml", "-o", "back.chart"]);
    let order = |file: &str| go(&["form", file, "--to", "json"]);
    let bars = |text: String| text.split("\"bars\"").nth(1).map(str::to_owned);
    assert_eq!(bars(order("back.chart")), bars(order("walk.chart")));
    // And the sequencer's file is sound, held against the chart without its hand.
    assert_eq!(go(&["check", "rich.chart", "--played", "walk.mid"]), "");
    // Undone, the reharmonised page is the converted one.
    assert_eq!(
        go(&["reharm", "rich.chart", "--undo"]),
        go(&["tidy", "walk.chart"])
    );
}
