//! Roads that cannot be played: each is a mistake with its sentence, at its place.

use super::problems;

/// A chart, the text that is marked, how often that text stands before it, and the sentence.
type Mistake = (&'static str, &'static str, usize, &'static str);

const MISTAKES: [Mistake; 34] = [
    // Endings and repeats.
    ("| C |1 F | G |", "|1", 0, "an ending outside a repeat"),
    ("|1 C | F |", "|1", 0, "an ending outside a repeat"),
    ("|: C :|2 F |", ":|2", 0, "an ending outside a repeat"),
    ("|: C |1 F :| G |", "|1", 0, "pass 2 of 2 has no ending"),
    ("|: C |1 F :|3 G ||", ":|3", 0, "pass 2 of 3 has no ending"),
    (
        "|: C |1,2 F :|x4|3 G ||",
        ":|x4|3",
        0,
        "pass 4 of 4 has no ending",
    ),
    ("|: C |1,2 F :|2 G ||", ":|2", 0, "pass 2 has two endings"),
    (
        "|: C |1 F :|x2|2 G :|3 C ||",
        ":|x2|2",
        0,
        "played 2 times, but there is an ending 3",
    ),
    (
        "|: C |1 F |2 G :| C |",
        "|1",
        0,
        "this ending is not the last, but it does not go back",
    ),
    ("| C |: F | G |", "|:", 0, "this repeat is never closed"),
    ("|: C |1 F | G |", "|:", 0, "this repeat is never closed"),
    // Signs that are not there, or twice.
    (
        "| C | F @ds |",
        "@ds",
        0,
        "a jump to nowhere: there is no `@segno`",
    ),
    (
        "| C | F @ds-al-fine | G @fine |",
        "@ds-al-fine",
        0,
        "a jump to nowhere: there is no `@segno`",
    ),
    (
        "| C @to-coda | F @dc-al-coda |",
        "@to-coda",
        0,
        "a jump to nowhere: there is no `@coda`",
    ),
    (
        "| C @segno | F @segno | G @ds |",
        "@segno",
        1,
        "a second `@segno`",
    ),
    (
        "| C @to-coda | F @dc-al-coda | G @coda | C @coda |",
        "@coda",
        1,
        "a second `@coda`",
    ),
    (
        "| C | F @dc-al-fine |",
        "@dc-al-fine",
        0,
        "there is no `@fine` to play to",
    ),
    (
        "| C | F @dc-al-coda | G @coda |",
        "@dc-al-coda",
        0,
        "nothing says where to leave for the coda",
    ),
    // Goals that are not met.
    (
        "| C | F @dc-al-fine | G @fine |",
        "@dc-al-fine",
        0,
        "after this jump the fine is never met",
    ),
    (
        "| C @fine | F @segno | G @ds-al-fine |",
        "@ds-al-fine",
        0,
        "after this jump the fine is never met",
    ),
    (
        "| C @to-coda | F @segno | G @ds-al-coda | C @coda |",
        "@ds-al-coda",
        0,
        "after this jump the way to the coda is never met",
    ),
    (
        "| C @segno | F @ds-al-coda | G @to-coda | C @coda |",
        "@ds-al-coda",
        0,
        "after this jump the way to the coda is never met",
    ),
    // Words that are never obeyed.
    ("| C @fine | F |", "@fine", 0, "this fine is never met"),
    (
        "| C @fine | F | G @dc @fine |",
        "@fine",
        1,
        "this fine is never met",
    ),
    (
        "| C @fine | F @to-coda | G @dc-al-coda || C @coda |",
        "@fine",
        0,
        "this fine is never met",
    ),
    (
        "| C @to-coda | F @dc | G @coda |",
        "@to-coda",
        0,
        "this way to the coda is never taken",
    ),
    (
        "| C @to-coda | F @to-coda | G @dc-al-coda | C @coda |",
        "@to-coda",
        1,
        "this way to the coda is never taken",
    ),
    (
        "| C @fine | F @dc-al-fine | G @dc |",
        "@dc",
        1,
        "this jump is never taken",
    ),
    // Bars that are never reached.
    (
        "| C @fine | F @dc-al-fine | G | C |",
        "G",
        0,
        "this bar and the 1 after it are never played",
    ),
    (
        "| C @fine | F @dc-al-fine | G |",
        "G",
        0,
        "this bar is never played",
    ),
    (
        "| C @fine | F @dc-al-fine |: G :|",
        ":|",
        0,
        "this repeat sign is never reached",
    ),
    // Beside `play`.
    (
        "play: A A B\n[A]\n| C @segno |\n[B]\n| F @ds |",
        "@ds",
        0,
        "a jump, where `play` already says the order",
    ),
    (
        "play: A B A\n[A]\n|: C |\n[B]\n| F :|",
        "|:",
        0,
        "this repeat is not closed in its section, and `play` takes the sections apart",
    ),
    // Too long.
    (
        "|: C |: F |: G :|x99 C :|x99 F :|x99",
        ":|x99",
        2,
        "played out, this chart has more than 4000 bars",
    ),
];

#[test]
fn every_mistake_has_its_sentence_at_its_place() {
    for (chart, marked, before, sentence) in MISTAKES {
        let problems = problems(chart);
        let first = problems.first().unwrap();
        assert_eq!(first.message, sentence, "{chart}\n{problems:#?}");
        let (at, _) = chart.match_indices(marked).nth(before).unwrap();
        let trimmed = chart[first.span.clone()].trim();
        let starts = first.span.start + chart[first.span.clone()].find(trimmed).unwrap();
        assert_eq!((starts, trimmed), (at, marked), "{chart}");
        assert_eq!(problems.len(), 1, "{chart}\n{problems:#?}");
    }
}

#[test]
fn all_mistakes_are_reported_at_once_in_the_order_of_the_page() {
    let problems = problems("| C @ds | F |1 G | C @dc-al-fine |");
    let sentences: Vec<&str> = problems.iter().map(|p| p.message.as_str()).collect();
    let expected = [
        "a jump to nowhere: there is no `@segno`",
        "an ending outside a repeat",
        "there is no `@fine` to play to",
    ];
    assert_eq!(sentences, expected);
}

#[test]
fn repeats_that_would_take_for_ever_are_refused_at_once() {
    let nested = "|: C ".repeat(60) + "|" + &" F :|x99".repeat(60);
    let start = std::time::Instant::now();
    let sentence = &problems(&nested)[0].message;
    assert!(sentence.contains("more than 4000 bars"), "{sentence}");
    assert!(start.elapsed().as_secs() < 5, "{:?}", start.elapsed());
}

#[test]
fn sections_played_for_ever_are_refused() {
    let chart = format!("play: {}\n[A]\n|: C :|x99", "A ".repeat(2_000));
    let sentence = &problems(&chart)[0].message;
    assert!(sentence.contains("more than 4000 bars"), "{sentence}");
}
