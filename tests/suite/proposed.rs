//! All that every technique proposes for stock progressions, and what is judged of it.
//!
//! The snapshot has a line a proposal: its name and what it replaces, then the five parts of the strain (length,
//! tones, way on, outside, degree), then how many more links lead on, then what else is said of it. Below stand
//! the proposals that held places keep out.

use compline::arrange::Settings;
use compline::chart;
use compline::reharm::{AskedPlaces, HeldBy, Judgement, Listed, Proposed, Ways, reharm};

/// Progressions that are taught as such (common practice), in major and in minor; some under a melody.
const ROWS: [&str; 26] = [
    "key: C\n| Dm7 | G7 | Cmaj7 | % |",
    "key: C\n| Dm7 G7 | Cmaj7 | Dm7 G7 | C6 |",
    "key: C\n| Cmaj7 Am7 | Dm7 G7 | Em7 A7 | Dm7 G7 | C6 |",
    "key: C\n| C7 | F7 | C7 | % | F7 | % | C7 | A7 | Dm7 | G7 | C7 | G7 |",
    "key: C\n| Cmaj7 | C7 | Fmaj7 | Fm6 | C/G A7 | Dm7 G7 | C6 | C6 |",
    "key: C\n| Cmaj7 | C#dim7 | Dm7 | D#dim7 | Em7 | A7 | Dm7 G7 | C |",
    "key: C\n| D7 | % | G7 | % | C7 | % | Fmaj7 | % |",
    "key: C\n| Fmaj7 | Bb7 | Cmaj7 | Am7 | D7 | Dm7 G7 | C6 | % |",
    "key: C\n| Em7b5 | A7b9 | Dm7 | G7 | Cmaj7 | B7 | Em7 | % |",
    "key: C\n| C | F | G | C | Am | D7 | G7 | C |",
    "key: C\n| Gsus G7 | C | Am Am/G | F | Dm7/G | C6 | F/C | C |",
    "key: C\n| Cmaj7 | % | Dbmaj7 | % | Cmaj7 | Ebmaj7 | Abmaj7 | Dbmaj7 | Cmaj7 | % |",
    "key: C\n|: Cmaj7 | Am7 | Dm7 | G7 :| C6 | C6 |",
    "key: C\nmeter: 3/4\n| Dm7 | G7 | Cmaj7 | Am7 | Dm7 | G7 | C6 | C6 |",
    "key: C\n| Dm7 | G7 | Cmaj7 | A7 |\nmel | A4:2 F4:2 | F4:2 D4:2 | E4:4 | C#5:2 E5:2 |",
    "key: C\n| C6 | Am7 | D7 | G7 |\nmel | G4:4 | E4:2 C5:2 | F#4:4 | B4:3 D5:1 |",
    "key: C\n| Dm7 | Db7 | Cmaj7 | % | Dm7 | Gm7 | Cmaj7 | % |",
    "key: C\n| Cmaj7 | Dm7 | G7 | Cmaj7 |\nmel | r:2 B4:2 | D5:4 | F5:4 | E5:4 |",
    "key: C\n| Cmaj7 | Em7 | Am7 | Fmaj7 |\nmel | r:2 C5:2 | r:2 E5:2 | r:2 A4:2 | E5:4 |",
    "key: C\n| Cmaj7 | Fmaj7 | Dm7 | G7 | C6 | C6 |\nmel | G4:2 A4:2 | E5:4 | r:2 B4:2 | D5:4 | E5:4 | C5:4 |",
    "key: Cm\n| Dm7b5 | G7b9 | Cm6 | % |",
    "key: Cm\n| Cm | Cm | Fm7 | Bb7 | Ebmaj7 | Abmaj7 | Dm7b5 G7 | Cm6 |",
    "key: Cm\n| Cm7 Bb7 | Abmaj7 G7 | Cm7 F7 | Dm7b5 G7 | Cm |",
    "key: Cm\n| Fm7 Bb7 | Ebmaj7 | Dm7b5 | G7 | Cm6 | D7 | G7 | Cm |",
    "key: Cm\n| Cm7 | F7 | Fm7 | Bb7 | Eb6 | Ab7 | G7 | Cm6 |\nmel | Eb4:4 | F4:2 Eb4:2 | C5:4 | Bb4:2 D5:2 | G4:4 | C5:4 | B4:4 | C5:4 |",
    "key: Cm\n| Bb7 | Eb6 | G7 | Cm | Bb7 | Cm7 | Fm6 | Cm |",
];

fn proposed(rows: &str, asked: &AskedPlaces) -> Proposed {
    let chart = chart::read(rows).unwrap();
    reharm(&chart, &Settings::default(), &Ways::default(), asked).unwrap()
}

fn judged(judgement: &Judgement) -> String {
    let Judgement {
        strain, leads_on, ..
    } = judgement;
    let parts = [
        strain.length,
        strain.tones,
        strain.way_on,
        strain.outside,
        strain.degree,
    ];
    let words = [
        ("idle", judgement.idle),
        ("bass only", judgement.bass_only),
        ("dull", judgement.dull),
    ];
    let words = words
        .into_iter()
        .filter(|(_, is)| *is)
        .map(|(word, _)| word);
    let [parts, words] = [
        parts.map(|part| part.to_string()).join(" "),
        words.collect::<Vec<_>>().join(" "),
    ];
    format!("{parts} | {leads_on:+} {words}")
        .trim_end()
        .to_owned()
}

fn line(one: &Listed) -> String {
    format!(
        "{}: {} | {}\n",
        one.name,
        one.in_short(),
        judged(&one.judgement)
    )
}

/// What holds a place, in a letter.
fn letter(held: &HeldBy) -> String {
    format!("{held:?}")
}

fn kept_out(found: &Proposed) -> String {
    let kept = found.kept_out.iter().map(|one| {
        let holds: Vec<String> = one.holds.iter().map(letter).collect();
        format!("  {} is kept out by {}\n", one.name, holds.join(" "))
    });
    kept.collect()
}

#[test]
fn stock_progressions_have_the_proposals_of_the_table() {
    let mut table = String::new();
    for rows in ROWS {
        let found = proposed(rows, &AskedPlaces::default());
        let lines: String = found.listed.iter().map(line).collect();
        table += &format!("{rows}\n\n{lines}{}\n", kept_out(&found));
    }
    insta::assert_snapshot!("proposals", table);
}

/// With everything free what was kept out is listed with the rest, and nothing else is.
#[test]
fn what_is_free_is_not_kept_out() {
    for rows in ROWS {
        let free = AskedPlaces {
            free: (0..64).collect(),
            ..AskedPlaces::default()
        };
        let (held, free) = (
            proposed(rows, &AskedPlaces::default()),
            proposed(rows, &free),
        );
        assert_eq!(free.kept_out, [], "{rows}");
        let mut names: Vec<String> = held.listed.iter().map(|one| one.name.to_string()).collect();
        names.extend(held.kept_out.iter().map(|one| one.name.to_string()));
        assert!(
            free.listed
                .iter()
                .map(|one| one.name.to_string())
                .all(|name| names.contains(&name)),
            "{rows}"
        );
    }
}
