//! The rules of `check` over a songbook of deliberately bad charts, and over everything the program
//! itself voices.
//!
//! Each chart of `faulty` says in its header which rules it `breaks`, and under what it is held.

use std::collections::BTreeSet;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

use compline::arrange::{Cache, arrange};
use compline::chart::{self, Chart, Field};
use compline::check::{Finding, Fix, RULES, Report, RuleSettings, check, mend};
use compline::formats::{Style, text};

use crate::data::{data, every};

/// A chart of the songbook with its settings.
struct Faulty {
    name: String,
    source: String,
    chart: Chart,
    settings: RuleSettings,
    breaks: BTreeSet<String>,
}

fn charts_in(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap();
    let paths = entries.map(|entry| entry.unwrap().path());
    let mut charts: Vec<PathBuf> = paths
        .filter(|path| path.extension().is_some_and(|ending| ending == "chart"))
        .collect();
    charts.sort();
    charts
}

fn own(folder: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)
}

fn songbook() -> Vec<Faulty> {
    let charts = charts_in(&own("tests/suite/faulty"));
    charts.iter().map(|path| faulty(path)).collect()
}

fn faulty(path: &Path) -> Faulty {
    let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
    let source = fs::read_to_string(path).unwrap();
    let chart = chart::read(&source).unwrap_or_else(|problems| panic!("{name}: {problems:#?}"));
    let header = |wanted: &str| {
        let mut entries = chart.header.entries.iter();
        entries.find_map(|entry| match &entry.field {
            Field::Other { name, value } if name == wanted => Some(value.clone()),
            _ => None,
        })
    };
    let breaks = header("breaks").expect("what it breaks");
    let breaks = breaks.split(',').map(|rule| rule.trim().to_owned());
    let breaks = breaks.collect();
    let mut settings = RuleSettings::default();
    for setting in header("under").unwrap_or_default().split_whitespace() {
        match setting.split_once('=').expect("NAME=VALUE") {
            ("leap", semitones) => settings.arrange.leap = Some(semitones.parse().unwrap()),
            ("top", "step") => settings.arrange.top = Some(chart::TopWish::Step),
            (rule, severity) => settings.set(rule, Some(severity.parse().unwrap())).unwrap(),
        }
    }
    Faulty {
        name,
        source,
        chart,
        settings,
        breaks,
    }
}

impl Faulty {
    fn report(&self) -> Report {
        checked(
            &self.chart,
            &self.source,
            &self.settings,
            &mut Cache::default(),
        )
    }
}

fn checked(chart: &Chart, source: &str, settings: &RuleSettings, cache: &mut Cache) -> Report {
    check(chart, source, None, settings, cache).unwrap()
}

fn names(findings: &[Finding]) -> BTreeSet<String> {
    let names = findings.iter().map(|finding| finding.rule.name.to_owned());
    names.collect()
}

/// A finding in one line, with the text it points at.
fn line(finding: &Finding, source: &str) -> String {
    let place = &finding.place;
    let mut line = format!("{} {}", finding.severity, finding.rule.name);
    if let (Some(bar), Some(beat)) = (place.bar, place.beat) {
        write!(line, ", bar {bar}, beat {beat}").unwrap();
    }
    if let Some(span) = place.span {
        write!(line, " `{}`", &source[span.range()]).unwrap();
    }
    write!(line, ": {}", finding.message).unwrap();
    match &finding.fix {
        Fix::Replan(replan) => {
            write!(line, "\n    replan {:+}:", replan.extra()).unwrap();
            for change in &replan.changes {
                write!(line, " bar {} {}", change.bar, change.voicing).unwrap();
            }
        }
        Fix::Rewrite(_) => line.push_str("\n    rewrite"),
        Fix::Advice(text) => write!(line, "\n    advice: {text}").unwrap(),
        Fix::Loosen(loosening) => write!(line, "\n    loosen: {loosening}").unwrap(),
        Fix::Nothing(why) => write!(line, "\n    nothing: {why}").unwrap(),
    }
    if let Some(opinion) = &finding.opinion {
        let (now, spacing) = (opinion.roughness, opinion.spacing);
        write!(line, "\n    roughness {now}, pair {spacing} apart").unwrap();
        if let Some(mended) = opinion.mended {
            write!(line, ", mended {mended}").unwrap();
        }
    }
    if let Some(reason) = &finding.suppressed {
        write!(line, "\n    waived: {reason}").unwrap();
    }
    line + "\n"
}

#[test]
fn the_songbook_gives_the_findings_on_record() {
    let mut shown = String::new();
    for faulty in songbook() {
        let report = faulty.report();
        let motion = |totals: Option<compline::arrange::Totals>| totals.map(|t| t.cost.effort);
        let (given, best) = (motion(report.as_given), motion(report.best));
        writeln!(shown, "== {}: moves {given:?}, best {best:?}", faulty.name).unwrap();
        for finding in report.findings.iter().chain(&report.suppressed) {
            shown += &line(finding, &faulty.source);
        }
    }
    insta::assert_snapshot!(shown);
}

#[test]
fn every_rule_has_a_case_and_every_case_a_rule() {
    let known: BTreeSet<String> = RULES.iter().map(|rule| rule.name.to_owned()).collect();
    let mut claimed = BTreeSet::new();
    for faulty in songbook() {
        let found = names(&faulty.report().findings);
        let unmet: Vec<&String> = faulty.breaks.difference(&found).collect();
        assert!(unmet.is_empty(), "{}: {unmet:?} not found", faulty.name);
        claimed.extend(faulty.breaks);
    }
    assert_eq!(claimed, known);
}

#[test]
fn the_songbook_is_mended_as_far_as_it_says() {
    for faulty in songbook() {
        let name = &faulty.name;
        let mut cache = Cache::default();
        let mended = mend(&faulty.chart, &faulty.source, &faulty.settings, &mut cache).unwrap();
        let curable = |finding: &&Finding| finding.fix.is_done_by_mend();
        let left: Vec<&Finding> = mended.after.findings.iter().filter(curable).collect();
        assert!(left.is_empty(), "{name}: {left:#?}");
        assert!(mended.after.findings.len() <= mended.before.findings.len());
        let again = mend(&mended.chart, &mended.text, &faulty.settings, &mut cache).unwrap();
        assert_eq!(again.text, mended.text, "{name}");
        assert_eq!(again.changed, [0; 0], "{name}");
        assert_eq!(chart::read(&mended.text).unwrap(), mended.chart, "{name}");
    }
}

/// The findings in what the program voices, other than those about symbols as they are written and
/// about voicings that the chart gives itself, with what the whole hand moves for their sake.
fn found_in_voiced(
    source: &str,
    settings: &RuleSettings,
    cache: &mut Cache,
) -> Option<Vec<String>> {
    let chart = chart::read(source).ok()?;
    let given = chart.slots().into_iter();
    let given = given.filter(|slot| matches!(slot.wish, chart::Wish::Given(_)));
    let given: BTreeSet<usize> = given.map(|slot| slot.index).collect();
    let arrangement = arrange(chart, &settings.arrange, cache).ok()?;
    let voiced = text(&arrangement, &Style::default());
    let chart = chart::read(&voiced).unwrap();
    let report = checked(&chart, &voiced, settings, cache);
    let findings = report.findings.iter();
    let own = |finding: &&Finding| match finding.place.slot {
        Some(slot) => !given.contains(&slot) && finding.rule.name != "two-readings",
        None => given.is_empty(),
    };
    let findings = findings.filter(own);
    let lines: Vec<String> = findings.map(|finding| line(finding, &voiced)).collect();
    assert_eq!(report.given > 0, report.as_given.is_some());
    Some(lines)
}

#[test]
fn what_the_program_voices_breaks_no_rule() {
    let mut cache = Cache::default();
    let strict = {
        let mut settings = RuleSettings::default();
        settings
            .set("untidy", Some(compline::check::Severity::Note))
            .unwrap();
        settings
    };
    let mut low = strict.clone();
    low.arrange.voicing.hand.range = "G2-E4".parse().unwrap();
    low.arrange.voicing.hand.bass = Some(2);
    let mut altered = strict.clone();
    altered.arrange.voicing.colour = "altered".parse().unwrap();
    altered.arrange.leap = Some(9);
    for path in charts_in(&own("charts")) {
        let source = fs::read_to_string(&path).unwrap();
        for settings in [&strict, &low, &altered] {
            let found = found_in_voiced(&source, settings, &mut cache);
            let must = std::ptr::eq(settings, &strict);
            assert!(found.is_some() || !must, "{}: not voiced", path.display());
            assert_eq!(found.unwrap_or_default(), [""; 0], "{}", path.display());
        }
    }
}

/// Every chart, in a sample every tenth.
#[test]
fn what_the_program_voices_of_a_real_songbook_breaks_no_rule() {
    let Some(data) = data("charts-billboard") else {
        return;
    };
    let (mut cache, settings, mut voiced) = (Cache::default(), RuleSettings::default(), 0);
    for path in every(10, charts_in(&data)) {
        let source = fs::read_to_string(&path).unwrap();
        if let Some(found) = found_in_voiced(&source, &settings, &mut cache) {
            assert_eq!(found, [""; 0], "{}", path.display());
            voiced += 1;
        }
    }
    println!("{voiced} charts voiced and checked");
    assert!(voiced > 0);
}

#[test]
fn a_chart_without_a_left_hand_is_only_asked_about_its_symbols() {
    for path in charts_in(&own("charts")) {
        let source = fs::read_to_string(&path).unwrap();
        let chart = chart::read(&source).unwrap();
        let report = checked(
            &chart,
            &source,
            &RuleSettings::default(),
            &mut Cache::default(),
        );
        let allowed = ["two-readings", "no-voicing", "half-voiced"];
        let mut found = names(&report.findings).into_iter();
        assert!(found.all(|name| allowed.contains(&name.as_str())));
        assert_eq!(report.given > 0, report.as_given.is_some());
    }
}

#[test]
fn a_chart_of_no_text_has_findings_without_spans_in_its_own_order() {
    let source = "| Em7 | Am7 |\nlh | D3.E3.G3 | G3.B3.C4.E4 |\n; waive muddy: so\n";
    let chart = chart::read(source).unwrap();
    let (settings, cache) = (&mut RuleSettings::default(), &mut Cache::default());
    settings.set("restless-hand", None).unwrap();
    let report = check(&chart, "", Some(&[0, 1, 0]), settings, cache).unwrap();
    let places: Vec<_> = report
        .findings
        .iter()
        .map(|f| (f.rule.name, f.place.span))
        .collect();
    assert_eq!(places, [("muddy", None)]);
    let twice = report.as_given.unwrap().cost.effort;
    let report = check(&chart, "", Some(&[0, 1]), settings, cache).unwrap();
    assert_eq!(twice, 2 * report.as_given.unwrap().cost.effort);
}
