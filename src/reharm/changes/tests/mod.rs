//! The joint search against every set of replacements, each with every choice of voicings.

mod by_trying;
mod struck;

use proptest::prelude::*;

use self::by_trying::by_trying;
use super::*;
use crate::arrange::arrange;
use crate::cases;
use crate::chart::{Beats, NewChord, read};
use crate::chord::Chord;

/// Bars of two or one chords, with some that repeat their neighbours' roots.
const BARS: [&str; 8] = [
    "Dm7 G7",
    "Cmaj7",
    "Em7 A7",
    "G7sus G7",
    "Fmaj7 Fm6",
    "C6 Am7",
    "Db7",
    "Bm7b5 E7",
];

/// What may come in for a chord.
const NEW: [&str; 8] = [
    "Db7", "Abm7", "G7", "Bb7", "Dm7b5", "C#dim7", "G7alt", "Em7",
];

/// Signs around the bars of a page of four.
const FORMS: [[&str; 5]; 4] = [
    ["|", "|", "|", "|", "|"],
    ["|:", "|", ":|", "|", "|"],
    ["|:", "|1", ":|2", "|", "|"],
    ["|:", "|", "|", "|", ":|"],
];

/// Bars almost all on one root, so that chords look past each other, often all the way round.
const ONE_ROOT: [&str; 8] = [
    "G7", "G7sus", "G7sus G7", "Gm7", "G13 G7", "G7 C6", "Dm7 G7", "Gm7 G7",
];

/// What may come in for a chord among them: what resolves, what doesn't, and the root again.
const NEW_AMONG: [&str; 8] = ["G7", "Gm7", "G7sus", "Db7", "C7", "Cm7", "F#m7", "Dm7"];

/// Pages that come round: `*` stands for a bar, `_` for one in which the hand is silent.
const ORDERS: [&str; 14] = [
    "| * | * | * | * |",
    "|: * | * | * | * :|",
    "|: * | * :|x3 * | * |",
    "|: * :| * |: * :| * |",
    "| * |: * | * :|x3 * |",
    "|: * |1 * :|2 * | * |",
    "|: * | * |1 * :|2 * |",
    "|: * | N.C. | * :| * | * |",
    "|: _ | * | * :| * | * |",
    "|: * | _ |1 * :|2 * | _ |",
    "| * | * @fine | * | * @dc-al-fine |",
    "| * | * @segno | * @to-coda | * @ds-al-coda || * @coda |",
    "play: A A B A\n[A]\n| * | * |\n[B]\n| * | * |",
    "play: A B A C A\n[A]\n| * |\n[B]\n| * |\n[C]\n| * | * |",
];

/// The page of a play order with these bars.
fn coming_round(order: &str, bars: &[usize]) -> Chart {
    let mut bars = bars.iter().map(|bar| ONE_ROOT[*bar]);
    let mut text = "key: C\n".to_owned();
    for line in order.lines() {
        let mut hand = Vec::new();
        for sign in line.chars() {
            if !matches!(sign, '*' | '_') {
                text.push(sign);
                continue;
            }
            let bar = bars.next().unwrap();
            text.push_str(bar);
            let entry = if sign == '_' { "- " } else { "? " };
            hand.push(entry.repeat(bar.split(' ').count()));
        }
        text.push('\n');
        if line.contains('_') {
            text.push_str(&format!("lh | {}|\n", hand.join("| ")));
        }
    }
    read(&text).unwrap()
}

fn page(bars: &[usize], form: usize) -> Chart {
    let signs = FORMS[form];
    let body: String = bars
        .iter()
        .zip(signs)
        .map(|(bar, sign)| format!("{sign} {} ", BARS[*bar]))
        .collect();
    read(&format!("key: C\n{body}{}", signs[4])).unwrap()
}

/// A replacement of one slot by one or two chords, or of two slots of a bar by one.
fn replacement(
    chart: &Chart,
    symbols: &[&str],
    (at, first, second, kind): (usize, usize, usize, u8),
) -> Replacement {
    let slots = chart.slots();
    let at = at % slots.len();
    let slot = &slots[at];
    let new = |beat: Beats, beats: Beats, symbol: usize| NewChord {
        bar: slot.bar,
        beat,
        beats,
        chord: Chord::read(symbols[symbol]).unwrap(),
    };
    let half = Beats::new(slot.beats.numerator(), 2 * slot.beats.denominator()).unwrap();
    let mate = slots.get(at + 1).filter(|mate| mate.bar == slot.bar);
    match (kind, mate) {
        (0, _) => Replacement {
            slots: at..at + 1,
            chords: vec![
                new(slot.beat, half, first),
                new(slot.beat + half, half, second),
            ],
        },
        (1, Some(mate)) => Replacement {
            slots: at..at + 2,
            chords: vec![new(slot.beat, slot.beats + mate.beats, first)],
        },
        _ => Replacement {
            slots: at..at + 1,
            chords: vec![new(slot.beat, slot.beats, first)],
        },
    }
}

/// Few voicings a chord, so that all of them can be tried.
fn settings(looped: bool) -> Settings {
    let mut settings = Settings {
        looped,
        ..Settings::default()
    };
    settings.voicing.palette = "rootless,block".parse().unwrap();
    settings.voicing.hand.range = "D3-A4".parse().unwrap();
    settings
}

/// The rungs of up to so many replacements, on no terms.
fn without_terms(chart: &Chart, all: &[Replacement], most: usize) -> Vec<Option<Rung>> {
    let (terms, settings) = (Terms::default(), settings(false));
    changes(chart, all, &terms, &settings, most, &mut Cache::default()).unwrap()
}

/// Holds every rung against trying, and gives how many there are.
fn compare(chart: &Chart, all: &[Replacement], settings: &Settings) -> usize {
    compare_on(&Terms::default(), chart, all, settings)
}

/// Holds the search that strikes values after drafts of few replacements, of each of these numbers, against the one
/// that looks at all values.
fn same_by_few(
    terms: &Terms,
    chart: &Chart,
    all: &[Replacement],
    settings: &Settings,
    cache: &mut Cache,
) {
    let counts: Vec<usize> = (1..=all.len().min(3)).collect();
    let each = on_the_page(chart, all, settings, cache, |search, _| {
        Ok([
            unstruck(&search.space, terms, &counts, share(1))?,
            best_choices(&search.space, terms, &counts, (1, share(1)))?,
            best_choices(&search.space, terms, &counts, (2, share(1)))?,
        ])
    });
    let [every, one, two] = each.unwrap().map(|best| {
        let scores = best.into_iter();
        let scores = scores.map(|best| best.map(|best| (best.score, best.bound, best.proved)));
        scores.collect::<Vec<_>>()
    });
    assert_eq!(one, every, "1 of {all:?} on {terms:?}\n{chart}");
    assert_eq!(two, every, "2 of {all:?} on {terms:?}\n{chart}");
}

/// The same on some terms. Where limits are in the way, only the score is proved.
fn compare_on(terms: &Terms, chart: &Chart, all: &[Replacement], settings: &Settings) -> usize {
    let most = all.len().min(3);
    let cache = &mut Cache::default();
    let rungs = changes(chart, all, terms, settings, most, cache).unwrap();
    same_by_few(terms, chart, all, settings, cache);
    let tried = by_trying(chart, all, terms, settings, most);
    for (count, (rung, tried)) in rungs.iter().zip(&tried).enumerate() {
        let found = rung.as_ref().map(|rung| {
            let rest = Cost {
                effort: 0,
                ..rung.cost
            };
            (rung.score(), rest)
        });
        let score = |one: Option<(i64, Cost)>| one.map(|(score, _)| score);
        assert_eq!(
            score(found),
            score(*tried),
            "{count} of {all:?} on {terms:?}\n{chart}"
        );
        if terms.limits.is_empty() {
            assert_eq!(found, *tried, "{count} of {all:?}\n{chart}");
        }
        if let Some(rung) = rung {
            assert_eq!(rung.replacements.len(), count);
            assert!(terms.allow(&rung.replacements));
            assert_eq!(rung.lower_bound, Some(rung.score()));
            assert!(rung.optimal, "{count} of {all:?}\n{chart}");
        }
    }
    rungs.iter().flatten().count()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases(50, 100)))]

    #[test]
    fn no_set_of_replacements_moves_less(
        bars in proptest::collection::vec(0..BARS.len(), 4),
        form in 0..FORMS.len(),
        wishes in proptest::collection::vec((0..8usize, 0..8usize, 0..8usize, 0..3u8), 1..5),
        looped in any::<bool>(),
    ) {
        let chart = page(&bars, form);
        let new = |wish| replacement(&chart, &NEW, wish);
        let all: Vec<Replacement> = wishes.into_iter().map(new).collect();
        compare(&chart, &all, &settings(looped));
    }

    #[test]
    fn no_set_of_replacements_scores_lower_on_any_terms(
        bars in proptest::collection::vec(0..BARS.len(), 4),
        form in 0..FORMS.len(),
        wishes in proptest::collection::vec((0..8usize, 0..8usize, 0..8usize, 0..3u8), 1..7),
        charges in proptest::collection::vec(-12..24i64, 7),
        members in proptest::collection::vec(proptest::collection::vec(0..7usize, 1..5), 1..4),
        most in 0..3usize,
    ) {
        let chart = page(&bars, form);
        let new = |wish| replacement(&chart, &NEW, wish);
        let all: Vec<Replacement> = wishes.into_iter().map(new).collect();
        let terms = Terms {
            charges: charges.into_iter().take(all.len()).collect(),
            limits: members.into_iter().map(|members| AtMost { members, most }).collect(),
        };
        compare_on(&terms, &chart, &all, &settings(false));
    }

    #[test]
    fn none_moves_less_where_a_page_comes_round_to_its_root(
        bars in proptest::collection::vec(0..ONE_ROOT.len(), 5),
        order in 0..ORDERS.len(),
        wishes in proptest::collection::vec((0..8usize, 0..8usize, 0..8usize, 0..3u8), 1..5),
        looped in any::<bool>(),
    ) {
        let chart = coming_round(ORDERS[order], &bars);
        let new = |wish| replacement(&chart, &NEW_AMONG, wish);
        let all: Vec<Replacement> = wishes.into_iter().map(new).collect();
        compare(&chart, &all, &settings(looped));
    }
}

#[test]
fn chords_and_voicings_are_decided_together_and_proved() {
    let chart = page(&[0, 1, 2, 0], 0);
    let all: Vec<Replacement> = [(1, 0, 0, 2), (6, 0, 0, 2), (4, 6, 0, 2), (3, 0, 1, 0)]
        .map(|wish| replacement(&chart, &NEW, wish))
        .to_vec();
    assert_eq!(compare(&chart, &all, &settings(false)), 4);
}

#[test]
fn what_one_limit_demands_may_be_more_than_another_allows() {
    // Those that follow at once on another would take its goal: every other bar is replaced.
    let chart = read("key: C\n| Dm7 | G7 | C6 | F6 | Dm7 | G7 | C6 | F6 | Dm7 | G7 |").unwrap();
    let new = |slot| replacement(&chart, &NEW, (slot, 0, 0, 2));
    let all: Vec<Replacement> = (0..5).map(|at| new(2 * at)).collect();
    let limit = |members: &[usize], most| AtMost {
        members: members.to_vec(),
        most,
    };
    // Four of the five are two too many of the first three, or more; the fifth is dear.
    let terms = Terms {
        charges: vec![0, 0, 0, 0, 1000],
        limits: vec![limit(&[0, 1, 2, 3], 3), limit(&[0, 1, 2], 1)],
    };
    let cache = &mut Cache::default();
    let rungs = changes(&chart, &all, &terms, &settings(false), 4, cache).unwrap();
    assert_eq!(rungs[4], None);
    let three = rungs[3].as_ref().unwrap();
    assert!(three.optimal && terms.allow(&three.replacements));
}

/// Each step keeps to the wish of the slot it leads to, whichever chords are replaced: what a replacement costs is
/// what the page with it costs more than the page as it is.
#[test]
fn wishes_for_the_steps_hold_beside_replacements() {
    let rows = "key: C\n| Dm7 | G7 | Cmaj7 | Am7 | Dm7 |\n";
    let effort = |chart: Chart| {
        let plan = arrange(chart, &settings(false), &mut Cache::default()).ok()?;
        i64::try_from(plan.totals.cost.effort).ok()
    };
    let plain = effort(read(rows).unwrap()).unwrap();
    let mut dearer = 0;
    for wish in ["?leap=1", "?leap=2", "?leap=3", "?top=held", "?top=step"] {
        let wished = read(&format!("{rows}lh | ? | {wish} | ? | {wish} | ? |")).unwrap();
        let Some(written) = effort(wished.clone()) else {
            continue;
        };
        dearer += usize::from(written > plain);
        // What is wished for stays with its chord, so only the others may be replaced.
        let all = [0, 2, 4].map(|slot| replacement(&wished, &NEW, (slot, 0, 0, 2)));
        let cache = &mut Cache::default();
        let priced = prices(&wished, &all, &settings(false), cache).unwrap();
        for (at, price) in priced.into_iter().enumerate() {
            let page = effort(replaced(&wished, &all, &[at]).unwrap());
            assert_eq!(price, page.map(|page| page - written), "{wish} {at}");
        }
    }
    assert!(dearer > 0, "no wish matters");
}

#[test]
fn one_replacement_is_one_on_the_page_however_often_it_is_played() {
    let chart = page(&[0, 1, 0, 1], 1);
    let all = [replacement(&chart, &NEW, (1, 0, 0, 2))];
    let rungs = without_terms(&chart, &all, 1);
    let one = rungs[1].as_ref().unwrap();
    assert!(
        one.optimal && one.chart.tidy().contains("|: Dm7 Db7 | Cmaj7 :|"),
        "{}",
        one.chart
    );
}

#[test]
fn what_lies_beyond_a_seam_may_be_replaced_too() {
    // G7 goes round to G7, and past it to whatever comes to stand for C6.
    let chart = read("key: C\n|: G7 | C6 | G7 :|").unwrap();
    let all = [1, 4, 5].map(|new| replacement(&chart, &NEW_AMONG, (1, new, 0, 2)));
    assert_eq!(compare(&chart, &all, &settings(false)), 2);
    assert_eq!(compare(&chart, &all, &settings(true)), 2);
}

#[test]
fn one_root_all_the_way_round_leads_nowhere() {
    let chart = read("key: C\n| G7 | G7sus | G7 |").unwrap();
    let all = [(0, 6, 0, 2), (1, 4, 0, 2), (2, 2, 0, 2)];
    let all = all.map(|wish| replacement(&chart, &NEW_AMONG, wish));
    assert_eq!(compare(&chart, &all, &settings(true)), 3);
}

/// What a replacement leads to may be held back by the next one, and not be taken by it.
#[test]
fn no_replacement_takes_the_goal_of_the_one_before() {
    let chart = read("key: C\n| Em7 | A7 | Dm7 | G7 | C6 |").unwrap();
    let new = |wish| replacement(&chart, &NEW, wish);
    // Bb7 for A7, Abm7 for Dm7, and Dm7 Db7 for it.
    let mut held_back = new((2, 0, 0, 0));
    held_back.chords[0].chord = Chord::read("Dm7").unwrap();
    let both = [new((1, 3, 0, 2)), held_back];
    assert_eq!(compare(&chart, &both, &settings(false)), 3);
    let taken = [new((1, 3, 0, 2)), new((2, 1, 0, 2))];
    assert_eq!(compare(&chart, &taken, &settings(false)), 2);
    // With a bar between them nothing is taken.
    let apart = [new((1, 3, 0, 2)), new((3, 1, 0, 2))];
    assert_eq!(compare(&chart, &apart, &settings(false)), 3);
}

#[test]
fn what_is_entangled_by_its_play_order_is_proved() {
    // The one slot of A goes on to six others, and each of those looks past it to the next.
    let sections = "BCDEFH".chars().map(|name| format!("[{name}]\n| G7 |\n"));
    let play = "play: A B A C A D A E A F A H\n[A]\n| G7 |\n";
    let text = format!("key: C\n{play}{}", sections.collect::<String>());
    let chart = read(&text).unwrap();
    let new =
        |slot: usize| [1, 3, 4, 5].map(|new| replacement(&chart, &NEW_AMONG, (slot, new, 0, 2)));
    let all: Vec<Replacement> = (1..7).flat_map(new).collect();
    let rungs = without_terms(&chart, &all, 2);
    assert_eq!(rungs.iter().flatten().count(), 3);
    for rung in rungs.iter().flatten() {
        let page = replaced(&chart, &all, &rung.replacements).unwrap();
        let planned = arrange(page, &settings(false), &mut Cache::default()).unwrap();
        assert_eq!(rung.cost, planned.totals.cost);
        assert!(rung.optimal);
    }
}
