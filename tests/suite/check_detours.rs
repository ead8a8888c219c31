//! Detours planted into planned left hands: each is found, priced, and mended where it was planted.

use compline::arrange::{Cache, arrange, options};
use compline::chart::{self, Chart, Wish};
use compline::check::{Report, RuleSettings, Severity, check, mend};
use compline::optimise::step;

/// A chart with every chord planned, and in which order its slots are played.
struct Planned {
    chart: Chart,
    visits: Vec<usize>,
}

fn planned(source: &str, settings: &RuleSettings) -> Planned {
    let open = chart::read(source).unwrap();
    let arrangement = arrange(open.clone(), &settings.arrange, &mut Cache::default()).unwrap();
    let hands = arrangement.slots.iter().map(|slot| match &slot.voicing {
        Some(voicing) => Wish::Given(voicing.notes.iter().map(|note| note.note).collect()),
        None => Wish::Silent,
    });
    let chart = open.with_hands(hands);
    let slots = chart.slots();
    let visits = chart.performance(&slots, false).unwrap().visits().to_vec();
    Planned { chart, visits }
}

fn keys(wish: &Wish) -> Option<Vec<i16>> {
    match wish {
        Wish::Given(notes) => notes
            .iter()
            .map(|note| note.pitch().map(|pitch| i16::from(pitch.midi())))
            .collect(),
        _ => None,
    }
}

impl Planned {
    fn wishes(&self) -> Vec<Wish> {
        self.chart
            .slots()
            .into_iter()
            .map(|slot| slot.wish)
            .collect()
    }

    /// How far a hand with these entries moves from chord to chord, by hand.
    fn motion(&self, wishes: &[Wish]) -> u64 {
        let rows = self.visits.iter().filter_map(|slot| keys(&wishes[*slot]));
        let rows: Vec<Vec<i16>> = rows.collect();
        let steps = rows.windows(2);
        steps
            .map(|pair| u64::from(step(&pair[0], &pair[1]).motion))
            .sum()
    }

    fn with(&self, wishes: Vec<Wish>) -> (Chart, String) {
        let text = self.chart.with_hands(wishes).tidy();
        (chart::read(&text).unwrap(), text)
    }
}

fn checked(chart: &Chart, text: &str, settings: &RuleSettings) -> Report {
    check(chart, text, None, settings, &mut Cache::default()).unwrap()
}

const SETS: [&str; 3] = [
    "key: C\n| Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | Cmaj7 | Cmaj7 |\n",
    "key: F\n| Gm7 C7 | Fmaj7 Dm7 | Gm7 C7 | F6 | Bbmaj7 | Eb7 | Am7 D7 | Gm7 C7 |\n",
    "key: Eb\n| Ebmaj7 | Cm7 | Fm7 | Bb7 | Gm7 | C7 | Fm7 Bb7 | Ebmaj7 |\n",
];

/// Another register, or another inversion: every legal voicing of a slot that makes the hand go 6 to 44
/// semitones further.
#[test]
fn every_planted_detour_is_found_and_mended_where_it_is() {
    let mut settings = RuleSettings::default();
    // Two octaves, so that there is room to go out of the way.
    settings.arrange.voicing.hand.range = "C3-C5".parse().unwrap();
    settings.arrange.voicing.surcharges = compline::voicing::SurchargeWeights::NONE;
    let (mut planted, mut widest) = (0, 0);
    for source in SETS {
        let planned = planned(source, &settings);
        let own = planned.wishes();
        let least = planned.motion(&own);
        let priced = options(
            chart::read(source).unwrap(),
            &settings.arrange,
            &mut Cache::default(),
        );
        for (slot, options) in priced.unwrap().iter().enumerate() {
            for other in &options.voicings {
                let mut wishes = own.clone();
                let notes = other.voicing.notes.iter().map(|note| note.note);
                wishes[slot] = Wish::Given(notes.collect());
                let detour = planned.motion(&wishes) - least;
                if !(6..=44).contains(&detour) {
                    continue;
                }
                (planted, widest) = (planted + 1, widest.max(detour));
                let (chart, text) = planned.with(wishes);
                let report = checked(&chart, &text, &settings);
                let found: Vec<_> = report
                    .findings
                    .iter()
                    .map(|f| (f.rule.name, f.place.slot))
                    .collect();
                assert_eq!(found, [("restless-hand", Some(slot))], "{detour}\n{text}");
                let severity = if detour > 12 {
                    Severity::Warning
                } else {
                    Severity::Note
                };
                assert_eq!(report.findings[0].severity, severity, "{text}");
                let said = format!("the hand goes {detour} semitones out of its way");
                assert_eq!(report.findings[0].message, said);
                let mended = mend(&chart, &text, &settings, &mut Cache::default()).unwrap();
                assert_eq!(mended.changed, [slot], "{text}");
                assert_eq!(mended.after.as_given.unwrap().cost.effort, least);
            }
        }
    }
    println!("{planted} detours planted, the widest of {widest} semitones, all found");
    assert!(planted > 90 && widest > 40, "{planted} {widest}");
}

#[test]
fn what_is_left_and_come_back_to_in_a_few_bars_is_found_together() {
    let settings = RuleSettings::default();
    let text = "     | Fm7         | Bb7         | Fm7         | Bb7         | Fm7         |\n\
                lh   | Eb3.G3.Ab3.C4 | D3.G3.Ab3.C4 | Eb4.Ab4 | D4.Ab4 | Eb3.G3.Ab3.C4 |\n";
    let chart = chart::read(text).unwrap();
    let report = checked(&chart, text, &settings);
    let found: Vec<_> = report
        .findings
        .iter()
        .map(|f| (f.rule.name, f.place.bar))
        .collect();
    assert_eq!(found, [("restless-hand", Some(3))]);
    let message = &report.findings[0].message;
    assert!(
        message.starts_with("from here to Bb7 in bar 4 the hand goes "),
        "{message}"
    );
    let mended = mend(&chart, text, &settings, &mut Cache::default()).unwrap();
    assert_eq!(mended.changed, [2, 3]);
}

#[test]
fn the_allowance_is_a_setting_and_a_suppression_holds_its_voicing() {
    let text = "     | Fm7         | Bb7         | Fm7         |\n\
                lh   | Eb3.G3.Ab3.C4 | D4.Ab4 | Eb3.G3.Ab3.C4 |\n";
    let chart = chart::read(text).unwrap();
    let mut settings = RuleSettings::default();
    let names = |report: &Report| {
        report
            .findings
            .iter()
            .map(|f| f.rule.name)
            .collect::<Vec<_>>()
    };
    assert_eq!(names(&checked(&chart, text, &settings)), ["restless-hand"]);
    let waived = format!("; waive restless-hand in bar 2: the joke\n{text}");
    let meant = chart::read(&waived).unwrap();
    let report = checked(&meant, &waived, &settings);
    assert_eq!((names(&report), report.suppressed.len()), (vec![], 1));
    settings.detour = 100;
    settings.restless = "9/1+100".parse().unwrap();
    assert_eq!(names(&checked(&chart, text, &settings)), [""; 0]);
}

#[test]
fn a_suppressed_low_voicing_is_clean_and_its_neighbours_are_not_blamed() {
    let text = "     | Fm7           | Bb7         | Fm7           | ; waive muddy, out-of-range in bar 2: the bass rests\n\
                lh   | Eb3.G3.Ab3.C4 | Ab2.C3.D3   | Eb3.G3.Ab3.C4 |\n";
    let chart = chart::read(text).unwrap();
    let report = checked(&chart, text, &RuleSettings::default());
    assert_eq!(report.findings, []);
    assert_eq!(report.suppressed.len(), 2);
}
