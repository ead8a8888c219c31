//! Cures held against exhaustive search, and mending held against its promises on random charts.

use std::collections::{BTreeMap, BTreeSet};

use compline::arrange::{Cache, options};
use compline::chart::{self, Chart, Wish};
use compline::check::{Allowance, Finding, Fix, Replan, Report, RuleSettings, check, mend};
use compline::optimise::step;
use compline::voicing::SurchargeWeights;
use proptest::prelude::*;
use proptest::test_runner::Config;

const CHORDS: [&str; 12] = [
    "Dm7", "G7", "Cmaj7", "Fm7", "Bb13", "Ebmaj7", "Bm7b5", "E7b9", "Am6", "C", "F#dim7", "Gsus4",
];
const NAMES: [&str; 12] = [
    "C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B",
];

/// A bar: its chord, and the keys of a hand nobody should play; without keys it is to be planned.
#[derive(Debug, Clone)]
struct Bar {
    chord: usize,
    keys: BTreeSet<u8>,
}

/// A chart of these bars, repeated or not, in a layout of its own or in the standard one.
fn source(bars: &[Bar], repeated: bool, tidy: bool) -> String {
    let chords: Vec<&str> = bars.iter().map(|bar| CHORDS[bar.chord]).collect();
    let hand: Vec<String> = bars.iter().map(hand).collect();
    let (open, close) = if repeated { ("|:", ":|") } else { ("|", "|") };
    let text = format!(
        "{open} {} {close}\nlh | {} |\n",
        chords.join(" | "),
        hand.join(" |  "),
    );
    if tidy {
        chart::read(&text).unwrap().tidy()
    } else {
        text
    }
}

/// A chart of these chords in which each has the voicing of this number among its legal ones.
fn sound(bars: &[(usize, usize)], repeated: bool, settings: &RuleSettings) -> String {
    let open: Vec<Bar> = bars
        .iter()
        .map(|(chord, _)| Bar {
            chord: *chord,
            keys: BTreeSet::new(),
        })
        .collect();
    let open = read(&source(&open, repeated, true));
    let picked: Vec<(usize, Wish)> = bars
        .iter()
        .enumerate()
        .map(|(slot, (_, number))| {
            let all = legal(&open, slot, settings);
            (slot, all[number % all.len()].clone())
        })
        .collect();
    with(&open, &picked).tidy()
}

fn hand(bar: &Bar) -> String {
    if bar.keys.is_empty() {
        return "?".to_owned();
    }
    let name = |key: &u8| format!("{}{}", NAMES[usize::from(key % 12)], key / 12 - 1);
    bar.keys.iter().map(name).collect::<Vec<_>>().join(".")
}

fn bar(unvoiced: bool) -> impl Strategy<Value = Bar> {
    let least = usize::from(!unvoiced);
    let keys = prop::collection::btree_set(38_u8..76, least..5);
    (0..CHORDS.len(), keys).prop_map(|(chord, keys)| Bar { chord, keys })
}

fn read(source: &str) -> Chart {
    chart::read(source).unwrap_or_else(|problems| panic!("{source}: {problems:?}"))
}

fn checked(source: &str, settings: &RuleSettings) -> Report {
    check(&read(source), source, None, settings, &mut Cache::default()).unwrap()
}

/// The motion of a chart in which every chord is given, by hand: from bar to bar as it is played.
fn motion(chart: &Chart) -> u64 {
    let slots = chart.slots();
    let rows: Vec<Vec<i16>> = slots.iter().map(|slot| keys(&slot.wish)).collect();
    let played = chart.performance(&slots, false).unwrap().visits().to_vec();
    let pairs = played.windows(2);
    pairs
        .map(|pair| u64::from(step(&rows[pair[0]], &rows[pair[1]]).motion))
        .sum()
}

fn keys(wish: &Wish) -> Vec<i16> {
    let Wish::Given(notes) = wish else {
        panic!("{wish:?} is not given")
    };
    let pitches = notes.iter().map(|note| note.pitch().unwrap());
    pitches.map(|pitch| i16::from(pitch.midi())).collect()
}

/// The chart with other entries in its `lh` row.
fn with(chart: &Chart, entries: &[(usize, Wish)]) -> Chart {
    let mut wishes: Vec<Wish> = chart.slots().into_iter().map(|slot| slot.wish).collect();
    for (slot, wish) in entries {
        wishes[*slot] = wish.clone();
    }
    chart.with_hands(wishes)
}

/// Every legal voicing of a slot, as an entry.
fn legal(chart: &Chart, slot: usize, settings: &RuleSettings) -> Vec<Wish> {
    let open = with(chart, &[(slot, Wish::PLAN)]);
    let options = options(open, &settings.arrange, &mut Cache::default()).unwrap();
    let voicings = options[slot].voicings.iter();
    voicings
        .map(|priced| {
            let notes = priced.voicing.notes.iter();
            Wish::Given(notes.map(|note| note.note).collect())
        })
        .collect()
}

/// By trying every choice: the fewest changes within `most`, and the least motion with so many.
fn fewest(chart: &Chart, most: u64, settings: &RuleSettings) -> (usize, u64) {
    let slots = chart.slots();
    let played = chart.performance(&slots, false).unwrap().visits().to_vec();
    let mut plans: Vec<(usize, Vec<Vec<i16>>)> = vec![(0, Vec::new())];
    for slot in &slots {
        let given = keys(&slot.wish);
        let legal = legal(chart, slot.index, settings);
        let rows = legal
            .iter()
            .map(keys)
            .filter(|row| *row != given)
            .map(|row| (1, row));
        let rows: Vec<(usize, Vec<i16>)> =
            std::iter::once((0, given.clone())).chain(rows).collect();
        plans = plans
            .iter()
            .flat_map(|(count, plan)| {
                rows.iter().map(move |(more, row)| {
                    let mut plan = plan.clone();
                    plan.push(row.clone());
                    (count + more, plan)
                })
            })
            .collect();
    }
    let moved = |plan: &[Vec<i16>]| -> u64 {
        let steps = played.windows(2);
        steps
            .map(|pair| u64::from(step(&plan[pair[0]], &plan[pair[1]]).motion))
            .sum()
    };
    let motions = plans.iter().map(|(count, plan)| (*count, moved(plan)));
    motions.filter(|(_, motion)| *motion <= most).min().unwrap()
}

fn replans(report: &Report) -> impl Iterator<Item = (&Finding, &Replan)> {
    report
        .findings
        .iter()
        .filter_map(|finding| match &finding.fix {
            Fix::Replan(replan) => Some((finding, replan)),
            _ => None,
        })
}

/// Without the rules that look at more than one voicing.
fn single_settings() -> RuleSettings {
    let mut settings = motion_settings();
    settings.set("restless-hand", None).unwrap();
    settings
}

/// Without surcharges: effort is the motion that the tests add up by hand.
fn motion_settings() -> RuleSettings {
    let mut settings = RuleSettings::default();
    settings.arrange.voicing.surcharges = SurchargeWeights::NONE;
    settings
}

proptest! {
    #![proptest_config(Config { cases: 48, ..Config::default() })]

    #[test]
    fn fixes_agree_and_each_says_what_it_costs(
        bars in prop::collection::vec(bar(false), 1..5),
        repeated: bool,
    ) {
        let settings = single_settings();
        let source = source(&bars, repeated, false);
        let (chart, report) = (read(&source), checked(&source, &settings));
        let now = motion(&chart);
        prop_assert_eq!(report.as_given.unwrap().cost.effort, now);
        let mut all: BTreeMap<usize, Wish> = BTreeMap::new();
        for (finding, replan) in replans(&report) {
            let slot = finding.place.slot.unwrap();
            prop_assert_eq!((replan.before, replan.changes.len()), (now, 1));
            prop_assert_eq!(replan.changes[0].slot, slot);
            let notes = replan.changes[0].voicing.notes.iter().map(|note| note.note);
            let wish = Wish::Given(notes.collect());
            prop_assert!(legal(&chart, slot, &settings).contains(&wish));
            prop_assert_eq!(motion(&with(&chart, &[(slot, wish.clone())])), replan.after);
            prop_assert_eq!(all.entry(slot).or_insert_with(|| wish.clone()), &wish);
        }
        // Done together they are what mending does.
        let all: Vec<(usize, Wish)> = all.into_iter().collect();
        let mended = mend(&chart, &source, &settings, &mut Cache::default()).unwrap();
        prop_assert_eq!(with(&chart, &all), with(&mended.chart, &[]));
    }

    #[test]
    fn no_other_voicings_mend_a_chart_with_less_motion(
        bars in prop::collection::vec(bar(false), 2..4),
        repeated: bool,
    ) {
        let settings = single_settings();
        let source = source(&bars, repeated, true);
        let chart = read(&source);
        let mended = mend(&chart, &source, &settings, &mut Cache::default()).unwrap();
        let mut charts = vec![chart.clone()];
        for slot in &mended.changed {
            let all = legal(&chart, *slot, &settings);
            charts = charts
                .iter()
                .flat_map(|chart| all.iter().map(|wish| with(chart, &[(*slot, wish.clone())])))
                .collect();
        }
        let least = charts.iter().map(motion).min().unwrap();
        prop_assert_eq!(motion(&mended.chart), least);
        prop_assert_eq!(mended.after.as_given.unwrap().cost.effort, least);
    }

    #[test]
    fn no_fewer_changes_calm_a_restless_hand(
        bars in prop::collection::vec((0..CHORDS.len(), 0_usize..64), 2..5),
        repeated: bool,
        semitones in 0_u32..24,
    ) {
        let mut settings = motion_settings();
        settings.restless = Allowance { numerator: 1, denominator: 1, semitones };
        settings.detour = u32::MAX;
        let source = sound(&bars, repeated, &settings);
        let (chart, report) = (read(&source), checked(&source, &settings));
        let restless = replans(&report).find(|(finding, _)| finding.rule.name == "restless-hand");
        let best = report.best.unwrap().cost.effort;
        let most = settings.restless.most(best);
        prop_assert_eq!(restless.is_some(), motion(&chart) > most);
        if let Some((_, replan)) = restless {
            let (count, least) = fewest(&chart, most, &settings);
            prop_assert!(replan.proved);
            prop_assert_eq!((replan.changes.len(), replan.after), (count, least));
        }
    }

    #[test]
    fn mending_keeps_its_promises(
        bars in prop::collection::vec(bar(true), 1..9),
        repeated: bool,
        tidy: bool,
        leap in prop::option::of(2_u8..9),
    ) {
        let mut settings = RuleSettings::default();
        settings.arrange.leap = leap;
        let source = source(&bars, repeated, tidy);
        let chart = read(&source);
        let mended = mend(&chart, &source, &settings, &mut Cache::default()).unwrap();
        // What is left that could be cured is what a cure has caused: it would touch other voicings.
        let curable: Vec<_> = mended.after.findings.iter().filter(|f| f.fix.is_done_by_mend()).collect();
        let faulty = faulty(&mended.before);
        for finding in &curable {
            let inside = touched(finding).all(|slot| faulty.contains(&slot));
            prop_assert!(!inside, "{}\n{}\n{:#?}", source, mended.text, mended.after);
        }
        if curable.is_empty() {
            let again = mend(&mended.chart, &mended.text, &settings, &mut Cache::default()).unwrap();
            prop_assert_eq!(&again.text, &mended.text);
        }
        prop_assert!(mended.changed.iter().all(|slot| faulty.contains(slot)));
        prop_assert_eq!(&read(&mended.text), &mended.chart);
        prop_assert_eq!(mended.text == mended.chart.tidy(), tidy || source == chart.tidy());
        let changed: Vec<(usize, Wish)> = mended.chart.slots().into_iter()
            .filter(|slot| mended.changed.contains(&slot.index))
            .map(|slot| (slot.index, slot.wish))
            .collect();
        prop_assert_eq!(with(&chart, &changed), with(&mended.chart, &[]));
    }
}

/// The slots whose voicings the fix of a finding replaces.
fn touched(finding: &Finding) -> impl Iterator<Item = usize> {
    let changes = match &finding.fix {
        Fix::Replan(replan) => replan.changes.as_slice(),
        _ => &[],
    };
    changes.iter().map(|change| change.slot)
}

/// The slots that the findings of a report are about: all, where one is about the whole hand.
fn faulty(report: &Report) -> BTreeSet<usize> {
    let whole = |f: &Finding| f.rule.name == "restless-hand" && f.place.slot.is_none();
    if report.findings.iter().any(whole) {
        return (0..report.slots).collect();
    }
    let all = report.findings.iter();
    all.flat_map(|finding| touched(finding).chain(finding.place.slot))
        .collect()
}

#[test]
fn only_the_faulty_entries_are_touched_and_the_programs_remarks_left_out() {
    let source = "key: C ; by hand\r\n|  Dm7 | G7 C |  Am7|\r\nlh | F3.A3.C4.E4 | F3.A3.B3.E4   F2.G3 | G3.B3.C4.E4 |\r\n\
                  ;:deg | b3.5.b7.9 | b7.9.3.13   so | b7.9.b3.5 |\r\n; plan: ask Jo\r\n;:plan motion 1\r\n";
    let chart = read(source);
    let mended = mend(&chart, source, &single_settings(), &mut Cache::default()).unwrap();
    assert_eq!(mended.changed, [2]);
    let expected = source
        .replace("F2.G3", "E3.G3.A3.D4")
        .replace(";:deg | b3.5.b7.9 | b7.9.3.13   so | b7.9.b3.5 |\r\n", "")
        .replace(";:plan motion 1\r\n", "");
    assert_eq!(mended.text, expected);
}

#[test]
fn what_no_voicing_cures_is_left_and_said() {
    let source = "| Dm7 | G7 |\nmel | D3:4 | B4:4 |\nlh | F3.A3 | F3.B3.E4 |\n";
    let mended = mend(
        &read(source),
        source,
        &single_settings(),
        &mut Cache::default(),
    )
    .unwrap();
    assert_eq!(mended.text, source);
    let names: BTreeSet<&str> = mended.after.findings.iter().map(|f| f.rule.name).collect();
    assert!(names.contains("over-the-melody"), "{names:?}");
    let hopeless = |finding: &&Finding| finding.rule.name == "over-the-melody";
    let over = mended.after.findings.iter().find(hopeless).unwrap();
    assert!(!over.fix.is_done_by_mend(), "{:?}", over.fix);
}

#[test]
fn findings_below_the_severity_asked_for_and_waived_ones_are_left() {
    let source = "     | Em7      | Em7      |\nlh   | D3.E3.G3 | E3.B3.D4 |\n";
    let mut settings = single_settings();
    settings.mend_from = Some(compline::check::Severity::Error);
    let mended = mend(&read(source), source, &settings, &mut Cache::default()).unwrap();
    assert_eq!(mended.changed, [1]);
    settings.mend_from = None;
    let waived = format!("; waive muddy in bar 1: on purpose\n{source}");
    let mended = mend(&read(&waived), &waived, &settings, &mut Cache::default()).unwrap();
    assert_eq!(mended.changed, [1]);
    assert_eq!(mended.after.suppressed.len(), 1);
}

#[test]
fn a_hand_is_not_calmed_at_the_cost_of_what_is_meant() {
    let waiver = "; waive muddy in bar 1: the bass rests\n";
    let source = "     | Em7      | Am7         | Em7   | Am7         |\n\
                  lh   | D3.E3.G3 | A3.C4.E4.G4 | D3.G3 | A3.C4.E4.G4 |\n";
    for (source, slots) in [
        (source.to_owned(), true),
        (format!("{waiver}{source}"), false),
    ] {
        // A low note that is meant is no reason to move: only motion counts here.
        let settings = motion_settings();
        let names = |report: &Report| -> Vec<&str> {
            report
                .findings
                .iter()
                .map(|finding| finding.rule.name)
                .collect()
        };
        let mended = mend(&read(&source), &source, &settings, &mut Cache::default()).unwrap();
        assert!(names(&mended.before).contains(&"restless-hand"), "{source}");
        // What is left is what a mend has caused elsewhere.
        let found: Vec<_> = mended.before.findings.iter().map(|f| &f.place).collect();
        let mut left = mended.after.findings.iter();
        assert!(left.all(|f| !found.contains(&&f.place)), "{source}");
        assert_eq!(mended.changed.contains(&0), slots, "{}", mended.text);
    }
}
