//! Random forms: those grown from a tree are played as the tree says, and no row of signs, however
//! muddled, brings a panic or a play order that leaves the page.

use std::fmt::Write as _;

use super::{bars, read};
use compline::chart::sizes::MOST_BARS;
use compline::chart::{self, PlayOrder, Via};
use proptest::prelude::*;

/// A form before it is written down.
#[derive(Debug, Clone)]
enum Part {
    Bar,
    /// A passage and how often it is played.
    Repeat(Vec<Part>, usize),
    /// A passage, its endings, and which ending each pass has.
    Endings(Vec<Part>, Vec<Vec<Part>>, Vec<usize>),
}

/// A bar on the page: what its left line opens, and its right line.
struct Written {
    opens: String,
    closes: String,
}

/// A bar, then parts with a bar after each, so that no two repeats end with the same bar.
fn passage(part: impl Strategy<Value = Part>) -> impl Strategy<Value = Vec<Part>> {
    let parts = prop::collection::vec(part, 0..3);
    parts.prop_map(|parts| {
        let spaced = parts.into_iter().flat_map(|part| [part, Part::Bar]);
        std::iter::once(Part::Bar).chain(spaced).collect()
    })
}

fn part() -> impl Strategy<Value = Part> {
    Just(Part::Bar).prop_recursive(3, 24, 3, |inner| {
        let passage = move || passage(inner.clone());
        let repeat = (passage(), 2_usize..5).prop_map(|(body, n)| Part::Repeat(body, n));
        let some_endings = prop::collection::vec(passage(), 2..4);
        let passes = prop::collection::vec(0_usize..3, 0..3);
        let endings = (passage(), some_endings, passes).prop_map(|(body, endings, passes)| {
            // Every ending has a pass, and the last pass has the last.
            let last = endings.len() - 1;
            let more = passes.into_iter().map(|ending| ending % last);
            let passes = (0..last).chain(more).chain([last]).collect();
            Part::Endings(body, endings, passes)
        });
        prop_oneof![repeat, endings]
    })
}

/// The bars of a passage as they are played.
#[derive(Clone, Default)]
struct Played {
    /// At first, with every repeat.
    first: Vec<usize>,
    /// After a jump back: no repeats, last endings.
    again: Vec<usize>,
}

impl Played {
    fn then(&mut self, other: &Self) {
        self.first.extend_from_slice(&other.first);
        self.again.extend_from_slice(&other.again);
    }
}

/// Writes the parts down, and the order in which their bars are played.
fn lay_out(parts: &[Part], page: &mut Vec<Written>) -> Played {
    let mut played = Played::default();
    for part in parts {
        played.then(&match part {
            Part::Bar => lay_out_bar(page),
            Part::Repeat(body, times) => {
                let body = opened(body, ":", page);
                page.last_mut().unwrap().closes = match times {
                    2 => ":|".to_owned(),
                    n => format!(":|x{n}"),
                };
                let first = body.first.repeat(*times);
                Played { first, ..body }
            }
            Part::Endings(body, endings, passes) => {
                let body = opened(body, ":", page);
                let endings = lay_out_endings(endings, passes, page);
                let pass = |&ending: &usize| [body.first.clone(), endings[ending].first.clone()];
                Played {
                    first: passes.iter().flat_map(pass).flatten().collect(),
                    again: [body.again, endings.last().unwrap().again.clone()].concat(),
                }
            }
        });
    }
    played
}

fn lay_out_bar(page: &mut Vec<Written>) -> Played {
    page.push(Written {
        opens: String::new(),
        closes: "|".to_owned(),
    });
    Played {
        first: vec![page.len()],
        again: vec![page.len()],
    }
}

fn lay_out_endings(
    endings: &[Vec<Part>],
    passes: &[usize],
    page: &mut Vec<Written>,
) -> Vec<Played> {
    let mut played = Vec::new();
    for (number, ending) in endings.iter().enumerate() {
        let its = passes.iter().enumerate().filter(|(_, e)| **e == number);
        let its: Vec<String> = its.map(|(pass, _)| (pass + 1).to_string()).collect();
        played.push(opened(ending, &its.join(","), page));
        let last = number + 1 == endings.len();
        page.last_mut().unwrap().closes = if last { "||" } else { ":|" }.to_owned();
    }
    played
}

fn opened(parts: &[Part], sign: &str, page: &mut Vec<Written>) -> Played {
    let first = page.len();
    let played = lay_out(parts, page);
    page[first].opens = sign.to_owned();
    played
}

/// The play order is this one, or there is none since it is too long.
fn is_played(text: &str, expected: &[usize]) {
    match read(text).play_order() {
        Ok(order) => assert_eq!(bars(&order), expected, "{text}"),
        Err(problems) => assert!(expected.len() > MOST_BARS, "{text}\n{problems:#?}"),
    }
}

fn text(page: &[Written]) -> String {
    let mut text = String::new();
    let mut line = "|";
    for bar in page {
        let apart = if line.contains('x') && !bar.opens.is_empty() {
            "|"
        } else {
            ""
        };
        write!(text, "{line}{apart}{} C ", bar.opens).unwrap();
        line = &bar.closes;
    }
    text + line
}

/// A bar with any signs.
fn muddle() -> impl Strategy<Value = String> {
    let left = prop::sample::select(vec!["", "", "", ":", "1", "2", "1,3", "1|:"]);
    let right = prop::sample::select(vec!["|", "|", "|", "||", ":|", ":|x3|", "|]"]);
    let words = vec![
        "@segno",
        "@coda",
        "@to-coda",
        "@fine",
        "@dc",
        "@ds",
        "@dc-al-fine",
        "@dc-al-coda",
        "@ds-al-fine",
        "@ds-al-coda",
    ];
    let words = prop::collection::vec(prop::sample::select(words), 0..2);
    let some = prop_oneof![4 => Just(Vec::new()), 1 => words];
    let heading = prop_oneof![9 => Just(""), 1 => Just("\n[A]\n|")];
    (left, some, right, heading).prop_map(|(left, words, right, heading)| {
        format!("{left} C {} {right}{heading}", words.join(" "))
    })
}

fn holds_together(chart: &chart::Chart, order: &PlayOrder) {
    let written = chart.bars().count();
    assert!(order.bars() <= MOST_BARS);
    assert_eq!(order.visits()[0].bar, 0);
    let mut passes = vec![0; written];
    for visit in order.visits() {
        passes[visit.bar] += 1;
        assert_eq!(visit.pass, passes[visit.bar]);
    }
    assert!(passes.iter().all(|&passes| passes > 0), "{passes:?}");
    let run = |run: &chart::BarRun| run.last - run.first + 1;
    assert_eq!(order.runs().iter().map(run).sum::<usize>(), order.bars());
    let slots = chart.slots();
    assert_eq!(
        order.performance(&slots, false).visits().len(),
        order.bars()
    );
}

const CASES: u32 = 1_000;

proptest! {
    #![proptest_config(ProptestConfig {
        cases: CASES,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn a_form_grown_from_a_tree_is_played_as_the_tree_says(parts in passage(part())) {
        let mut page = Vec::new();
        let played = lay_out(&parts, &mut page);
        is_played(&text(&page), &played.first);
    }

    #[test]
    fn after_a_jump_back_it_is_played_without_repeats(parts in passage(part()), fine in 0.0..1.0) {
        let mut page = Vec::new();
        let played = lay_out(&parts, &mut page);
        let text = text(&page);
        let back = text.trim_end_matches('|').to_owned() + "@dc |";
        is_played(&back, &[&played.first[..], &played.again].concat());
        // The same to a fine in any bar that is played then.
        let stop = (played.again.len() as f64 * fine) as usize;
        let at = text.match_indices('C').nth(played.again[stop] - 1).unwrap().0;
        let fine = format!("{} @fine{}", &text[..=at], &back[at + 1..]).replace("@dc", "@dc-al-fine");
        is_played(&fine, &[&played.first[..], &played.again[..=stop]].concat());
    }

    #[test]
    fn bars_without_signs_are_played_once(bars in 1_usize..200) {
        let order = read(&"| C ".repeat(bars)).play_order().unwrap();
        let played: Vec<usize> = order.visits().iter().map(|visit| visit.bar).collect();
        prop_assert_eq!(played, (0..bars).collect::<Vec<_>>());
        prop_assert!(order.visits()[1..].iter().all(|visit| visit.via == Via::On));
    }

    #[test]
    fn no_row_of_signs_leads_off_the_page(bars in prop::collection::vec(muddle(), 1..12)) {
        let text = format!("|{}", bars.concat());
        let Ok(chart) = chart::read(text.trim_end_matches('|').trim_end()) else {
            return Ok(());
        };
        match chart.play_order() {
            Ok(order) => holds_together(&chart, &order),
            Err(problems) => for problem in problems {
                prop_assert!(text.get(problem.span.clone()).is_some(), "{problem:?}");
            },
        }
    }
}

#[test]
fn the_muddle_does_find_roads_and_mistakes() {
    use proptest::strategy::ValueTree as _;
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let (mut orders, mut mistakes) = (0, 0);
    for _ in 0..2_000 {
        let bars = prop::collection::vec(muddle(), 1..12);
        let bars = bars.new_tree(&mut runner).unwrap().current();
        match chart::read(&format!("|{}", bars.concat())).map(|chart| chart.play_order()) {
            Ok(Ok(_)) => orders += 1,
            Ok(Err(_)) => mistakes += 1,
            Err(_) => {}
        }
    }
    assert!(
        orders > 50 && mistakes > 50,
        "{orders} orders, {mistakes} mistakes"
    );
}
