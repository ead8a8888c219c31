//! The lattice against every set of replacements, each with every choice of voicings.

use proptest::prelude::*;

use super::*;
use crate::arrange::Arrangement;
use crate::chart::{Beats, NewChord, read};
use crate::chord::Chord;
use crate::plan::{Row, step};

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
fn replacement(chart: &Chart, (at, first, second, kind): (usize, usize, usize, u8)) -> Replacement {
    let slots = chart.slots();
    let at = at % slots.len();
    let slot = &slots[at];
    let new = |beat: Beats, beats: Beats, symbol: usize| NewChord {
        bar: slot.bar,
        beat,
        beats,
        chord: Chord::read(NEW[symbol]).unwrap(),
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

/// The least motion over every choice of voicings; `None` where there are too many.
fn exhaustive(arrangement: &Arrangement) -> Option<u64> {
    let rows: Vec<Vec<Row>> = arrangement
        .slots
        .iter()
        .map(|slot| slot.candidates.iter().filter_map(motion_row).collect())
        .collect();
    let count: usize = rows.iter().map(Vec::len).product();
    let mut best = u64::MAX;
    for mut number in (0..count).take_while(|_| count <= 3000) {
        let choice: Vec<&Row> = rows
            .iter()
            .map(|rows| {
                let row = &rows[number % rows.len()];
                number /= rows.len();
                row
            })
            .collect();
        let played = &arrangement.played;
        let back = [played[0]]
            .into_iter()
            .filter(|_| arrangement.settings.looped);
        let after = played.iter().skip(1).copied().chain(back);
        let moved = |(from, to): (&usize, usize)| {
            u64::from(step(choice[*from].entries(), choice[to].entries()).motion)
        };
        best = best.min(played.iter().zip(after).map(moved).sum());
    }
    (count <= 3000).then_some(best)
}

fn motion_row(voicing: &crate::voicing::Voicing) -> Option<Row> {
    Row::new(
        voicing
            .pitches()
            .map(|pitch| i16::from(pitch.midi()))
            .collect(),
    )
}

/// The least cost of every number of replacements, found by trying every set of them.
fn by_trying(
    chart: &Chart,
    all: &[Replacement],
    settings: &Settings,
    most: usize,
) -> Vec<Option<Cost>> {
    let slots = chart.slots();
    let played = chart.road().unwrap().played_slots(&slots);
    let stretches = stretches(&slots, &played);
    let mut best = vec![None; most + 1];
    for set in 0..1usize << all.len() {
        let taken: Vec<usize> = (0..all.len()).filter(|at| set >> at & 1 == 1).collect();
        let whole = taken.iter().all(|&at| within(&stretches, &all[at].slots));
        if taken.len() > most || !whole {
            continue;
        }
        let Ok(page) = replaced(chart, all, &taken) else {
            continue;
        };
        let Ok(found) = arrange(page, settings, &mut Cache::default()) else {
            continue;
        };
        if let Some(least) = exhaustive(&found) {
            assert_eq!(found.totals.cost.motion, least);
        }
        let cost = Some(found.totals.cost);
        if best[taken.len()].is_none() || cost < best[taken.len()] {
            best[taken.len()] = cost;
        }
    }
    best
}

fn compare(chart: &Chart, all: &[Replacement], settings: &Settings) -> usize {
    let most = all.len().min(3);
    let rungs = changes(chart, all, settings, most, &mut Cache::default()).unwrap();
    let tried = by_trying(chart, all, settings, most);
    let mut proved = 0;
    for (count, (rung, tried)) in rungs.iter().zip(&tried).enumerate() {
        let Some(rung) = rung else {
            assert_eq!(*tried, None, "{count} of {all:?}\n{chart}");
            continue;
        };
        assert_eq!(rung.replacements.len(), count);
        if rung.optimal {
            proved += 1;
            assert_eq!(Some(rung.cost), *tried, "{count} of {all:?}\n{chart}");
        } else {
            assert!(Some(rung.cost) >= *tried, "{count} of {all:?}\n{chart}");
        }
    }
    proved
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn no_set_of_replacements_moves_less(
        bars in proptest::collection::vec(0..BARS.len(), 4),
        form in 0..FORMS.len(),
        wishes in proptest::collection::vec((0..8usize, 0..8usize, 0..8usize, 0..3u8), 1..5),
        looped in any::<bool>(),
    ) {
        let chart = page(&bars, form);
        let all: Vec<Replacement> = wishes.into_iter().map(|w| replacement(&chart, w)).collect();
        compare(&chart, &all, &settings(looped));
    }
}

#[test]
fn chords_and_voicings_are_decided_together_and_proved() {
    let chart = page(&[0, 1, 2, 0], 0);
    let all: Vec<Replacement> = [(1, 0, 0, 2), (6, 0, 0, 2), (4, 6, 0, 2), (3, 0, 1, 0)]
        .map(|wish| replacement(&chart, wish))
        .to_vec();
    assert_eq!(compare(&chart, &all, &settings(false)), 4);
}

#[test]
fn one_replacement_is_one_on_the_page_however_often_it_is_played() {
    let chart = page(&[0, 1, 0, 1], 1);
    let all = [replacement(&chart, (1, 0, 0, 2))];
    let rungs = changes(&chart, &all, &settings(false), 1, &mut Cache::default()).unwrap();
    let one = rungs[1].as_ref().unwrap();
    assert!(
        one.optimal && one.chart.tidy().contains("|: Dm7 Db7 | Cmaj7 :|"),
        "{}",
        one.chart
    );
}
