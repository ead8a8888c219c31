//! How much the joint search works out for some pages: what is searched in vain is seen here and nowhere else. The
//! numbers are those of today, none of them has to stay; what changes them is looked at.

use std::fmt::Write;

use super::{
    AskedPlaces, ChangeWeights, Listed, Ways, changes, priced, reharm, versions, worth_a_change,
};
use crate::arrange::{Cache, Settings};
use crate::chart::{Chart, Replacement, read};
use crate::optimise::Work;

/// Pages, each with how many proposals of a kind may be taken and how many changes are looked for.
const PAGES: [(&str, u32, usize); 6] = [
    ("key: C\n| Dm7 | G7 | Cmaj7 | A7 |", 9, 3),
    (
        "key: C\n| Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | C6 | C6 |",
        1,
        4,
    ),
    ("key: F\n|: Gm7 | C7 | Fmaj7 | D7 :|", 1, 3),
    (
        "key: Cm\n| Cm6 | Fm7 | Dm7b5 G7 | Cm6 |\nmel | Eb5:4 | Ab4:4 | C5:2 B4:2 | C5:4 |",
        2,
        3,
    ),
    (
        "key: Bb\nplay: A B A\n[A]\n| Cm7 F7 | Bbmaj7 |\n[B]\n| Ebmaj7 | Cm7 |",
        2,
        3,
    ),
    (
        "key: G\n| G | Em | Am | D7 |\nmel | B4:4 | G4:4 | C5:4 | A4:4 |",
        1,
        2,
    ),
];

#[test]
fn no_more_is_searched_than_was() {
    // All of it in this thread, where it is counted.
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .use_current_thread();
    let table = pool.build().unwrap().install(|| {
        let pages = PAGES.iter().map(|(page, of_a_kind, most)| {
            let weights = ChangeWeights {
                of_a_kind: *of_a_kind,
                ..ChangeWeights::default()
            };
            format!("{page}\n{}", searched(&read(page).unwrap(), weights, *most))
        });
        pages.collect::<Vec<_>>().join("\n")
    });
    insta::assert_snapshot!("searched", table);
}

fn searched(chart: &Chart, weights: ChangeWeights, most: usize) -> String {
    let (settings, cache) = (Settings::default(), &mut Cache::default());
    let found = reharm(chart, &settings, &Ways::default(), &AskedPlaces::default()).unwrap();
    let (work, found) = Work::of(|| priced(chart, found, &settings, cache).unwrap());
    let mut out = format!("  prices of {}: {work}\n", found.listed.len());
    let listed = worth_a_change(found.listed);
    let all: Vec<Replacement> = listed.iter().map(Listed::replacement).collect();
    let terms = weights.terms(&listed);
    let (work, rungs) = Work::of(|| changes(chart, &all, &terms, &settings, most, cache).unwrap());
    let proved = rungs.iter().flatten().filter(|rung| rung.optimal).count();
    writeln!(out, "  {most} changes, {proved} proved: {work}").unwrap();
    let asked = (2, most);
    let (work, found) =
        Work::of(|| versions(chart, &listed, weights, &settings, asked, cache).unwrap());
    writeln!(out, "  {} versions: {work}", found.len()).unwrap();
    out
}
