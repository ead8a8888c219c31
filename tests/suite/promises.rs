//! What is promised of ranges that widen, of charts that are changed while they are read, of names that
//! are no text, and of pages that are put back.

use std::collections::BTreeSet;
use std::fs;

use compline::arrange::{Arranged, Arrangement, Cache, Settings, Trouble, arrange};
use compline::chart;
use compline::formats::{Style, text};
use compline::hand::Range;
use compline::pitch::Pitch;
use compline::voicing::{Palette, SHAPES};
use proptest::prelude::*;

use crate::program::{compline, folder, project, run, run_with};

const QUALITIES: &[&str] = &[
    "", "m", "7", "maj7", "m7", "m7b5", "dim7", "6", "m6", "9", "13", "7b9", "7alt", "7#11",
    "9sus", "maj9", "m11", "7#5", "m(maj7)", "69",
];
const ROOTS: &[&str] = &[
    "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
];

fn page() -> impl Strategy<Value = String> {
    let chord = (prop::sample::select(ROOTS), prop::sample::select(QUALITIES));
    prop::collection::vec(chord, 1..7).prop_map(|chords| {
        let bars = chords
            .iter()
            .map(|(root, quality)| format!(" {root}{quality} |"));
        format!("key: C\n|{}\n", bars.collect::<String>())
    })
}

fn planned(page: &str, palette: &Palette, low: u8, high: u8) -> Result<Arrangement, Trouble> {
    let mut settings = Settings::default();
    let pitch = |midi| Pitch::try_from(i32::from(midi)).unwrap();
    settings.voicing.hand.range = Range::new(pitch(low), pitch(high)).unwrap();
    settings.voicing.palette = palette.clone();
    arrange(chart::read(page).unwrap(), &settings, &mut Cache::default())
}

/// A root, what stands behind it, and the notes above.
type TuneBar = (&'static str, &'static str, Vec<(&'static str, u8)>);

/// A page whose melody brings tones that its chords don't have, in a key that spells them in the everyday way.
fn tuneful() -> impl Strategy<Value = String> {
    let keys = prop::sample::select(vec!["C", "F", "Eb", "B", "F#", "Dm", "G#m"]);
    let roots = prop::sample::select(vec!["C", "E#", "B#", "D#", "Fb", "Ab", "F#", "G", "Bb"]);
    let qualities = ["", "m", "7no5", "5", "2", "aug"].iter().chain(QUALITIES);
    let qualities = prop::sample::select(qualities.copied().collect::<Vec<_>>());
    let note = (
        prop::sample::select(vec!["C", "D", "Eb", "E", "F", "F#", "G#", "A", "B"]),
        4u8..6,
    );
    let notes = prop::collection::vec(note, 2);
    (keys, prop::collection::vec((roots, qualities, notes), 1..4)).prop_map(|(key, bars)| {
        let row = |cell: &dyn Fn(&TuneBar) -> String| {
            bars.iter()
                .map(|bar| format!(" {} |", cell(bar)))
                .collect::<String>()
        };
        let chords = row(&|(root, quality, _)| format!("{root}{quality}"));
        let melody = row(&|(_, _, notes)| {
            let notes = notes
                .iter()
                .map(|(name, octave)| format!("{name}{octave}:2"));
            notes.collect::<Vec<_>>().join(" ")
        });
        format!("key: {key}\n|{chords}\nmel |{melody}\n")
    })
}

/// The degrees of every slot.
fn degrees(arrangement: &Arrangement) -> Vec<Vec<String>> {
    let of = |slot: &Arranged| {
        let notes = slot.voicing.iter().flat_map(|voicing| voicing.notes.iter());
        notes.map(|note| note.degree.to_string()).collect()
    };
    arrangement.slots.iter().map(of).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// What is written is read again, down to the names of its degrees.
    #[test]
    fn a_voiced_page_keeps_the_degrees_of_its_notes(page in tuneful()) {
        let again = |page: &str| planned(page, &Palette::default(), 48, 69);
        let Ok(first) = again(&page) else { return Ok(()) };
        let text = text(&first, &Style::default());
        let second = again(&text).map_err(|why| TestCaseError::fail(format!("{why:?}\n{text}")))?;
        prop_assert_eq!(degrees(&first), degrees(&second), "{}", text);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// A wider range has every voicing of the narrower one, charged the same. So the effort never grows, with
    /// one shape and with several, unless the wider range has room for what is wanted more: a shape that stands
    /// earlier in the palette, or more of the chord's tones where there was no room for third and seventh. Then
    /// that takes the place of the rest, as the palette says, whatever it costs.
    #[test]
    fn a_wider_range_never_raises_the_effort(
        page in page(),
        shape in prop::sample::select(SHAPES.to_vec()),
        low in 36u8..55, span in 14u8..26, below in 0u8..36, above in 0u8..40,
    ) {
        let high = low + span;
        let (lower, higher) = (low.saturating_sub(below), (high + above).min(108));
        for palette in [Palette::of(vec![shape]).unwrap(), Palette::default()] {
            let Ok(narrow) = planned(&page, &palette, low, high) else {
                continue;
            };
            let wide = planned(&page, &palette, lower, higher);
            let wide = wide.map_err(|why| TestCaseError::fail(format!("{why:?}")))?;
            let slots = narrow.slots.iter().zip(&wide.slots);
            let lost = slots.filter(|(narrow, wide)| {
                let has = |voicing| wide.candidates.contains(voicing);
                !narrow.candidates.iter().all(has)
            });
            let mut any = false;
            for (narrow, wide) in lost {
                any = true;
                prop_assert!(
                    wanted(wide, &palette) < wanted(narrow, &palette) || said(wide) > said(narrow),
                    "{} gives {:?} for {:?}", narrow.slot.symbol.text(), narrow.candidates, wide.candidates
                );
            }
            prop_assert!(any || wide.totals.cost.effort <= narrow.totals.cost.effort);
        }
    }
}

/// How far down the palette a slot's shape stands. A plainer filling of the first shape may be called by another
/// shape's name.
fn wanted(slot: &Arranged, palette: &Palette) -> usize {
    let first = slot.candidates.first();
    let thinned = first.filter(|voicing| voicing.thinned);
    thinned.map_or(0, |voicing| {
        let mut names = palette.names();
        let place = names.position(|name| name == voicing.shape_name());
        place.unwrap_or(usize::MAX)
    })
}

/// How many of the chord's tones each voicing of a slot has, the fewest.
fn said(slot: &Arranged) -> usize {
    let chord = slot.slot.symbol.chord().unwrap();
    let tones: BTreeSet<u8> = chord.classes().map(|class| class.number()).collect();
    let said = slot.candidates.iter().map(|voicing| {
        let keys: BTreeSet<u8> = voicing.pitches().map(|key| key.class().number()).collect();
        keys.intersection(&tones).count()
    });
    said.min().unwrap_or(0)
}

#[test]
fn no_chart_is_refused_for_a_wide_range() {
    for range in [&["--low", "2"][..], &["--low", "0", "--high", "C8"]] {
        let page = "key: Eb\n| Fm7 | Bb7b9 | Ebmaj7 |\n";
        let usual = run_with(project(), &["voice", "-"], page);
        let wide = run_with(project(), &[&["voice", "-"], range].concat(), page);
        let hand = |text: &str| {
            text.lines()
                .find(|line| line.starts_with("lh"))
                .map(str::to_owned)
        };
        assert_eq!(wide.status, 0);
        assert_eq!(hand(&wide.out), hand(&usual.out), "{range:?}");
        let all = run(
            project(),
            &[&["voice", "charts", "--to", "json"], range].concat(),
        );
        assert_eq!((all.status, all.out.lines().count()), (0, 10), "{range:?}");
    }
}

#[test]
#[cfg(target_os = "linux")]
fn names_that_are_no_text_are_names_apart() {
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt;
    let scratch = folder(&[]);
    let name =
        |last: u8| OsStr::from_bytes(&[b'a', last, b'.', b'c', b'h', b'a', b'r', b't']).to_owned();
    let (one, other) = (name(0xff), name(0xfe));
    let at = |name: &OsStr| scratch.path().join("in").join(name);
    fs::create_dir(scratch.path().join("in")).unwrap();
    fs::write(at(&one), "title:  One\n| C |\n").unwrap();
    fs::write(at(&other), "title:  Other\n| F |\n").unwrap();
    let voiced = run(scratch.path(), &["voice", "in", "--to", "json"]);
    assert!(voiced.out.contains("\"One\"") && voiced.out.contains("\"Other\""));
    assert_eq!(run(scratch.path(), &["voice", "in", "-o", "out"]).status, 0);
    for name in [&one, &other] {
        assert!(scratch.path().join("out").join(name).exists(), "{name:?}");
    }
    assert_eq!(run(scratch.path(), &["tidy", "--in-place", "in"]).status, 0);
    assert!(
        fs::read_to_string(at(&one))
            .unwrap()
            .starts_with("title: One\n")
    );
    assert!(
        fs::read_to_string(at(&other))
            .unwrap()
            .starts_with("title: Other\n")
    );
}

/// The second chart is read while the first is waited for. Whenever that is, what its owner writes
/// into it meanwhile is not lost.
#[test]
#[cfg(unix)]
fn what_is_written_into_a_chart_while_it_is_mended_is_not_lost() {
    use std::process::{Command, Stdio};
    const MUDDY: &str = "title: Bilge\nkey: Bb\n   | Cm7           | F7            |\n\
                         lh | Eb2.G2.Bb2.D3 | Eb3.G3.A3.D4  |\n";
    let edited = MUDDY.replace("Bilge", "Bilge, second take");
    let mut refused = 0;
    for wait in [0, 20, 400] {
        let scratch = folder(&[("b.chart", MUDDY)]);
        let pipe = scratch.path().join("a.chart");
        crate::program::named_pipe(&pipe);
        let mut child = Command::new(env!("CARGO_BIN_EXE_compline"))
            .args(["check", "--mend", "a.chart", "b.chart"])
            .current_dir(scratch.path())
            .env("RAYON_NUM_THREADS", "2")
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        std::thread::sleep(std::time::Duration::from_millis(wait));
        fs::write(scratch.path().join("b.chart"), &edited).unwrap();
        fs::write(&pipe, "| C |\n").unwrap();
        let status = child.wait().unwrap().code();
        let now = fs::read_to_string(scratch.path().join("b.chart")).unwrap();
        assert!(
            now.contains("second take"),
            "after {wait} ms: {status:?}\n{now}"
        );
        if status == Some(2) {
            refused += 1;
            assert_eq!(now, edited);
        }
    }
    println!("{refused} of 3 were read before the change");
}

#[test]
#[cfg(unix)]
fn two_that_write_at_once_leave_one_whole_file() {
    let scratch = folder(&[
        ("a.chart", "| Dm7 | G7 | Cmaj7 |\n"),
        ("b.chart", "| Fm7 | Bb7 |\n"),
    ]);
    let whole: Vec<String> = ["a.chart", "b.chart"]
        .map(|chart| run(scratch.path(), &["voice", chart]).out)
        .to_vec();
    for _ in 0..10 {
        let started = ["a.chart", "b.chart"].map(|chart| {
            let path = scratch.path().to_owned();
            std::thread::spawn(move || {
                let mut command = compline(&path);
                command
                    .args(["voice", chart, "-o", "out.chart"])
                    .output()
                    .unwrap()
                    .status
                    .success()
            })
        });
        assert!(started.into_iter().all(|one| one.join().unwrap()));
        let now = fs::read_to_string(scratch.path().join("out.chart")).unwrap();
        assert!(whole.contains(&now), "{now}");
    }
    assert_eq!(fs::read_dir(scratch.path()).unwrap().count(), 3);
}

#[test]
fn changes_taken_back_give_the_standard_layout_to_the_byte_with_the_users_own_comments() {
    let untidy = "title:   Fog Bank\nkey:C\n; plan: motion 6 semitones 0\n|Dm7|G7 ; plan: mine\n\n\n\
                  |   Cmaj7   | A7 |\n";
    let scratch = folder(&[("x.chart", untidy)]);
    let tidy = run(scratch.path(), &["tidy", "x.chart"]).out;
    assert!(tidy.contains("; plan: motion 6 semitones 0\n") && tidy.contains("; plan: mine\n"));
    let listed = run(scratch.path(), &["reharm", "x.chart", "--to", "json"]).out;
    let listed: serde_json::Value = serde_json::from_str(&listed).unwrap();
    let names = listed["proposals"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["name"].as_str().unwrap());
    let names: Vec<&str> = names.collect();
    assert!(names.len() > 3);
    for name in names {
        let changed = run(scratch.path(), &["reharm", "x.chart", "--apply", name]);
        assert_eq!(changed.status, 0);
        assert_ne!(changed.out, tidy, "{name}");
        let undone = run_with(scratch.path(), &["reharm", "-", "--undo"], &changed.out);
        assert_eq!(undone.out, tidy, "{name}");
        let voiced = run_with(scratch.path(), &["voice", "-"], &changed.out);
        let undone = run_with(scratch.path(), &["reharm", "-", "--undo"], &voiced.out);
        assert!(
            undone.out.contains("; plan: motion 6 semitones 0\n"),
            "{name}"
        );
        assert!(undone.out.contains("; plan: mine\n"), "{name}");
    }
}
