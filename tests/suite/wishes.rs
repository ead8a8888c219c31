//! An arranger's wishes, in the chart and on the command line.
//!
//! The program's plan is held against an exhaustive search over the candidates that it lists itself
//! when nothing is wished: what a wish means, how far a hand moves and what a plan costs are written
//! here once more.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::program::{Ran, folder, project, run, run_with};

/// Played A B C A B D, so that the voicings of A and B serve two passes.
const FORM: &str = "key: C\n|: Dm7 | G7 |1 Cmaj7 :|2 Am7 ||\n";
const LINE: &str = "key: C\n| Dm7 | G7 | Cmaj7 | A7 |\n";

/// A voicing as MIDI numbers.
type Keys = Vec<i64>;
/// Effort, largest steps, off centre: what plans are compared by.
type Cost = (i64, i64, i64);

/// What is typed, and what it means.
type Case<'a> = (&'a [&'a str], &'a [(usize, Meant)]);

/// The slots of a chart and the order they are played in.
struct Tune {
    candidates: Vec<Vec<Keys>>,
    /// What each of them is charged, in semitones.
    charges: Vec<BTreeMap<Keys, i64>>,
    roots: Vec<i64>,
    played: Vec<usize>,
}

/// A wish for one written bar, as the test understands it.
#[derive(Clone, Copy)]
enum Meant {
    /// The lowest note is the third (A) or the seventh (B).
    Form(char),
    With(i64),
    Without(i64),
    Not(&'static [i64]),
    Top(i64),
    Leap(i64),
}

fn json(chart: &str, options: &[&str]) -> (Ran, Value) {
    let mut arguments = vec!["voice", "-", "--to", "json", "--candidates"];
    arguments.extend(options);
    let ran = run_with(&std::env::temp_dir(), &arguments, chart);
    let value = serde_json::from_str(&ran.out).unwrap_or(Value::Null);
    (ran, value)
}

fn numbers(value: &Value) -> Vec<i64> {
    let entries = value.as_array().unwrap().iter();
    entries.map(|entry| entry.as_i64().unwrap()).collect()
}

impl Tune {
    fn of(chart: &str) -> Self {
        let (_, value) = json(chart, &[]);
        let slots = value["slots"].as_array().unwrap();
        let candidates = slots.iter().map(|slot| {
            let candidates = slot["candidates"].as_array().unwrap().iter();
            candidates.map(|one| numbers(&one["notes"])).collect()
        });
        let charges = slots.iter().map(|slot| {
            let candidates = slot["candidates"].as_array().unwrap().iter();
            let charge = |one: &Value| (numbers(&one["notes"]), one["surcharge"].as_i64().unwrap());
            candidates.map(charge).collect()
        });
        let root = |slot: &Value| "C D EF G A B".find(slot["root"].as_str().unwrap()).unwrap();
        let played = numbers(&value["played"]).into_iter();
        Self {
            candidates: candidates.collect(),
            charges: charges.collect(),
            roots: slots.iter().map(|slot| root(slot) as i64).collect(),
            played: played.map(|slot| usize::try_from(slot).unwrap()).collect(),
        }
    }

    /// The least cost of all choices that are as wished.
    fn best(&self, wishes: &[(usize, Meant)], looped: bool) -> Option<Cost> {
        let mut best = None;
        self.each(&mut Vec::new(), &mut |choice| {
            if self.is_as_wished(choice, wishes, looped) {
                let cost = self.cost(choice, looped);
                best = Some(best.map_or(cost, |old: Cost| old.min(cost)));
            }
        });
        best
    }

    fn each<'a>(&'a self, choice: &mut Vec<&'a Keys>, tell: &mut impl FnMut(&[&'a Keys])) {
        let Some(candidates) = self.candidates.get(choice.len()) else {
            return tell(choice);
        };
        for candidate in candidates {
            choice.push(candidate);
            self.each(choice, tell);
            choice.pop();
        }
    }

    /// From which slot to which the performance goes.
    fn steps(&self, looped: bool) -> Vec<(usize, usize)> {
        let onward = self.played.windows(2).map(|pair| (pair[0], pair[1]));
        let back = (self.played[self.played.len() - 1], self.played[0]);
        onward.chain(looped.then_some(back)).collect()
    }

    fn is_as_wished(&self, choice: &[&Keys], wishes: &[(usize, Meant)], looped: bool) -> bool {
        wishes.iter().all(|(bar, meant)| {
            let slot = bar - 1;
            let keys = choice[slot];
            let mut arrivals = self.steps(looped).into_iter().filter(|(_, to)| *to == slot);
            match *meant {
                Meant::Form(form) => {
                    let above = (keys[0] - self.roots[slot]).rem_euclid(12);
                    matches!((form, above), ('A', 3 | 4) | ('B', 10 | 11))
                }
                Meant::With(key) => keys.contains(&key),
                Meant::Without(key) => !keys.contains(&key),
                Meant::Not(other) => keys != other,
                Meant::Top(most) => arrivals.all(|(from, _)| {
                    choice[from].last().unwrap().abs_diff(*keys.last().unwrap()) <= most as u64
                }),
                Meant::Leap(most) => arrivals.all(|(from, _)| moved(choice[from], keys).1 <= most),
            }
        })
    }

    fn cost(&self, choice: &[&Keys], looped: bool) -> Cost {
        let steps = self.steps(looped).into_iter();
        let moves = steps.map(|(from, to)| moved(choice[from], choice[to]));
        let (motion, largest) = moves.fold((0, 0), |sum, step| (sum.0 + step.0, sum.1 + step.1));
        // Twice the distance from the middle of C3 to A4.
        let off = |keys: &Keys| (keys[0] + keys[keys.len() - 1] - 48 - 69).abs();
        let charged = |at: &usize| self.charges[*at][choice[*at]];
        (
            motion + self.played.iter().map(charged).sum::<i64>(),
            largest,
            self.played.iter().map(|at| off(choice[*at])).sum(),
        )
    }
}

/// The least motion between two voicings and the least largest step it can have: note by note where
/// there are as many, else in order with the fewer notes doubled.
fn moved(a: &[i64], b: &[i64]) -> (i64, i64) {
    let (few, many) = if a.len() <= b.len() { (a, b) } else { (b, a) };
    let here = (few[0] - many[0]).abs();
    if (few.len(), many.len()) == (1, 1) {
        return (here, here);
    }
    let on = (few.len() > 1).then(|| moved(&few[1..], &many[1..]));
    let doubled = (few.len() < many.len()).then(|| moved(few, &many[1..]));
    let rest = on.into_iter().chain(doubled).min().unwrap();
    (here + rest.0, here.max(rest.1))
}

fn total(value: &Value) -> Cost {
    let totals = &value["totals"];
    assert_eq!(totals["optimal"], true);
    let of = |name: &str| totals[name].as_i64().unwrap();
    (of("effort"), of("largest_steps"), of("off_centre"))
}

const C4: i64 = 60;

#[test]
fn every_wish_gives_the_best_of_the_plans_that_meet_it() {
    use Meant::{Form, Leap, Not, Top, With, Without};
    // F3 A3 B3 E4, what G7 gets when nothing is wished.
    const USUAL: &[i64] = &[53, 57, 59, 64];
    let cases: &[Case] = &[
        (&[], &[]),
        (&["2:A"], &[(2, Form('A'))]),
        (&["3:B"], &[(3, Form('B'))]),
        (&["1:A", "2:A"], &[(1, Form('A')), (2, Form('A'))]),
        (&["1:with=C4"], &[(1, With(C4))]),
        (&["4:without=E4"], &[(4, Without(64))]),
        (&["2:not=F3.A3.B3.E4"], &[(2, Not(USUAL))]),
        (&["2:not=F3.A3.B3.E4,A"], &[(2, Not(USUAL)), (2, Form('A'))]),
        (&["2:top=held"], &[(2, Top(0))]),
        (&["1:top=step", "3:top=held"], &[(1, Top(2)), (3, Top(0))]),
        (&["4:leap=2,top=step"], &[(4, Leap(2)), (4, Top(2))]),
        (&["1:leap=2"], &[(1, Leap(2))]),
        (&["3:leap=0"], &[(3, Leap(0))]),
        (
            &["1:B,leap=3", "4:A"],
            &[(1, Form('B')), (1, Leap(3)), (4, Form('A'))],
        ),
    ];
    for chart in [FORM, LINE] {
        let tune = Tune::of(chart);
        for (typed, meant) in cases {
            for looped in [false, true] {
                let mut options: Vec<&str> = typed.iter().flat_map(|w| ["--wish", w]).collect();
                options.extend(looped.then_some("--loop"));
                // In a loop the last chord goes to the first: other tensions, other candidates.
                let tune = if looped { &Tune::looped(chart) } else { &tune };
                let (ran, value) = json(chart, &options);
                match tune.best(meant, looped) {
                    Some(best) => assert_eq!(total(&value), best, "{chart} {options:?}"),
                    None => assert_eq!((ran.status, ran.out.as_str()), (1, "")),
                }
            }
        }
    }
}

impl Tune {
    fn looped(chart: &str) -> Self {
        let (_, value) = json(chart, &["--loop"]);
        let straight = Self::of(chart);
        let slots = value["slots"].as_array().unwrap().iter();
        let candidates = slots.map(|slot| {
            let candidates = slot["candidates"].as_array().unwrap().iter();
            candidates.map(|one| numbers(&one["notes"])).collect()
        });
        Self {
            candidates: candidates.collect(),
            ..straight
        }
    }
}

#[test]
fn wishes_for_the_whole_tune_hold_for_every_step() {
    for chart in [FORM, LINE] {
        let tune = Tune::of(chart);
        let everywhere = |meant: Meant| [1, 2, 3, 4].map(|bar| (bar, meant));
        let mut met = 0;
        for most in 0..8 {
            let (ran, value) = json(chart, &["--leap", &most.to_string()]);
            match tune.best(&everywhere(Meant::Leap(most)), false) {
                Some(best) => assert_eq!(total(&value), best, "{chart} --leap {most}"),
                None => assert_eq!(ran.status, 1, "{chart} --leap {most}"),
            }
            met += i32::from(ran.status == 0);
        }
        assert!(0 < met && met < 8, "some leaps are too small, others not");
        for (name, most) in [("held", 0), ("step", 2)] {
            let (ran, value) = json(chart, &["--top", name]);
            match tune.best(&everywhere(Meant::Top(most)), false) {
                Some(best) => assert_eq!(total(&value), best, "{chart} --top {name}"),
                None => assert_eq!(ran.status, 1, "{chart} --top {name}"),
            }
        }
    }
}

#[test]
fn a_wish_at_a_place_comes_before_one_for_the_tune() {
    let tune = Tune::of(LINE);
    assert_eq!(json(LINE, &["--leap", "1"]).0.status, 1);
    let wider = ["--leap", "1", "--wish", "3:leap=2"];
    let meant = [
        (2, Meant::Leap(1)),
        (3, Meant::Leap(2)),
        (4, Meant::Leap(1)),
    ];
    let best = tune.best(&meant, false).unwrap();
    assert_eq!(total(&json(LINE, &wider).1), best);
    let step = [(2, Meant::Top(0)), (4, Meant::Top(2))];
    let free = [
        "--top",
        "held",
        "--wish",
        "3:top=free",
        "--wish",
        "4:top=step",
    ];
    assert_eq!(
        total(&json(LINE, &free).1),
        tune.best(&step, false).unwrap()
    );
}

#[test]
fn a_wish_says_the_same_in_the_chart() {
    for wishes in ["A", "not=F3.A3.B3.E4,top=step", "leap=1"] {
        let chart = format!("{LINE}lh | ? | ?{wishes} | ? | ? |\n");
        let typed = format!("2:{wishes}");
        let (in_chart, on_line) = (json(&chart, &[]), json(LINE, &["--wish", &typed]));
        assert_eq!(in_chart.0.status, 0);
        assert_eq!(in_chart.1["slots"], on_line.1["slots"], "{wishes}");
    }
}

#[test]
fn options_and_their_prices_keep_to_the_wishes() {
    let tune = Tune::of(FORM);
    let best = tune
        .best(&[(2, Meant::Form('A')), (3, Meant::Leap(3))], false)
        .unwrap();
    let arguments = [
        "options", "-", "--to", "json", "--wish", "2:A", "--wish", "3:leap=3",
    ];
    let ran = run_with(&std::env::temp_dir(), &arguments, FORM);
    for (slot, line) in ran.out.lines().enumerate() {
        let value: Value = serde_json::from_str(line).unwrap();
        let options = value["options"].as_array().unwrap();
        assert!(!options.is_empty());
        for option in options {
            let notes = option["voicing"]["notes"].as_array().unwrap().iter();
            let keys: Keys = notes.map(|note| note["midi"].as_i64().unwrap()).collect();
            let only = Tune {
                candidates: tune
                    .candidates
                    .iter()
                    .enumerate()
                    .map(|(at, all)| {
                        if at == slot {
                            vec![keys.clone()]
                        } else {
                            all.clone()
                        }
                    })
                    .collect(),
                charges: tune.charges.clone(),
                roots: tune.roots.clone(),
                played: tune.played.clone(),
            };
            let dearer = only.best(&[(2, Meant::Form('A')), (3, Meant::Leap(3))], false);
            let price = dearer.unwrap().0 - best.0;
            assert_eq!(option["price"].as_i64().unwrap(), price, "{slot} {keys:?}");
        }
    }
    assert_eq!(ran.out.lines().count(), 4);
}

#[test]
fn a_wish_finds_a_further_shape_of_the_palette() {
    let palette = ["--palette", "guide-tones,rootless"];
    let mut options = palette.to_vec();
    options.extend(["--wish", "1:with=A3"]);
    let (ran, value) = json(LINE, &options);
    assert_eq!(ran.status, 0);
    assert_eq!(value["slots"][0]["voicing"]["shape"], "rootless");
    assert_eq!(value["slots"][1]["voicing"]["shape"], "guide-tones");
}

fn voice(options: &[&str]) -> Ran {
    let folder = folder(&[("t.chart", LINE)]);
    let mut arguments = vec!["voice", "t.chart"];
    arguments.extend(options);
    run(folder.path(), &arguments)
}

#[track_caller]
fn refused(options: &[&str], status: i32, said: &str) {
    let ran = voice(options);
    assert_eq!((ran.status, ran.out.as_str()), (status, ""));
    assert!(ran.err.contains(said), "{}", ran.err);
}

#[test]
fn what_can_never_be_met_is_wrong_usage() {
    refused(
        &["--wish", "2:A", "--wish", "2:B"],
        2,
        "--wish 2:B: form A and form B",
    );
    refused(
        &["--wish", "2:A,B"],
        2,
        "form A and form B are wished at once",
    );
    refused(
        &["--wish", "2:with=G3", "--wish", "2:without=G3"],
        2,
        "t.chart: --wish 2:without=G3: G3 is wished with and without",
    );
    refused(
        &["--wish", "2:F3.A3.B3.E4", "--wish", "2:A"],
        2,
        "is given already",
    );
    refused(
        &["--wish", "2:A", "--wish", "2:-"],
        2,
        "wished there already",
    );
    refused(
        &["--wish", "5:A"],
        2,
        "--wish 5:A: the written bars are 1 to 4",
    );
    refused(
        &["--wish", "2.2:A"],
        2,
        "--wish 2.2:A: the bar has one chord",
    );
    refused(&["--wish", "0:A"], 2, "`0` is no place");
    refused(&["--wish", "2"], 2, "a place, a colon and a wish");
    refused(&["--wish", "2:C"], 2, "`C` is not a wish");
    refused(&["--wish", "2:"], 2, "a wish is missing");
    refused(&["--leap", "x"], 2, "--leap");
    refused(&["--top", "up"], 2, "held, step");
}

#[test]
fn what_cannot_be_met_here_names_bar_chord_and_wish() {
    let bare = "t.chart: bar 2, beat 1: none of the 11 legal voicings of G7, nor of the 8 of other shapes in the palette, is as wished: `without=B3`";
    refused(&["--wish", "2:A,without=B3"], 1, bare);
    refused(
        &["--wish", "2:A,without=B3"],
        1,
        "legal there: D3.F3.G3.B3 (block), D3.F3.A3.B3 (rootless), F3.G3.B3.D4 (block B)",
    );
    refused(
        &["--wish", "2:with=F3,A"],
        1,
        "is as wished: `A` and `with=F3` together",
    );
    let step = "t.chart: bar 4, beat 1: A7 can't follow bar 3, beat 1 (Cmaj7) with `leap=0`";
    let still = ["--wish", "4:leap=0"];
    refused(&still, 1, step);
    refused(&still, 1, "leap=1 is the least that can be made");
    let held = "bar 4, beat 1: A7 can't follow bar 3, beat 1 (Cmaj7) with `top=held`";
    let on_top = ["--colour", "written", "--wish", "4:top=held,A"];
    refused(&on_top, 1, held);
    refused(&on_top, 1, "the top note moves 2 semitones at least");
    // Nothing is half met: every slot that is stuck is named.
    let both = voice(&["--wish", "1:with=C#3", "--wish", "2:without=B3"]);
    assert!(both.err.contains("bar 1") && both.err.contains("bar 2"));
}

#[test]
fn only_the_way_back_can_be_the_trouble() {
    let chart = "key: C\n| Dm7 | G7 |\nlh | F3.A3.C4.E4 | ?A |\n";
    let straight = run_with(&std::env::temp_dir(), &["voice", "-"], chart);
    assert_eq!(straight.status, 0);
    let options = [
        "voice",
        "-",
        "--loop",
        "--wish",
        "2:leap=127",
        "--leap",
        "2",
    ];
    let round = run_with(&std::env::temp_dir(), &options, chart);
    assert_eq!(round.status, 1);
    assert!(
        round
            .err
            .contains("Dm7 can't follow bar 2, beat 1 (G7) with `leap=2`")
    );
}

#[test]
fn given_voicings_are_held_whatever_is_wished_for_the_tune() {
    let chart = "key: C\n| Dm7 | G7 |\nlh | F3.A3.C4.E4 | B3.E4.F4.A4 |\n";
    let ran = run_with(&std::env::temp_dir(), &["voice", "-", "--leap", "2"], chart);
    assert_eq!(ran.status, 0);
    assert!(ran.out.contains("F3.A3.C4.E4 | B3.E4.F4.A4"));
    let said =
        "bar 2, G7: the step between given voicings, from bar 1, Dm7, is not as wished: `leap=2`";
    assert!(ran.err.contains(said), "{}", ran.err);
}

#[test]
fn an_entry_for_a_bar_is_what_would_stand_in_the_chart() {
    let hand = |ran: &Ran| {
        let line = ran
            .out
            .lines()
            .find(|line| line.starts_with("lh"))
            .map(str::to_owned);
        line.unwrap()
    };
    let given = voice(&["--wish", "2:B3.E4.F4.A4", "--wish", "3:-"]);
    assert!(hand(&given).contains("| B3.E4.F4.A4 | -"));
    let chart = format!("{LINE}lh | ? | B3.E4.F4.A4 | ? | ? |\n");
    let again = run_with(
        &std::env::temp_dir(),
        &["voice", "-", "--wish", "2:?"],
        &chart,
    );
    assert_eq!(hand(&again), hand(&voice(&[])));
}

#[test]
fn the_json_says_what_was_wished() {
    let options = ["--leap", "7", "--wish", "2:A", "--wish", "2:top=free"];
    let (_, value) = json(LINE, &options);
    assert_eq!(value["settings"]["leap"], 7);
    assert!(value["settings"].get("top").is_none());
    assert_eq!(value["slots"][1]["wish"], "A,top=free");
    assert!(value["slots"][0].get("wish").is_none());
}

#[test]
fn passes_written_out_may_meet_what_the_page_cannot() {
    // Dm7 ends as the lowest step into G7 asks for it, but comes after Cmaj7 an inversion higher.
    let chart = "key: C\n| Dm7 @fine | G7 | Cmaj7 @dc-al-fine |\n\
                 lh | ?top=step | ?leap=2,with=E4,without=G4.A4 | ?with=G4 |\n";
    let page = run_with(&std::env::temp_dir(), &["voice", "-"], chart);
    assert_eq!((page.status, page.out.as_str()), (1, ""));
    let said = "bar 1, beat 1: Dm7 can't follow bar 3, beat 1 (Cmaj7) with `top=step`, together with \
                what is wished since bar 1, beat 1 (Dm7)";
    assert!(page.err.contains(said));
    let passes = run_with(&std::env::temp_dir(), &["voice", "-", "--as-played"], chart);
    assert_eq!(passes.status, 0);
    assert!(passes.out.contains("F3.A3.C4.E4 |") && passes.out.contains("| C4.E4.F4.A4 |"));
    assert!(
        passes
            .out
            .contains("one voicing a slot can't meet the wishes")
    );
}

#[test]
fn wishes_are_for_the_chart_as_it_sounds() {
    let up = json(LINE, &["--key", "Eb", "--wish", "2:with=Ab3"]);
    let notes = up.1["slots"][1]["voicing"]["notes"].as_array().unwrap();
    assert!(notes.iter().any(|note| note["midi"] == 56));
    // Those of the chart move with it.
    let chart = format!("{LINE}lh | ? | ?with=F3 | ? | ? |\n");
    let moved = json(&chart, &["--key", "Eb"]);
    assert_eq!(moved.1["slots"][1]["wish"], "with=Ab3");
}

#[test]
fn why_answers_for_the_wished_plan() {
    let reason = |options: &[&str]| {
        let mut arguments = vec!["why", "-", "--bar", "2"];
        arguments.extend(options);
        run_with(&std::env::temp_dir(), &arguments, LINE).out
    };
    assert!(reason(&[]).contains("F3 A3 B3 E4"));
    assert!(reason(&["--wish", "2:A"]).contains("B3 E4 F4 A4"));
}

#[test]
fn tones_are_wished_for_by_degree_and_the_top_by_its_note() {
    let source = "key: C\n| Dm7 | G7 | Cmaj7 |\n";
    let planned = |wish: &str| {
        let ran = run_with(
            project(),
            &["voice", "-", "--to", "json", "--wish", wish],
            source,
        );
        assert_eq!(ran.status, 0, "{wish}: {}", ran.err);
        let json: Value = serde_json::from_str(&ran.out).unwrap();
        let voicing = json["slots"][1]["voicing"].clone();
        let notes = voicing["notes"].as_array().unwrap().iter();
        let of = |name: &str| {
            notes
                .clone()
                .map(|n| n[name].as_str().unwrap().to_owned())
                .collect()
        };
        let (names, degrees): (Vec<String>, Vec<String>) = (of("name"), of("degree"));
        (names, degrees)
    };
    assert!(planned("2:with=13").1.contains(&"13".to_owned()));
    assert!(!planned("2:without=13").1.contains(&"13".to_owned()));
    assert!(planned("2:with=9.F3").1.contains(&"9".to_owned()));
    for top in ["D4", "E4"] {
        assert_eq!(planned(&format!("2:top={top}")).0.last().unwrap(), top);
    }
    let torn = run_with(
        project(),
        &["voice", "-", "--wish", "2:with=13,without=13"],
        source,
    );
    assert_eq!(torn.status, 2);
    assert!(
        torn.err.contains("13 is wished with and without"),
        "{}",
        torn.err
    );
    let kept = run_with(
        project(),
        &["tidy", "-"],
        "| G7 |\nlh | ?with=13.F3,top=E4 |\n",
    );
    assert_eq!(
        kept.out,
        "     | G7                  |\nlh   | ?with=13.F3,top=E4  |\n"
            .replace("  |\nlh", " |\nlh")
            .replace("E4  |", "E4 |")
    );
}

#[test]
fn a_hand_that_is_there_is_planned_anew_by_a_range_of_bars_or_in_all() {
    let held = "key: C\n| N.C. | Dm7 | G7 |\nlh | - | D3.F3.A3.C4 | G3.B3.D4.F4 |\n";
    let scratch = folder(&[("held.chart", held)]);
    let voiced = |more: &[&str]| {
        let arguments = [&["voice", "held.chart", "--key", "A"], more].concat();
        run(scratch.path(), &arguments)
    };
    assert!(voiced(&[]).out.contains("B2.D3.F#3.A3"));
    // The bar without a chord is passed over, and told where it is the only one.
    for more in [&["--wish", "1-3:?"][..], &["--replan"]] {
        let ran = voiced(more);
        assert_eq!((ran.status, ran.err.as_str()), (0, ""), "{more:?}");
        assert!(
            !ran.out.contains("B2") && ran.out.contains("lh"),
            "{more:?}"
        );
    }
    let refused = voiced(&["--wish", "1:?"]);
    assert_eq!(refused.status, 2);
    assert!(refused.err.contains("there is no chord"), "{}", refused.err);
}
