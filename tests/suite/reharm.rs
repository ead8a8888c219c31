//! Other chords under the same tune: the command as it is typed, and the tune over what comes of it.

use std::path::Path;

use compline::arrange::{Cache, Listed, Settings, Ways, changes, reharm, replaced};
use compline::chart::{self, Chart, Replacement};
use compline::harmony::techniques::TECHNIQUES;

use crate::folk;
use crate::program::run_with;

const TUNE: &str = "key: C\n| Dm7 | G7 | Cmaj7 | % |\nmel | D5:4 | B4:2 F4:2 | E4:4 | r:4 |\n";

fn run(arguments: &[&str], input: &str) -> (i32, String, String) {
    let ran = run_with(Path::new("."), arguments, input);
    (ran.status, ran.out, ran.err)
}

fn demo_charts() -> Vec<(String, Chart)> {
    let mut paths: Vec<_> = std::fs::read_dir("charts")
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    let read = |path: &std::path::PathBuf| {
        let text = std::fs::read_to_string(path).unwrap();
        (path.display().to_string(), chart::read(&text).unwrap())
    };
    paths.iter().map(read).collect()
}

/// Every note of the tune, held against the chord that sounds under it on the new page by the table
/// of what a chord takes, written down here once more: semitones above the root.
fn carries(symbol: &str, above: i32) -> bool {
    let chord = compline::chord::Chord::read(symbol).unwrap();
    let tones = || {
        chord
            .tones()
            .iter()
            .map(|tone| i32::from(tone.degree.class()))
    };
    let has = |class: i32| tones().any(|tone| tone == class);
    let bass = chord
        .bass()
        .map(|bass| chord.root().class().up_to(bass.class()).0);
    if has(above) || bass == Some(above) {
        return true;
    }
    // A foreign sound under a tune: the natural 4 or 7 of a dominant, the half steps of the others.
    let refused: &[i32] = match (has(3) && !has(4), has(4), has(10)) {
        (true, _, true) if has(6) => &[1, 4, 7, 9, 11],
        (true, _, false) if has(6) => &[1, 4, 7, 10],
        (_, true, true) => &[5, 11],
        (true, _, true) => &[1, 4, 6, 11],
        (true, _, false) => &[1, 4, 6, 8],
        (_, true, false) => &[1, 3, 8, 10],
        _ => &[],
    };
    let suspended = has(5) && !has(3) && !has(4) && !refused.contains(&above);
    suspended || !refused.contains(&above)
}

/// The notes of a new page that its new chords can't carry, passing ones left out.
fn refused(listed: &Listed) -> Vec<String> {
    let under = |bar: usize, beat| {
        let chords = listed.proposal.chords.iter();
        chords
            .rev()
            .find(move |new| new.bar == bar && new.beat <= beat)
    };
    let half = "1/2".parse().unwrap();
    let sung = listed
        .proposal
        .sung
        .iter()
        .filter(|sung| sung.note.beats > half);
    sung.filter_map(|sung| {
        let new = under(sung.bar, sung.note.beat)?;
        let above = new
            .chord
            .root()
            .class()
            .up_to(sung.note.note.name().class())
            .0;
        let symbol = new.chord.symbol();
        (!carries(symbol, above)).then(|| format!("{} over {symbol}", sung.note.note))
    })
    .collect()
}

fn chords(chart: &Chart) -> Vec<(usize, String, String)> {
    let slots = chart.slots().into_iter();
    slots
        .map(|slot| {
            (
                slot.bar,
                slot.beat.to_string(),
                slot.symbol.text().to_owned(),
            )
        })
        .collect()
}

fn hold(name: &str, chart: &Chart) -> usize {
    let listed = reharm(chart, &Settings::default(), &Ways::default()).unwrap();
    for one in &listed {
        let why = &one.proposal.why;
        assert!(
            one.proposal.sung.iter().all(|sung| !sung.is_refused()),
            "{name}: {why}"
        );
        assert_eq!(refused(one), [""; 0], "{name}: {why}");
        let page = chart.replaced(&[one.replacement()]).unwrap();
        let again = chart::read(&page.tidy()).unwrap();
        assert_eq!(again, page, "{name}: {why}");
        // A `%` after a bar that changed is written out, so the chords are compared, not the text.
        assert_eq!(
            chords(&again.before()),
            chords(&chart.before()),
            "{name}: {why}"
        );
    }
    listed.len()
}

#[test]
fn the_tune_sits_on_every_proposal_for_the_demo_charts() {
    for (name, chart) in demo_charts() {
        assert!(hold(&name, &chart) > 10, "{name}");
    }
}

#[test]
fn the_tune_sits_on_every_proposal_for_folk_tunes() {
    let Some(data) = std::env::var_os("COMPLINE_DATA") else {
        eprintln!("COMPLINE_DATA is not set: no folk tunes are reharmonised");
        return;
    };
    let charts = folk::charts(&Path::new(&data).join("abc-nottingham"));
    let found: usize = charts
        .iter()
        .step_by(6)
        .map(|text| hold(text, &chart::read(text).unwrap()))
        .sum();
    assert!(found > 1000, "{found}");
}

#[test]
fn every_change_is_proved_and_never_moves_more() {
    for (name, chart) in demo_charts() {
        proved_and_never_more(&name, &chart, false);
        proved_and_never_more(&name, &chart, true);
    }
}

fn proved_and_never_more(name: &str, chart: &Chart, looped: bool) {
    let settings = Settings {
        looped,
        ..Settings::default()
    };
    let listed = reharm(chart, &settings, &Ways::default()).unwrap();
    let all: Vec<Replacement> = listed.iter().map(Listed::replacement).collect();
    let rungs = changes(chart, &all, &settings, 3, &mut Cache::default()).unwrap();
    let mut least = u64::MAX;
    for rung in rungs.iter().flatten() {
        assert!(rung.optimal, "{name}: {:?}", rung.replacements);
        let page = replaced(chart, &all, &rung.replacements).unwrap();
        assert_eq!(page, rung.chart, "{name}");
        least = least.min(rung.cost.motion);
    }
    let none = rungs.first().and_then(Option::as_ref).unwrap();
    assert!(least <= none.cost.motion, "{name}");
}

#[test]
fn proposals_are_listed_with_their_reasons() {
    let (code, out, _) = run(&["reharm", "-", "--ways", "tritone"], TUNE);
    assert_eq!(code, 0);
    assert_eq!(
        out,
        "  1  bar 2: tritone\n     \
         Db7 for G7: its 3 and 7 are the 7 and 3 of G7, and its root falls a half step into Cmaj7\n     \
         tune: B4 3 -> b7, F4 b7 -> 3\n"
    );
    let (_, json, _) = run(&["reharm", "-", "--ways", "tritone", "--to", "json"], TUNE);
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(
        (&json["technique"], &json["first_bar"]),
        (&"tritone".into(), &2.into())
    );
    assert_eq!(json["tune"][0]["after"], "b7");
}

#[test]
fn a_chosen_proposal_is_put_in_and_taken_out_again() {
    let (code, out, _) = run(&["reharm", "-", "--ways", "tritone", "--apply", "1"], TUNE);
    assert_eq!(code, 0);
    assert!(
        out.contains("| Dm7  | Db7") && out.contains("was  | -    | G7"),
        "{out}"
    );
    let (_, back, _) = run(&["reharm", "-", "--undo"], &out);
    let (_, tidy, _) = run(&["tidy", "-"], TUNE);
    assert_eq!(back, tidy);
    let (code, voiced, _) = run(&["voice", "-"], &out);
    assert_eq!(code, 0);
    assert!(
        voiced.contains("was  |") && voiced.contains("; plan:"),
        "{voiced}"
    );
    // What was remarked about the plan for other chords goes with them.
    let (_, back, _) = run(&["reharm", "-", "--undo"], &voiced);
    assert!(!back.contains("deg ") && !back.contains("plan:"), "{back}");
}

#[test]
fn changes_come_with_a_table_and_exactly_means_exactly() {
    let (code, out, table) = run(&["reharm", "-", "--changes", "exactly", "2"], TUNE);
    assert_eq!(code, 0);
    assert!(
        table.contains("changes  motion  which\n      0 "),
        "{table}"
    );
    let page = chart::read(&out).unwrap();
    assert_ne!(page.before(), page);
    let (_, voiced, _) = run(&["voice", "--to", "json", "-"], &out);
    let json: serde_json::Value = serde_json::from_str(&voiced).unwrap();
    let motion = format!(
        "      2  {:>6}  ",
        json["totals"]["motion"].as_u64().unwrap()
    );
    assert!(table.contains(&motion), "{motion:?}\n{table}");
    let (code, none, table) = run(&["reharm", "-", "--changes", "0"], TUNE);
    assert_eq!((code, table.lines().count()), (0, 2));
    assert!(!none.contains("was"), "{none}");
}

#[test]
fn what_is_asked_wrongly_is_said() {
    let wrong = |arguments: &[&str], input: &str, message: &str| {
        let (code, out, err) = run(arguments, input);
        assert_eq!((code, out.as_str()), (2, ""), "{err}");
        assert!(err.contains(message), "{err}");
    };
    wrong(
        &["reharm", "-", "--apply", "900"],
        TUNE,
        "there are proposals 1 to",
    );
    wrong(
        &["reharm", "-", "--apply", "0"],
        TUNE,
        "there are proposals 1 to",
    );
    wrong(
        &["reharm", "-", "--ways", "tritones"],
        TUNE,
        "`tritones` is not a technique",
    );
    wrong(
        &["reharm", "-", "--changes", "exactly"],
        TUNE,
        "a number was expected",
    );
    wrong(&["reharm", "-"], "| C |\nmel | C5:3 |\n", "beats");
    let (_, list, _) = run(&["reharm", "-", "--to", "json"], TUNE);
    let same_bar: Vec<String> = list
        .lines()
        .map(|line| serde_json::from_str::<serde_json::Value>(line).unwrap())
        .filter(|json| json["first_bar"] == 2 && json["last_bar"] == 2)
        .map(|json| json["number"].to_string())
        .collect();
    let both = same_bar[..2].join(",");
    wrong(
        &["reharm", "-", "--apply", &both],
        TUNE,
        "want the same chord",
    );
}

#[test]
fn every_technique_can_be_asked_for_and_left_out() {
    for technique in TECHNIQUES {
        let (code, _, err) = run(&["reharm", "-", "--ways", technique.name], TUNE);
        assert_eq!(code, 0, "{err}");
        let without = format!("-{}", technique.name);
        let (_, list, _) = run(&["reharm", "-", "--ways", &without, "--to", "json"], TUNE);
        let named = format!("\"technique\":\"{}\"", technique.name);
        assert!(!list.contains(&named), "{list}");
    }
}

#[test]
fn repeats_are_kept_and_chords_replaced_once_on_the_page() {
    let text = "key: C\n|: Dm7 G7 | Cmaj7 :| F6 | % |\n";
    let (_, out, _) = run(&["reharm", "-", "--ways", "tritone", "--apply", "1"], text);
    assert!(out.contains("|: Dm7 Db7 | Cmaj7 :|"), "{out}");
}
