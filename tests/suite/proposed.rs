//! All that every technique proposes for stock progressions, and what is judged of it.
//!
//! The snapshot has a line a proposal: its name and what it replaces, then the six parts of the strain (length,
//! tones, way on, outside, degree, style), then how many more links lead on, then what else is said of it. Below stand
//! the proposals that held places keep out.

use std::collections::BTreeMap;

use compline::arrange::Settings;
use compline::chart;
use compline::harmony::{Passage, Spot};
use compline::reharm::{AskedPlaces, HeldBy, Judgement, Listed, Proposed, Ways, proposals, reharm};

/// Progressions that are taught as such (common practice), in major and in minor; some under a melody.
const ROWS: [&str; 29] = [
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
    "key: C\n| Cmaj7 | Dm7 | Fmaj7 | Dm7 | Fmaj7 | Dm7 | G7 | Cmaj7 |",
    "key: Cm\n| Fm7 | Bb7 | G7 | Cm |\nmel | Eb5:4 | F5:4 | G5:4 | C5:4 |",
    "key: Cm\n| Fm7 | Dm7b5 | G7 | Cm6 |\nmel | C5:4 | Ab4:4 | B4:4 | G4:4 |",
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
        strain.parts().map(|part| part.to_string()).join(" "),
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

/// What leads to one ending and not to the other is proposed before neither.
#[test]
fn what_leads_on_leads_on_to_every_ending() {
    let leads = |endings: &str| {
        let found = proposed(
            &format!("key: C\n|: C6 | Am7 {endings} | G7 | C6 |"),
            &AskedPlaces::default(),
        );
        let led = found
            .listed
            .iter()
            .filter(|one| one.name.to_string().starts_with("2:secondary-dominant"));
        led.map(Listed::in_short).collect::<Vec<_>>()
    };
    assert_eq!(leads("|1 Dm7 :|2 Dm7"), ["Am7 A7 for Am7", "A7 for Am7"]);
    assert_eq!(leads("|1 Em7 :|2 Em7"), ["Am7 B7 for Am7"]);
    assert_eq!(leads("|1 Dm7 :|2 Em7"), [""; 0]);
    assert_eq!(leads("|1 Fmaj7 :|2 Em7"), [""; 0]);
}

/// Passages of a chord a bar, each with a melody that the techniques accept.
const SUNG: [(&str, &[&str], &[&str]); 8] = [
    ("C", &["Cmaj7", "Dm7", "G7", "Cmaj7"], &["r", "r", "r", "r"]),
    ("C", &["C", "Am7", "Fmaj7", "C"], &["r", "r", "r", "r"]),
    ("C", &["Cmaj7", "Em7", "A7", "Dm7"], &["r", "r", "r", "r"]),
    (
        "C",
        &["Am7", "Dm7", "G7", "Cmaj7"],
        &["G4", "A4", "B4", "E4"],
    ),
    ("Cm", &["Cm", "Cm", "G7", "Cm"], &["r", "r", "r", "r"]),
    (
        "Cm",
        &["Fm7", "Bb7", "Ebmaj7", "Cm"],
        &["Ab4", "D4", "G4", "r"],
    ),
    ("Cm", &["Cm", "Fm7", "Dm7b5", "G7"], &["r", "r", "r", "r"]),
    (
        "Cm",
        &["Fm7", "G7", "Dm7b5", "Cm"],
        &["C5", "D5", "F4", "r"],
    ),
];

/// What is proposed where the melody holds a note over one bar: the technique with its chords.
fn proposed_under(key: &str, chords: &[&str], melody: &[&str], bar: usize) -> Vec<String> {
    let notes: Vec<String> = melody.iter().map(|note| format!("{note}:4")).collect();
    let rows = format!(
        "key: {key}\n| {} |\nmel | {} |",
        chords.join(" | "),
        notes.join(" | ")
    );
    let chart = chart::read(&rows).unwrap();
    let slots = chart.slots();
    let spots: Vec<Spot<'_>> = slots
        .iter()
        .filter_map(|slot| Spot::of(slot, chart.key()))
        .collect();
    let found = proposals(&Passage {
        spots: &spots,
        next: None,
    });
    let touched = found
        .iter()
        .filter(|proposal| proposal.spots.contains(&bar));
    let told = touched.map(|proposal| {
        let new: Vec<&str> = proposal
            .chords
            .iter()
            .map(|new| new.chord.symbol())
            .collect();
        format!("{} {}", proposal.technique, new.join(" "))
    });
    told.collect()
}

#[test]
fn every_technique_accepts_the_notes_of_the_table() {
    let names = [
        "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
    ];
    let mut table = String::new();
    for (key, chords, melody) in SUNG {
        for (bar, chord) in chords.iter().enumerate() {
            let mut under: BTreeMap<String, Vec<&str>> = BTreeMap::new();
            for name in names {
                let sung = format!("{name}5");
                let mut melody = melody.to_vec();
                melody[bar] = &sung;
                for told in proposed_under(key, chords, &melody, bar) {
                    under.entry(told).or_default().push(name);
                }
            }
            table += &format!("{key}: {} with a note over {chord}\n", chords.join(" "));
            let lines = under
                .iter()
                .map(|(told, names)| format!("  {told} | {}\n", names.join(" ")));
            table += &lines.collect::<String>();
        }
    }
    insta::assert_snapshot!("accepted", table);
}
