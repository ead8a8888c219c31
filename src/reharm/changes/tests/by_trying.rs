//! What the joint search is held against: every set of replacements, each with every choice of voicings.

use crate::arrange::{Arrangement, Cache, Settings, arrange};
use crate::chart::{Chart, Replacement};
use crate::optimise::{Cost, Row, step};
use crate::reharm::changes::beside::breaks;
use crate::reharm::changes::{Terms, replaced, stretches, within};
use crate::voicing::Voicing;

/// The least effort over every choice of voicings: motion, and the surcharges each time they are
/// struck; `None` where there are too many.
fn exhaustive(arrangement: &Arrangement) -> Option<u64> {
    let charged = |voicing| Some((motion_row(voicing)?, u64::from(voicing.surcharges.sum())));
    let rows: Vec<Vec<(Row, u64)>> = arrangement
        .slots
        .iter()
        .map(|slot| slot.candidates.iter().filter_map(charged).collect())
        .collect();
    // Silence is one way to play.
    let ways = |rows: &Vec<(Row, u64)>| rows.len().max(1);
    let count: usize = rows.iter().map(ways).product();
    if count > 3000 {
        return None;
    }
    let (sounding, moves) = sounding_and_moves(arrangement, &rows);
    // What each move costs, worked out once for all choices.
    let tables: Vec<Vec<Vec<u64>>> = moves
        .iter()
        .map(|&(from, to)| {
            let moved = |a: &(Row, u64), b: &(Row, u64)| {
                u64::from(step(a.0.entries(), b.0.entries()).motion)
            };
            let all = |a| rows[to].iter().map(|b| moved(a, b)).collect();
            rows[from].iter().map(all).collect()
        })
        .collect();
    let mut choice = vec![0; rows.len()];
    let mut best = u64::MAX;
    for mut number in 0..count {
        for (choice, rows) in choice.iter_mut().zip(&rows) {
            *choice = number % ways(rows);
            number /= ways(rows);
        }
        let mut effort = 0;
        for (&(from, to), table) in moves.iter().zip(&tables) {
            effort += table[choice[from]][choice[to]];
        }
        for &slot in &sounding {
            effort += rows[slot][choice[slot]].1;
        }
        best = best.min(effort);
    }
    Some(best)
}

/// The slots that sound as they are visited, and which moves on to which.
fn sounding_and_moves(
    arrangement: &Arrangement,
    rows: &[Vec<(Row, u64)>],
) -> (Vec<usize>, Vec<(usize, usize)>) {
    let visits = arrangement.performance.visits().iter().copied();
    let sounding: Vec<usize> = visits.filter(|&at| !rows[at].is_empty()).collect();
    let back = sounding.first().copied();
    let back = back.filter(|_| arrangement.settings.looped);
    let after = sounding.iter().copied().skip(1).chain(back);
    let moves = sounding.iter().copied().zip(after).collect();
    (sounding, moves)
}

fn motion_row(voicing: &Voicing) -> Option<Row> {
    Row::new(
        voicing
            .pitches()
            .map(|pitch| i16::from(pitch.midi()))
            .collect(),
    )
}

/// The least score of every number of replacements, found by trying every set of them, and the least
/// cost there is with it.
pub(super) fn by_trying(
    chart: &Chart,
    all: &[Replacement],
    terms: &Terms,
    settings: &Settings,
    most: usize,
) -> Vec<Option<(i64, Cost)>> {
    let slots = chart.slots();
    let performance = chart.performance(&slots, false).unwrap();
    let stretches = stretches(&slots, &performance);
    // One cache for all sets, but not the one of the search that is held against them.
    let (mut best, cache) = (vec![None; most + 1], &mut Cache::default());
    for set in 0..1usize << all.len() {
        let taken: Vec<usize> = (0..all.len()).filter(|at| set >> at & 1 == 1).collect();
        let whole = taken.iter().all(|&at| within(&stretches, &all[at].slots));
        let broken = |&at: &usize| {
            let mut others = taken.iter().map(|&other| &all[other]);
            others.any(|other| breaks(other, &all[at], &slots, &performance))
        };
        let apart = !taken.iter().any(broken);
        if taken.len() > most || !whole || !apart || !terms.allow(&taken) {
            continue;
        }
        let Ok(page) = replaced(chart, all, &taken) else {
            continue;
        };
        let Ok(found) = arrange(page, settings, cache) else {
            continue;
        };
        if let Some(least) = exhaustive(&found) {
            assert_eq!(found.totals.cost.effort, least);
        }
        let cost = found.totals.cost;
        let score = i64::try_from(cost.effort).unwrap() + terms.charge(&taken);
        // Within a score the effort may be any; what decides are the fields below it.
        let rest = Cost { effort: 0, ..cost };
        let this = Some((score, rest));
        if best[taken.len()].is_none() || this < best[taken.len()] {
            best[taken.len()] = this;
        }
    }
    best
}
