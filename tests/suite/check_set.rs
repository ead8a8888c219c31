//! What a user sets for `check`, and what a chart says of itself, is what holds: severities, leaps, the top
//! line, cautions, suppressions of one chord, and long charts.

use std::path::Path;

use compline::arrange::{Cache, arrange};
use compline::chart;
use compline::check::{Allowance, Finding, Fix, RuleSettings, Severity, check};
use compline::hand::key;
use serde_json::Value;

use crate::program::run_with;

/// The findings of a chart, and what is told of the whole on standard error.
fn findings(chart: &str, options: &[&str]) -> Vec<Value> {
    let all = [&["check", "-", "--to", "json"], options].concat();
    let ran = run_with(Path::new("."), &all, chart);
    assert!(ran.status < 2, "{}", ran.err);
    ran.out
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect()
}

fn of_rule(chart: &str, rule: &str, options: &[&str]) -> Vec<Value> {
    let all = findings(chart, options).into_iter();
    all.filter(|finding| finding["rule"] == rule).collect()
}

fn severities(findings: &[Value]) -> Vec<&str> {
    findings
        .iter()
        .map(|finding| finding["severity"].as_str().unwrap())
        .collect()
}

/// Charts with a finding that has a severity of its own, which the rule doesn't have.
const OF_ITS_OWN: [(&str, &str, &str); 4] = [
    ("foreign-note", "note", "| C6 |\nlh | E3.G3.A3.B3 |"),
    ("missing-tone", "note", "| Cmaj7 |\nlh | E3.G3.A3.D4 |"),
    (
        "melody-at-odds",
        "warning",
        "key: C\n| Cmaj7 |\nmel | F4:2 D4:2 |",
    ),
    (
        "restless-hand",
        "note",
        "| Fm7 | Bb7 | Fm7 |\nlh | Ab3.C4.Eb4.G4 | Ab3.C4.D4.F4 | Ab3.C4.Eb4.G4 |",
    ),
];

#[test]
fn a_severity_that_is_set_holds_for_every_finding_of_its_rule() {
    for (rule, own, chart) in OF_ITS_OWN {
        let usual = of_rule(chart, rule, &["--detour", "1"]);
        assert!(severities(&usual).contains(&own), "{rule}: {usual:?}");
        for set in ["note", "warning", "error"] {
            let found = of_rule(
                chart,
                rule,
                &["--detour", "1", "--rule", &format!("{rule}={set}")],
            );
            assert_eq!(severities(&found), vec![set; usual.len()], "{rule}={set}");
        }
        assert_eq!(
            of_rule(
                chart,
                rule,
                &["--detour", "1", "--rule", &format!("{rule}=off")]
            ),
            [Value::Null; 0]
        );
    }
}

#[test]
fn leaps_and_the_top_line_are_asked_about_where_they_are_set_and_only_there() {
    // Notes leap by eleven semitones at most, the top note moves by eight.
    let leap = "| Fm7 | Bb7 |\nlh | Eb3.G3.Ab3.C4 | D4.F4.Ab4 |";
    for (rule, options, broken) in [
        ("wide-leap", &[][..], false),
        ("wide-leap", &["--leap", "7"], true),
        ("wide-leap", &["--leap", "12"], false),
        ("top-line", &[], false),
        ("top-line", &["--top", "step"], true),
        ("top-line", &["--top", "held"], true),
        ("top-line", &["--top", "free"], false),
    ] {
        let found = of_rule(leap, rule, options);
        assert_eq!(!found.is_empty(), broken, "{rule} {options:?}");
    }
    for (option, most, rule) in [("--leap", "7", "wide-leap"), ("--top", "step", "top-line")] {
        let found = of_rule(leap, rule, &[option, most]);
        let message = found[0]["message"].as_str().unwrap();
        let wished = if option == "--leap" { "7" } else { "2" };
        assert!(
            message.ends_with(&format!("not more than {wished} are wished")),
            "{message}"
        );
    }
    let step = "| Fm7 | Bb7 |\nlh | Eb3.G3.Ab3.C4 | D3.F3.Ab3.Bb3 |";
    assert!(of_rule(step, "top-line", &["--top", "step"]).is_empty());
    assert!(!of_rule(step, "top-line", &["--top", "held"]).is_empty());
}

/// A fix of one voicing says that none is better where all others were tried.
#[test]
fn a_fix_of_one_voicing_is_proved() {
    let page = chart::read("| Fm7 | Bb7 |\nlh | Ab2.C3.Eb3.G3 | Ab3.C4.D4.G4 |").unwrap();
    let text = page.tidy();
    let report = check(
        &page,
        &text,
        None,
        &RuleSettings::default(),
        &mut Cache::default(),
    )
    .unwrap();
    let fixes = report
        .findings
        .iter()
        .filter_map(|finding| match &finding.fix {
            Fix::Replan(replan) => Some((finding.rule.name, replan.changes.len(), replan.proved)),
            _ => None,
        });
    assert!(fixes.clone().any(|(rule, ..)| rule == "muddy"));
    assert!(
        fixes
            .clone()
            .all(|(_, changes, proved)| changes == 1 && proved),
        "{:?}",
        fixes.collect::<Vec<_>>()
    );
}

/// Where the whole hand is restless every voicing may change, the first one too.
#[test]
fn a_restless_hand_is_calmed_from_its_first_voicing_on() {
    let restless = "     | Bb7          | Fm7           | Bb7          | Fm7           |\n\
                    lh   | D3.G3.Ab3.C4 | Ab3.C4.Eb4.G4 | D3.G3.Ab3.C4 | Ab3.C4.Eb4.G4 |\n";
    let options = [
        "check",
        "-",
        "--mend",
        "--detour",
        "999",
        "--restless",
        "1/1+1",
    ];
    let ran = run_with(Path::new("."), &options, restless);
    assert_eq!(
        (ran.status, ran.out),
        (0, restless.replace("D3.G3.Ab3.C4", "Ab3.C4.D4.G4")),
        "{}",
        ran.err
    );
}

/// A waiver may name the bars up to the last, and none beyond it.
#[test]
fn a_waiver_reaches_to_the_last_bar() {
    let chart = |bars: &str| {
        format!(
            "| Fm7 | Bb7 | Ebmaj7 |\nlh | ? | ? | Eb2.G2.Bb2.D3 |\n; waive muddy in bars {bars}: so\n"
        )
    };
    let muddy = |bars: &str| {
        let found = of_rule(&chart(bars), "muddy", &[]).into_iter();
        found.filter(|finding| finding["waived"].is_null()).count()
    };
    let mistakes = |bars: &str| of_rule(&chart(bars), "waiver", &[]).len();
    assert_eq!((muddy("1-2"), mistakes("1-2")), (1, 1));
    assert_eq!((muddy("2-3"), mistakes("2-3")), (0, 0));
    assert_eq!((muddy("3-3"), mistakes("3-3")), (0, 0));
    assert_eq!((muddy("3-4"), mistakes("3-4")), (1, 1));
}

/// A leap between two given voicings that is left as it is keeps no other fault from being mended.
#[test]
fn what_leaps_by_intent_leaves_the_rest_to_be_mended() {
    let chart = "| Fm7 | Bb7 | Ebmaj7 |\nlh | Eb3.G3.Ab3.C4 | D4.F4.Ab4 | Eb2.G2.Bb2.D3 |";
    for wished in [&["--leap", "7"][..], &["--top", "step"]] {
        let options = [
            wished,
            &["--rule", "wide-leap=off", "--rule", "top-line=off"],
        ]
        .concat();
        let found = of_rule(chart, "muddy", &options);
        let changes = found[0]["mend"]["changes"].as_array();
        let mended = changes.map(|changes| {
            changes
                .iter()
                .map(|one| one["bar"].as_u64())
                .collect::<Vec<_>>()
        });
        assert_eq!(mended, Some(vec![Some(3)]), "{options:?}: {found:?}");
    }
}

/// A stretch is a fault that says so, or a fix wider than a ninth.
#[test]
fn what_asks_for_a_stretch_comes_with_the_caution_and_nothing_else_does() {
    let (mut with, mut without) = (0, 0);
    for (chart, options) in [
        ("| Fmaj7 |\nlh | A3.E5 |", &[][..]),
        ("| Fmaj7 |\nlh | A3.E5 |", &["--hand", "170mm"]),
        ("| Em7 |\nlh | D3.E3.G3 |", &[]),
        (
            "| Dm7 |\nlh | D3.E3.F3 |",
            &["--palette", "shell", "--reach", "17", "--low", "C3"],
        ),
        (
            "| F7 |\nlh | F3.Gb3.G3 |",
            &[
                "--palette",
                "shell",
                "--reach",
                "16",
                "--rule",
                "missing-tone=off",
            ],
        ),
        ("| G7 |\nlh | F3.Ab3.A3.B3 |", &[]),
    ] {
        for finding in findings(chart, options) {
            let fault = finding["rule"] == "beyond-reach";
            let changes = finding["mend"]["changes"].as_array().into_iter().flatten();
            let wide = changes.into_iter().any(|change| {
                let notes = change["notes"].as_array().unwrap();
                let midi = |note: &Value| key(note.as_str().unwrap()).unwrap().midi();
                midi(&notes[notes.len() - 1]) - midi(&notes[0]) > 14
            });
            let caution = finding["caution"].is_string();
            assert_eq!(caution, fault || wide, "{chart} {options:?}: {finding}");
            (with, without) = (with + usize::from(caution), without + usize::from(!caution));
        }
    }
    assert!(with > 1 && without > 1, "{with} {without}");
}

#[test]
fn a_suppression_of_one_chord_holds_for_that_chord_alone() {
    let rows = "| Em7 Em7 | Em7 Em7 |\nlh | D3.E3.G3 D3.E3.G3 | D3.E3.G3 D3.E3.G3 |";
    let places = |chart: &str| -> Vec<(i64, String)> {
        let found = of_rule(chart, "muddy", &[]);
        let place = |finding: &Value| {
            let beat = &finding["beat"];
            let beat = beat
                .as_str()
                .map_or_else(|| beat.to_string(), str::to_owned);
            (finding["bar"].as_i64().unwrap(), beat)
        };
        let open = found.iter().filter(|finding| finding["waived"].is_null());
        open.map(place).collect()
    };
    let all = places(rows);
    assert_eq!(all.len(), 4);
    for (at, scope) in ["1.1", "1.2", "2.1", "2.2"].into_iter().enumerate() {
        let left = places(&format!("; waive muddy in bar {scope}: a bell\n{rows}"));
        let mut expected = all.clone();
        expected.remove(at);
        assert_eq!(left, expected, "{scope}");
    }
    let bar = places(&format!("; waive muddy in bar 2: a bell\n{rows}"));
    assert_eq!(bar, all[..2]);
}

/// So many bars of guide tones, F and C against F and B. In the middle the hand goes elsewhere for some bars.
fn long(bars: usize, away: std::ops::Range<usize>) -> String {
    let lines = (0..bars).map(|at| {
        let chord = ["Dm7", "G7"][at % 2];
        let hand = match away.contains(&at) {
            true => ["C4.F4", "B3.F4"][at % 2],
            false => ["F3.C4", "F3.B3"][at % 2],
        };
        (chord, hand)
    });
    let lines: Vec<(&str, &str)> = lines.collect();
    let systems = lines.chunks(8).map(|bars| {
        let row = |cells: Vec<&str>| format!("| {} |", cells.join(" | "));
        let (chords, hands) = bars.iter().copied().unzip();
        format!("{}\nlh {}\n\n", row(chords), row(hands))
    });
    systems.collect()
}

fn checked(chart: &str, settings: &RuleSettings) -> Vec<Finding> {
    let read = chart::read(chart).unwrap();
    let findings = check(&read, chart, None, settings, &mut Cache::default())
        .unwrap()
        .findings;
    findings
        .into_iter()
        .filter(|finding| finding.rule.name == "restless-hand")
        .collect()
}

fn of_guide_tones() -> RuleSettings {
    let mut settings = RuleSettings::default();
    settings.arrange.voicing.palette = "guide-tones".parse().unwrap();
    settings.detour = 3;
    settings
}

/// What leaves and comes back together is found up to 512 voicings; a single voicing in any chart.
#[test]
fn detours_of_one_voicing_are_found_in_every_chart_and_longer_ones_up_to_512() {
    let settings = of_guide_tones();
    for (bars, together) in [(16, 1), (512, 1), (513, 0)] {
        let found = |away: usize| checked(&long(bars, 6..6 + away), &settings).len();
        assert_eq!(
            (found(0), found(1), found(2)),
            (0, 1, together),
            "{bars} bars"
        );
    }
}

/// What a hand that is all given costs is known, and findings are counted from a severity on.
#[test]
fn a_report_sums_up_what_is_given_and_what_is_found() {
    let source = "| C6 | Fm7 | Em7 |\nlh | E3.G3.A3.B3 | F3.C4.Eb4 | D3.E3.G3 |";
    let chart = chart::read(source).unwrap();
    let mut settings = RuleSettings::default();
    settings.set("restless-hand", None).unwrap();
    let report = check(&chart, source, None, &settings, &mut Cache::default()).unwrap();
    let given = report.as_given.unwrap();
    assert!(given.optimal);
    assert_eq!((given.width, given.lower_bound), (1, given.cost));
    // What the given voicings are charged is what a plan that holds them all is charged.
    let planned = arrange(chart.clone(), &settings.arrange, &mut Cache::default()).unwrap();
    assert_eq!(given.surcharges, planned.totals.surcharges);
    assert!(given.surcharges.sum() > 0);
    let severities: Vec<Severity> = report.findings.iter().map(|found| found.severity).collect();
    assert_eq!(
        severities,
        [Severity::Note, Severity::Error, Severity::Warning]
    );
    let counts =
        [Severity::Note, Severity::Warning, Severity::Error].map(|least| report.count_from(least));
    assert_eq!((counts, report.worst()), ([3, 2, 1], Some(Severity::Error)));
}

/// Up to 512 voicings the fewest that have to change are proved to be the fewest.
#[test]
fn the_fewest_changes_are_proved_up_to_512_voicings() {
    let mut settings = of_guide_tones();
    settings.detour = u32::MAX;
    settings.restless = Allowance {
        numerator: 1,
        denominator: 1,
        semitones: 0,
    };
    for (bars, away, proved) in [(512, 4, true), (513, 4, false), (513, 1, true)] {
        let found = checked(&long(bars, 6..6 + away), &settings);
        let [
            Finding {
                fix: Fix::Replan(replan),
                ..
            },
        ] = &found[..]
        else {
            panic!("{bars} bars: {found:?}");
        };
        assert_eq!(
            (replan.changes.len(), replan.proved),
            (away, proved),
            "{bars} bars"
        );
    }
}

#[test]
fn what_is_planned_and_what_is_given_stand_in_one_bar() {
    let given = |hands: &str| -> Vec<bool> {
        let chart = format!("key: Eb\n| Fm7 Bb7 | Ebmaj7 |\nlh | {hands} | ? |");
        let json = run_with(Path::new("."), &["voice", "-", "--to", "json"], &chart);
        let voiced: Value = serde_json::from_str(&json.out).unwrap();
        let slots = voiced["slots"].as_array().unwrap().iter();
        slots
            .map(|slot| slot["voicing"]["given"].as_bool().unwrap())
            .collect()
    };
    assert_eq!(given("Eb3.G3.Ab3.C4 ?"), [true, false, false]);
    assert_eq!(given("? D3.G3.Ab3.C4"), [false, true, false]);
    // The page says both in their order.
    let chart = "key: Eb\n| Fm7 Bb7 | Ebmaj7 |\nlh | ? D3.G3.Ab3.C4 | ? |";
    let text = run_with(Path::new("."), &["voice", "-"], chart).out;
    let hands: Vec<&str> = text.lines().filter(|line| line.starts_with("lh")).collect();
    let cells: Vec<&str> = hands[0].split('|').map(str::trim).collect();
    let bar: Vec<&str> = cells[1].split_whitespace().collect();
    assert_eq!((bar.len(), bar[1]), (2, "D3.G3.Ab3.C4"), "{text}");
    // What is open in a bar beside what is given is told of.
    let half = of_rule(chart, "half-voiced", &[]);
    assert_eq!(half.len(), 1, "{half:?}");
}

/// A straight tune has the width 1, and where the page is played twice with other neighbours it is more.
#[test]
fn the_width_of_a_tune_is_told() {
    let width = |chart: &str| {
        let json = run_with(Path::new("."), &["voice", "-", "--to", "json"], chart);
        let voiced: Value = serde_json::from_str(&json.out).unwrap();
        voiced["totals"]["width"].as_u64().unwrap()
    };
    assert_eq!(width("| Dm7 | G7 | Cmaj7 | A7 |"), 1);
    assert_eq!(width("|: Dm7 | G7 | Cmaj7 | A7 :|"), 2);
}

/// What the rules say of every note that is put to third and seventh, over the chord and over a foreign bass.
#[test]
fn every_note_beside_a_frame_is_judged_as_the_table_says() {
    const SYMBOLS: [(&str, &str); 24] = [
        ("Cmaj7", "E3.B3"),
        ("C7", "E3.Bb3"),
        ("Cm7", "Eb3.Bb3"),
        ("C6", "E3.A3"),
        ("Cm6", "Eb3.A3"),
        ("Cm7b5", "Eb3.Bb3"),
        ("Cdim7", "Eb3.A3"),
        ("Cdim7", "Eb3.Ab3"),
        ("Cdim7", "Gb3.Ab3"),
        ("C7sus", "F3.Bb3"),
        ("C7alt", "E3.Bb3"),
        ("C7b9", "E3.Bb3"),
        ("C13", "E3.Bb3"),
        ("C+", "E3.G#3"),
        ("C", "E3.G3"),
        ("C5", "C3.G3"),
        ("C/E", "E3.G3"),
        ("Cmaj7/E", "E3.B3"),
        ("C7/Bb", "E3.Bb3"),
        ("C7alt/E", "E3.Bb3"),
        ("C7sus/F", "F3.Bb3"),
        ("Cm7/F", "Eb3.Bb3"),
        ("Cmaj7/D", "E3.B3"),
        ("C7/Ab", "E3.Bb3"),
    ];
    let notes = [
        "C4", "Db4", "D4", "Eb4", "E4", "F4", "F#4", "G4", "Ab4", "A4", "Bb4", "B4",
    ];
    let mut settings = RuleSettings::default();
    settings.set("restless-hand", None).unwrap();
    let mut table = String::new();
    for (symbol, frame) in SYMBOLS {
        for note in notes {
            let source = format!("| {symbol} |\nlh | {frame}.{note} |");
            let read = chart::read(&source).unwrap();
            let findings = check(&read, &source, None, &settings, &mut Cache::default())
                .unwrap()
                .findings;
            let told = findings
                .iter()
                .map(|found| format!("{} {}: {}", found.severity, found.rule.name, found.message));
            let told: Vec<String> = told.collect();
            table += &format!("{symbol} {frame}.{note} | {}\n", told.join("; "));
        }
    }
    insta::assert_snapshot!("judged", table);
}
