//! Other chords under the same tune: what holds of every proposal, and of the pages made of them.

use std::collections::{BTreeMap, BTreeSet};

use compline::arrange::{Cache, Settings, arrange};
use compline::chart::{self, Chart, Replacement};
use compline::reharm::{
    AskedPlaces, ChangeWeights, Listed, Ranking, Rung, Terms, Ways, changes, priced, reharm,
    replaced, usual_changes, versions, worth_a_change,
};

use crate::data::{data, every};
use crate::folk;

fn demo_charts() -> Vec<(String, Chart)> {
    let mut paths: Vec<_> = std::fs::read_dir("charts")
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    let read = |path: &std::path::PathBuf| {
        let text = std::fs::read_to_string(path).unwrap();
        (path.display().to_string(), chart::read(&text).unwrap())
    };
    paths.iter().map(read).collect()
}

/// Every note of the tune, held against the chord that sounds under it on the new page by the table
/// of what a chord takes, written down here once more: semitones above the root.
fn carries(symbol: &str, above: i32) -> bool {
    let chord = compline::chord::Chord::read(symbol).unwrap();
    let tones = || {
        chord
            .tones()
            .iter()
            .map(|tone| i32::from(tone.degree.class()))
    };
    let has = |class: i32| tones().any(|tone| tone == class);
    let bass = chord
        .bass()
        .map(|bass| chord.root().class().up_to(bass.class()).0);
    if has(above) || bass == Some(above) {
        return true;
    }
    // A foreign sound under a tune: the natural 4 or 7 of a dominant, the half steps of the others.
    let refused: &[i32] = match (has(3) && !has(4), has(4), has(10)) {
        (true, _, true) if has(6) => &[1, 4, 7, 9, 11],
        (true, _, false) if has(6) => &[1, 4, 7, 10],
        (_, true, true) => &[5, 11],
        (true, _, true) => &[1, 4, 6, 11],
        (true, _, false) => &[1, 4, 6, 8],
        (_, true, false) => &[1, 3, 8, 10],
        _ => &[],
    };
    let suspended = has(5) && !has(3) && !has(4) && !refused.contains(&above);
    suspended || !refused.contains(&above)
}

/// The notes of a new page that its new chords can't carry, passing ones left out.
fn refused(listed: &Listed) -> Vec<String> {
    let under = |bar: usize, beat| {
        let chords = listed.proposal.chords.iter();
        chords
            .rev()
            .find(move |new| new.bar == bar && new.beat <= beat)
    };
    let two = "2".parse().unwrap();
    let melody = listed.proposal.melody.iter();
    let sung = melody.filter(|sung| sung.note.beats >= two);
    sung.filter_map(|sung| {
        let new = under(sung.bar, sung.note.beat)?;
        let above = new
            .chord
            .root()
            .class()
            .up_to(sung.note.note.name().class())
            .0;
        let symbol = new.chord.symbol();
        (!carries(symbol, above)).then(|| format!("{} over {symbol}", sung.note.note))
    })
    .collect()
}

/// What is proposed for a chart where nothing else is asked for.
pub fn listed_of(chart: &Chart, settings: &Settings) -> Vec<Listed> {
    let asked = AskedPlaces::default();
    reharm(chart, settings, &Ways::default(), &asked)
        .unwrap()
        .listed
}

fn hold(name: &str, chart: &Chart) -> usize {
    let listed = listed_of(chart, &Settings::default());
    for one in &listed {
        let why = &one.proposal.why;
        assert!(
            one.proposal.melody.iter().all(|note| !note.is_misfit()),
            "{name}: {why}"
        );
        assert_eq!(refused(one), [""; 0], "{name}: {why}");
        let page = chart.replaced(&[one.replacement()]).unwrap();
        let again = chart::read(&page.tidy()).unwrap();
        assert_eq!(again, page, "{name}: {why}");
        assert_eq!(again.before().tidy(), chart.tidy(), "{name}: {why}");
    }
    listed.len()
}

#[test]
fn the_tune_sits_on_every_proposal_for_the_demo_charts() {
    for (name, chart) in demo_charts() {
        assert!(hold(&name, &chart) > 10, "{name}");
    }
}

/// As many of the proposals as fit beside each other, tried from this one on, going round in steps
/// that meet all of them.
fn beside_each_other(listed: &[Listed], from: usize) -> Vec<Replacement> {
    let mut taken: Vec<Replacement> = Vec::new();
    for step in 0..listed.len() {
        let one = listed[(from + step * 7919) % listed.len()].replacement();
        let meets =
            |r: &Replacement| r.slots.start < one.slots.end && one.slots.start < r.slots.end;
        if !taken.iter().any(meets) {
            taken.push(one);
        }
    }
    taken
}

#[test]
fn what_is_put_in_is_taken_out_to_the_byte() {
    let twists = "; plan: none yet\nkey: F\n[A] ; plan: louder\n|: F6 | % | Gm7 C7 | % |1 F6 :|2 F7 | % ||\n\
                  [B]\n| @segno % | Bb7 / / Bdim7 @to-coda | % | % @ds-al-coda |\n[C]\n| @coda F6 | % |\n";
    let twisted = ("twists".to_owned(), chart::read(twists).unwrap());
    for (name, chart) in demo_charts().into_iter().chain([twisted]) {
        let listed = listed_of(&chart, &Settings::default());
        // Each row takes many proposals: every fifth beginning meets them all, and in a sample every fiftieth most.
        for from in every(10, (0..listed.len()).step_by(5)) {
            let all = beside_each_other(&listed, from);
            let page = chart.replaced(&all).unwrap();
            let page = chart::read(&page.tidy()).unwrap();
            assert_eq!(page.before().tidy(), chart.tidy(), "{name} from {from}");
            // Chords put in place of those that were put in are taken out with them.
            let second = listed_of(&page, &Settings::default());
            let twice = page.replaced(&beside_each_other(&second, from)).unwrap();
            assert_eq!(
                twice.before().tidy(),
                chart.tidy(),
                "{name} twice from {from}"
            );
        }
    }
}

/// Every sixth tune, in a sample every eighth of those.
#[test]
fn the_tune_sits_on_every_proposal_for_folk_tunes() {
    let Some(data) = data("abc-nottingham") else {
        return;
    };
    let charts = folk::charts(&data);
    let found: usize = every(8, charts.iter().step_by(6))
        .map(|text| hold(text, &chart::read(text).unwrap()))
        .sum();
    assert!(found > 1000, "{found}");
}

/// Every demo chart, in a sample every third.
#[test]
fn every_change_is_proved_and_never_moves_more() {
    for (name, chart) in every(3, demo_charts()) {
        proved_and_never_more(&name, &chart, false);
        proved_and_never_more(&name, &chart, true);
    }
}

#[test]
fn no_single_change_of_a_demo_chart_scores_lower() {
    let (settings, weights) = (Settings::default(), ChangeWeights::default());
    for (name, chart) in demo_charts() {
        let listed = worth_a_change(listed_of(&chart, &settings));
        let all: Vec<Replacement> = listed.iter().map(Listed::replacement).collect();
        let cache = &mut Cache::default();
        let rungs = changes(&chart, &all, &weights.terms(&listed), &settings, 1, cache).unwrap();
        // Every page with one of them, planned for itself.
        let scores = listed.iter().enumerate().filter_map(|(at, one)| {
            let page = replaced(&chart, &all, &[at]).unwrap();
            let planned = arrange(page, &settings, cache).ok()?;
            let effort = i64::try_from(planned.totals.cost.effort).unwrap();
            let judged = one.judgement;
            Some(effort + 3 * i64::from(judged.strain.total()) - 4 * i64::from(judged.leads_on))
        });
        let least = scores.min();
        let found = rungs.get(1).and_then(Option::as_ref);
        assert_eq!(found.map(Rung::score), least, "{name}");
        assert!(found.is_none_or(|rung| rung.optimal), "{name}");
    }
}

#[test]
fn no_technique_is_used_more_than_twice_and_that_is_proved() {
    let (settings, weights) = (Settings::default(), ChangeWeights::default());
    for (name, chart) in demo_charts() {
        let listed = worth_a_change(listed_of(&chart, &settings));
        let all: Vec<Replacement> = listed.iter().map(Listed::replacement).collect();
        let terms = weights.terms(&listed);
        let rungs = changes(&chart, &all, &terms, &settings, 5, &mut Cache::default()).unwrap();
        assert!(rungs.iter().flatten().count() > 3, "{name}");
        for rung in rungs.iter().flatten() {
            assert!(rung.optimal, "{name}: {:?}", rung.replacements);
            let technique = |at: &usize| listed[*at].proposal.technique;
            for at in &rung.replacements {
                let same = rung
                    .replacements
                    .iter()
                    .filter(|other| technique(other) == technique(at));
                assert!(same.count() <= 2, "{name}: {}", technique(at));
            }
        }
    }
}

/// Of every demo chart, in a sample of every third.
#[test]
fn versions_of_a_tune_are_a_third_apart() {
    let (settings, weights) = (Settings::default(), ChangeWeights::default());
    for (name, chart) in every(3, demo_charts()) {
        let listed = worth_a_change(listed_of(&chart, &settings));
        let asked = (3, usual_changes(&chart));
        let found = versions(
            &chart,
            &listed,
            weights,
            &settings,
            asked,
            &mut Cache::default(),
        );
        let found = found.unwrap();
        assert!(found.len() > 1, "{name}");
        for (at, one) in found.iter().enumerate() {
            assert!(one.rung.optimal, "{name}");
            let page = replaced(
                &chart,
                &listed.iter().map(Listed::replacement).collect::<Vec<_>>(),
                &one.taken,
            );
            assert_eq!(page.unwrap(), one.rung.chart, "{name}");
            for other in found.iter().skip(at + 1) {
                let chords = |at: &usize| (&listed[*at].slots, &listed[*at].proposal.chords);
                let shared =
                    |one: &&usize| other.taken.iter().any(|two| chords(two) == chords(one));
                let shared = one.taken.iter().filter(shared).count();
                for changes in [one.taken.len(), other.taken.len()] {
                    assert!(
                        3 * (changes - shared) >= changes,
                        "{name}: {shared} of {changes}"
                    );
                }
            }
        }
    }
}

fn proved_and_never_more(name: &str, chart: &Chart, looped: bool) {
    let settings = Settings {
        looped,
        ..Settings::default()
    };
    let listed = listed_of(chart, &settings);
    let all: Vec<Replacement> = listed.iter().map(Listed::replacement).collect();
    let rungs = changes(
        chart,
        &all,
        &Terms::default(),
        &settings,
        3,
        &mut Cache::default(),
    )
    .unwrap();
    let mut least = u64::MAX;
    for rung in rungs.iter().flatten() {
        assert!(rung.optimal, "{name}: {:?}", rung.replacements);
        let page = replaced(chart, &all, &rung.replacements).unwrap();
        assert_eq!(page, rung.chart, "{name}");
        least = least.min(rung.cost.effort);
    }
    let none = rungs.first().and_then(Option::as_ref).unwrap();
    assert!(least <= none.cost.effort, "{name}");
}

/// The proposals of a chart with their prices, ranked.
pub fn ranking_of(chart: &Chart) -> Ranking {
    let settings = Settings::default();
    let asked = AskedPlaces::default();
    let proposed = reharm(chart, &settings, &Ways::default(), &asked).unwrap();
    let priced = priced(chart, proposed, &settings, &mut Cache::default()).unwrap();
    Ranking::of(priced.listed, None)
}

#[test]
fn every_price_is_what_the_page_planned_anew_costs_more() {
    let settings = Settings::default();
    let mut cache = Cache::default();
    for (name, chart) in demo_charts() {
        let mut effort = |chart: Chart| {
            let arrangement = arrange(chart, &settings, &mut cache).unwrap();
            assert!(arrangement.totals.optimal);
            i64::try_from(arrangement.totals.cost.effort).unwrap()
        };
        let written = effort(chart.clone());
        let ranking = ranking_of(&chart);
        // Every seventh: an unoptimised build plans a page anew in some hundredths of a second.
        for one in ranking.all().step_by(7) {
            let page = chart.replaced(&[one.replacement()]).unwrap();
            assert_eq!(
                one.price,
                Some(effort(page) - written),
                "{name} {}",
                one.name
            );
        }
    }
}

#[test]
fn no_more_than_two_of_a_technique_come_before_all_others() {
    for (name, chart) in demo_charts() {
        // A dull swap, what is foreign to the tune, and a page that is listed already come after these.
        let mut pages = Vec::new();
        let mut best = ranking_of(&chart).best;
        best.retain(|one| {
            let known = pages.contains(&one.what_changes);
            pages.push(one.what_changes.clone());
            let foreign = one.judgement.is_out_of_style();
            !known && !foreign && !one.judgement.dull
        });
        let techniques: BTreeSet<&str> = best.iter().map(|one| one.proposal.technique).collect();
        let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
        for one in &best {
            let all_had = techniques.iter().all(|technique| {
                let all = best
                    .iter()
                    .filter(|one| one.proposal.technique == *technique);
                let places: BTreeSet<usize> = all.map(|one| one.slots.start).collect();
                seen.get(technique).copied().unwrap_or(0) >= places.len().min(2)
            });
            let count = seen.entry(one.proposal.technique).or_default();
            *count += 1;
            assert!(all_had || *count <= 2, "{name} {}", one.name);
        }
    }
}
