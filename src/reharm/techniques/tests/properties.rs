//! What holds of every proposal, on passages and tunes nobody chose.

use std::collections::BTreeMap;

use proptest::prelude::*;

use super::stage::Stage;
use crate::cases;
use crate::chart::{self, Beats, Chart, NewChord};
use crate::harmony::{Passage, Spot};
use crate::reharm::techniques::TECHNIQUES;
use crate::reharm::{Proposal, proposals};

/// Chords of C, of near keys and of none, and some that nothing is known about.
const CHORDS: &[&str] = &[
    "C", "Cmaj7", "C6", "C7", "Cm", "Dm7", "D7", "Dm7b5", "Em7", "E7", "Ebdim7", "Fmaj7", "F7",
    "Fm6", "G7", "G7alt", "G7sus", "G7/B", "G13", "Gm7", "Am7", "A7b9", "Abmaj7", "Bm7b5", "Bb7",
    "Db7", "F#m7", "B7", "C+", "C5", "Dm7/G", "A-7", "Cø",
];

/// What chance would hardly deal: the four bars of a cadence and what follows them, and a row of thirds.
const STOCK: [[&str; 5]; 2] = [
    ["Dm7", "G7", "Cmaj7", "Cmaj7", "C6"],
    ["C", "Am7", "Fmaj7", "Dm7", "G7"],
];

/// Half beats, beats, and longer; the bar is filled up with what is left over.
const LENGTHS: &[(i64, i64)] = &[(1, 2), (1, 2), (1, 1), (3, 2), (2, 1), (1, 3), (4, 1)];

fn symbol() -> impl Strategy<Value = &'static str> {
    // The everyday cadences are common enough to be met.
    prop_oneof![
        2 => proptest::sample::select(CHORDS),
        1 => proptest::sample::select(&["Dm7", "G7", "Cmaj7", "Am7", "C"][..]),
    ]
}

/// A bar of `beats` beats with one chord, two, or one for each half beat.
fn chords(beats: i64) -> BoxedStrategy<String> {
    let shares: &[usize] = match beats {
        3 => &[1, 1, 3, 6],
        _ => &[1, 1, 2, 4, 8],
    };
    let count = proptest::sample::select(shares);
    let some = count.prop_flat_map(|count| proptest::collection::vec(symbol(), count));
    let slashed = (symbol(), symbol()).prop_map(move |(a, b)| {
        let slashes = " /".repeat(usize::try_from(beats).unwrap() - 2);
        format!("{a}{slashes} {b}")
    });
    prop_oneof![6 => some.prop_map(|all| all.join(" ")), 1 => slashed].boxed()
}

fn melody(beats: i64) -> impl Strategy<Value = String> {
    let event = (55..80u8, proptest::sample::select(LENGTHS), 0..8u8);
    proptest::collection::vec(event, 1..6).prop_map(move |events| {
        let mut left = Beats::whole(beats);
        let mut row = String::new();
        for (midi, (upper, lower), rest) in events {
            let length = Beats::new(upper, lower).unwrap().min(left);
            if length > Beats::ZERO {
                row += &format!("{}:{length} ", name(midi, rest == 0));
                left = left - length;
            }
        }
        if left > Beats::ZERO {
            row += &format!("r:{left} ");
        }
        row
    })
}

fn name(midi: u8, rest: bool) -> String {
    const NAMES: [&str; 12] = [
        "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
    ];
    match rest {
        true => "r".to_owned(),
        false => format!("{}{}", NAMES[usize::from(midi % 12)], midi / 12 - 1),
    }
}

fn page() -> impl Strategy<Value = String> {
    let meter = proptest::sample::select(&[("4/4", 4), ("3/4", 3), ("12/8", 4)][..]);
    let key = proptest::sample::select(&["key: C\n", "key: Am\n", "key: F\n", "key: Cm\n", ""][..]);
    (meter, key).prop_flat_map(|((meter, beats), key)| {
        let dealt = proptest::collection::vec((chords(beats), melody(beats)), 1..7);
        let tunes = proptest::collection::vec(melody(beats), STOCK[0].len());
        let stock = (proptest::sample::select(&STOCK[..]), tunes).prop_map(|(stock, tunes)| {
            let chords = stock.iter().map(|chord| (*chord).to_owned());
            chords.zip(tunes).collect::<Vec<_>>()
        });
        prop_oneof![4 => dealt, 1 => stock].prop_map(move |bars| {
            let row = |part: fn(&(String, String)) -> &str| {
                let bars: Vec<&str> = bars.iter().map(part).collect();
                bars.join(" | ")
            };
            let (chords, melody) = (row(|bar| &bar.0), row(|bar| &bar.1));
            format!("{key}meter: {meter}\n| {chords} |\nmel | {melody} |\n")
        })
    })
}

/// The page with a proposal written into it, as chart text that is then read.
fn rewritten(chart: &Chart, proposal: &Proposal) -> String {
    let mut bars: BTreeMap<usize, BTreeMap<Beats, (Beats, String)>> = BTreeMap::new();
    for slot in chart.slots() {
        if !proposal.spots.contains(&slot.index) {
            let cell = (slot.beats, slot.symbol.text().to_owned());
            bars.entry(slot.bar).or_default().insert(slot.beat, cell);
        }
    }
    for new in &proposal.chords {
        let cell = (new.beats, new.chord.symbol().to_owned());
        let taken = bars.entry(new.bar).or_default().insert(new.beat, cell);
        assert!(taken.is_none(), "two chords at one time");
    }
    let meter = chart.meter();
    let row: Vec<String> = bars.values().map(bar).collect();
    format!("meter: {meter}\n| {} |", row.join(" | "))
}

fn bar(cells: &BTreeMap<Beats, (Beats, String)>) -> String {
    let equal = cells
        .values()
        .all(|cell| Some(&cell.0) == cells.values().next().map(|c| &c.0));
    let cell = |(beats, symbol): &(Beats, String)| match equal {
        true => symbol.clone(),
        false => {
            assert_eq!(beats.denominator(), 1, "a fraction beside others");
            let slashes = usize::try_from(beats.numerator() - 1).unwrap();
            format!("{symbol}{}", " /".repeat(slashes))
        }
    };
    cells.values().map(cell).collect::<Vec<_>>().join(" ")
}

fn check(stage: &Stage, chart: &Chart) -> Result<(), TestCaseError> {
    let spots = stage.spots();
    let mut last = (0, 0);
    for proposal in stage.all() {
        let old = &spots[proposal.spots.clone()];
        prop_assert!(!old.is_empty());
        let written = rewritten(chart, &proposal);
        let read = chart::read(&written);
        prop_assert!(read.is_ok(), "{written} by {}", proposal.technique);
        fills(old, &proposal, &read.unwrap())?;
        let changed = old
            .iter()
            .map(|spot| spot.chord.symbol())
            .collect::<Vec<_>>()
            != proposal
                .chords
                .iter()
                .map(|new| new.chord.symbol())
                .collect::<Vec<_>>();
        prop_assert!(changed, "{proposal:?}");
        prop_assert!(proposal.melody.iter().all(|one| !one.is_misfit()));
        let plain = |new: &NewChord| new.chord.root().alter().abs() < 2;
        prop_assert!(proposal.chords.iter().all(plain));
        prop_assert!(sings_everything(old, &proposal));
        let place = TECHNIQUES
            .iter()
            .position(|way| way.name == proposal.technique);
        let order = (proposal.spots.start, place.unwrap());
        prop_assert!(last <= order);
        last = order;
    }
    Ok(())
}

/// The new chords stand where the proposal says once the page is read, and fill the old time.
fn fills(old: &[Spot<'_>], proposal: &Proposal, read: &Chart) -> Result<(), TestCaseError> {
    let slots = read.slots();
    for new in &proposal.chords {
        let there = slots.iter().any(|slot| {
            let time = (slot.bar, slot.beat, slot.beats);
            time == (new.bar, new.beat, new.beats) && slot.symbol.text() == new.chord.symbol()
        });
        prop_assert!(there, "{new:?}");
        let inside = |spot: &Spot<'_>| spot.bar == new.bar;
        let bar = old.iter().find(|spot| inside(spot));
        prop_assert!(
            bar.is_some_and(|bar| new.beat + new.beats <= bar.bar_beats + Beats::whole(1))
        );
    }
    let before: Beats = old.iter().map(|spot| spot.beats).sum();
    let after: Beats = proposal.chords.iter().map(|new| new.beats).sum();
    prop_assert_eq!(before, after);
    Ok(())
}

/// Every note of the replaced spots is answered for.
fn sings_everything(old: &[Spot<'_>], proposal: &Proposal) -> bool {
    old.iter().all(|spot| {
        spot.melody_notes.iter().all(|note| {
            let answered =
                |one: &crate::harmony::MelodyFit| one.bar == spot.bar && one.note == *note;
            proposal.melody.iter().any(answered)
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases(75, 150)))]

    #[test]
    fn every_proposal_can_be_written_read_and_sung(text in page()) {
        let chart = chart::read(&text).unwrap();
        check(&Stage::of(chart.clone()), &chart)?;
    }

    #[test]
    fn the_same_passage_gives_the_same_proposals(text in page()) {
        let chart = chart::read(&text).unwrap();
        let stage = Stage::of(chart);
        prop_assert_eq!(stage.all(), stage.all());
    }
}

#[test]
fn random_pages_meet_every_technique() {
    use proptest::strategy::ValueTree;
    use proptest::test_runner::TestRunner;
    let mut runner = TestRunner::deterministic();
    let mut met: BTreeMap<&str, usize> = BTreeMap::new();
    for _ in 0..3000 {
        if met.len() == TECHNIQUES.len() {
            break;
        }
        let text = page().new_tree(&mut runner).unwrap().current();
        let stage = Stage::of(chart::read(&text).unwrap());
        for proposal in stage.all() {
            *met.entry(proposal.technique).or_default() += 1;
        }
    }
    let missing = TECHNIQUES.iter().find(|way| !met.contains_key(way.name));
    assert!(missing.is_none(), "{met:?}");
}

#[test]
fn an_empty_passage_has_no_proposals() {
    let passage = Passage {
        spots: &[],
        next: None,
    };
    assert!(proposals(&passage).is_empty());
}
