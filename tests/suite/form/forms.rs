//! Forms as they are found in print, each with the order of its bars written out by hand.
//!
//! The chords only fill the bars: bars are counted from 1 in the order they stand on the page.

use super::{bars, read};

/// What it shows, the chart, and the bars as they are played.
type Form = (&'static str, &'static str, &'static str);

const REPEATS: [Form; 14] = [
    ("no sign at all", "| C | F | G |", "1 2 3"),
    ("one bar", "| C |]", "1"),
    ("a repeat", "|: C | F :| G |", "1 2 1 2 3"),
    ("a repeat without a start", "| C | F :| G |", "1 2 1 2 3"),
    (
        "a repeat without a start after another",
        "|: C :| F | G :|",
        "1 1 2 3 2 3",
    ),
    (
        "a repeat without a start after a double bar",
        "| C || F | G :|",
        "1 2 3 2 3",
    ),
    (
        "a repeat without a start under a heading",
        "[A]\n| C |\n[B]\n| F | G :|",
        "1 2 3 2 3",
    ),
    ("a count", "|: C | F :|x3 G |", "1 2 1 2 1 2 3"),
    (
        "two repeats back to back",
        "|: C | F :|: G :| C |",
        "1 2 1 2 3 3 4",
    ),
    ("two repeats in a row, one sign", "|: C :: F :|", "1 1 2 2"),
    (
        "a repeat in a repeat",
        "|: C |: F :| G :|",
        "1 2 2 3 1 2 2 3",
    ),
    (
        "counted, in a repeat",
        "|: C |: F :|x3 G :|",
        "1 2 2 2 3 1 2 2 2 3",
    ),
    (
        "two in one that starts with them",
        "|: C |: F :|: G :| C :|x2",
        "1 2 2 3 3 4 1 2 2 3 3 4",
    ),
    (
        "a repeat over a heading",
        "[A]\n|: C |\n[B]\n| F :| G |",
        "1 2 1 2 3",
    ),
];

const ENDINGS: [Form; 18] = [
    (
        "a repeat that ends where the first ending of the one around it starts",
        "|: C |: F :|1 G :|2 C ||",
        "1 2 2 3 1 2 2 4",
    ),
    (
        "the same, both with endings",
        "|: C |: F |1 G :|2 C :|1 D :|2 E ||",
        "1 2 3 2 4 5 1 2 3 2 4 6",
    ),
    ("two endings", "|: C | F |1 G :|2 C || F |", "1 2 3 1 2 4 5"),
    (
        "two endings without a start",
        "| C | F |1 G :|2 C |",
        "1 2 3 1 2 4",
    ),
    (
        "long endings",
        "|: C |1 F | G :|2 F | C || G |",
        "1 2 3 1 4 5 6",
    ),
    (
        "the last ending closed",
        "|: C |1 F :|2 G :| C |",
        "1 2 1 3 4",
    ),
    ("three endings", "|: C |1 F :|2 G :|3 C ||", "1 2 1 3 1 4"),
    (
        "first and third",
        "|: C |1,3 F :|2 G :| C |",
        "1 2 1 3 1 2 4",
    ),
    (
        "first to third, then the last",
        "|: C |1-3 F :|4 G ||",
        "1 2 1 2 1 2 1 3",
    ),
    ("one ending for both", "|: C |1,2 F :| G |", "1 2 1 2 3"),
    (
        "an ending out of order",
        "|: C |2 F :|1 G :| C |",
        "1 3 1 2 4",
    ),
    (
        "endings, then a repeat",
        "|: C |1 F :|2 G |: C :| F |",
        "1 2 1 3 4 4 5",
    ),
    (
        "endings, then a repeat without a start",
        "|: C |1 F :|2 G || C | F :|",
        "1 2 1 3 4 5 4 5",
    ),
    (
        "endings, then the same without a start",
        "|: C |1 F :|2 G :| C |1 F :|2 G ||",
        "1 2 1 3 4 5 4 6",
    ),
    (
        "a repeat in the first ending",
        "|: C |1|: F :| G :|2 C ||",
        "1 2 2 3 1 4",
    ),
    (
        "a repeat in the last ending",
        "|: C |1 F :|2|: G :| C || F |",
        "1 2 1 3 3 4 5",
    ),
    (
        "endings in a repeat",
        "|: C |: F |1 G :|2 C || F :|",
        "1 2 3 2 4 5 1 2 3 2 4 5",
    ),
    (
        "endings in endings",
        "|: C |1|: F |1 G :|2 C || F :|2 G ||",
        "1 2 3 2 4 5 1 6",
    ),
];

const JUMPS: [Form; 23] = [
    ("da capo", "| C | F @dc |", "1 2 1 2"),
    ("da capo, and a fine", "| C @fine | F @dc |", "1 2 1"),
    (
        "da capo al fine",
        "| C | F @fine | G | C @dc-al-fine |]",
        "1 2 3 4 1 2",
    ),
    ("dal segno", "| C | F @segno | G @ds |", "1 2 3 2 3"),
    (
        "dal segno al fine",
        "| C | F @segno | G @fine | C @ds-al-fine |",
        "1 2 3 4 2 3",
    ),
    (
        "da capo al coda",
        "| C | F @to-coda | G | C @dc-al-coda || F @coda | C |]",
        "1 2 3 4 1 2 5 6",
    ),
    (
        "dal segno al coda",
        "| C | F @segno | G @to-coda | C | F @ds-al-coda || G @coda | C |]",
        "1 2 3 4 5 2 3 6 7",
    ),
    (
        "a coda that is run into",
        "| C | F || G @coda | C |",
        "1 2 3 4",
    ),
    ("a segno nobody goes back to", "| C @segno | F |", "1 2"),
    (
        "a fine where the piece ends anyway",
        "| C | F @fine |]",
        "1 2",
    ),
    (
        "bars after the jump are passed over to",
        "| C | F @dc | G |",
        "1 2 1 2 3",
    ),
    (
        "jump and segno in one bar",
        "| C | F @segno @ds | G |",
        "1 2 2 3",
    ),
    (
        "fine and jump in one bar",
        "| C | F @fine @dc-al-fine |",
        "1 2 1 2",
    ),
    (
        "two jumps",
        "| C @segno | F @ds | G @dc | C |",
        "1 2 1 2 3 1 2 3 4",
    ),
    (
        "repeats are not taken again",
        "|: C | F :| G @dc |",
        "1 2 1 2 3 1 2 3",
    ),
    (
        "the jump waits for the repeat",
        "|: C | F @dc :| G |",
        "1 2 1 2 1 2 3",
    ),
    (
        "only the last ending after the jump",
        "|: C |1 F :|2 G @fine || C | F @dc-al-fine |",
        "1 2 1 3 4 5 1 3",
    ),
    (
        "the jump in the last ending",
        "|: C @segno | F @to-coda |1 G :|2 C @ds-al-coda || F @coda |",
        "1 2 3 1 2 4 1 2 5",
    ),
    (
        "a repeat in the coda is taken",
        "| C @to-coda | F @dc-al-coda || G @coda |: C :|x3 F |",
        "1 2 1 3 4 4 4 5",
    ),
    (
        "a coda inside its repeat",
        "| C @to-coda | F @dc-al-coda |: G @coda :| C |",
        "1 2 1 3 3 4",
    ),
    (
        "the fine of the coda",
        "| C @to-coda | F @dc-al-coda || G @coda | C @fine |]",
        "1 2 1 3 4",
    ),
    (
        "dal segno al coda, endings, a coda under its heading",
        "[Intro]\n| C | F |\n[A]\n|: C @segno | F | G @to-coda |1 F :|2 C ||\n\
         [B]\n| F | G @ds-al-coda ||\n[Coda]\n| C @coda | F @fine |]",
        "1 2 3 4 5 6 3 4 5 7 8 9 3 4 5 10 11",
    ),
    (
        "the segno in a repeat",
        "| C |: F | G @segno :| C @ds | F |",
        "1 2 3 2 3 4 3 4 5",
    ),
];

const PLAY: [Form; 8] = [
    (
        "sections in their order",
        "play: A A B A\n[A]\n| C | F |\n[B]\n| G |",
        "1 2 1 2 3 1 2",
    ),
    (
        "a section left out",
        "play: A C\n[A]\n| C |\n[B]\n| F |\n[C]\n| G |",
        "1 3",
    ),
    (
        "repeats in their sections",
        "play: B A B\n[A]\n|: C :|\n[B]\n| F |1 G :|2 C |",
        "2 3 2 4 1 1 2 3 2 4",
    ),
    (
        "the order of the page",
        "play: A B\n[A]\n| C @fine |\n[B]\n| F @dc-al-fine |",
        "1 2 1",
    ),
    (
        "a repeat over the heading, in the order of the page",
        "play: A B\n[A]\n|: C |\n[B]\n| F :|",
        "1 2 1 2",
    ),
    (
        "two sections of one name",
        "play: A B A\n[A]\n| C |\n[B]\n| F |\n[A]\n| G |",
        "1 2 3",
    ),
    (
        "two of one name, twice round",
        "play: A B A A B A\n[A]\n| C |\n[B]\n| F |\n[A]\n| G |",
        "1 2 3 1 2 3",
    ),
    (
        "signs without jumps",
        "play: A A B A\n[A]\n| C @segno |\n[B]\n| F @fine |",
        "1 1 2 1",
    ),
];

#[test]
fn every_form_is_played_as_written_out() {
    for (what, chart, expected) in all() {
        let order = read(chart).play_order();
        let order = order.unwrap_or_else(|problems| panic!("{what}: {chart}\n{problems:#?}"));
        let played: Vec<String> = bars(&order).iter().map(usize::to_string).collect();
        assert_eq!(played.join(" "), expected, "{what}: {chart}");
    }
}

fn all() -> impl Iterator<Item = Form> {
    let forms = [&REPEATS[..], &ENDINGS[..], &JUMPS[..], &PLAY[..]];
    forms.into_iter().flatten().copied()
}

#[test]
fn a_play_order_is_printed_in_runs() {
    let knot = "[Intro]\n| C | F |\n[A]\n|: C @segno | F | G @to-coda |1 F :|2 C ||\n\
                [B]\n| F | G @ds-al-coda ||\n[Coda]\n| C @coda | F @fine |]";
    let order = read(knot).play_order().unwrap();
    let expected = "Intro bars 1-2, A bars 3-5, ending 1 bar 6, repeat A 3-5, ending 2 bar 7, \
                    B bars 8-9, D.S. al Coda to A 3-5, to the coda, Coda 10-11";
    assert_eq!(order.to_string(), expected);
    let order = read("play: B A A\n[A]\n| C |\n[B]\n|: F | 2/4 G :|")
        .play_order()
        .unwrap();
    assert_eq!(
        order.to_string(),
        "B bars 2-3, repeat B 2-3, A bar 1, A bar 1"
    );
    assert_eq!((order.bars(), order.beats()), (6, 20));
    let passes: Vec<usize> = order.visits().iter().map(|visit| visit.pass).collect();
    assert_eq!(passes, [1, 1, 2, 2, 1, 2]);
}

#[test]
fn a_run_ends_where_a_repeat_starts_and_where_it_is_over() {
    let reel = "|: C | F |1 G :|2 C ||: F | G :| Am | C |]";
    let order = read(reel).play_order().unwrap();
    let expected =
        "bars 1-2, ending 1 bar 3, repeat 1-2, ending 2 bar 4, bars 5-6, repeat 5-6, bars 7-8";
    assert_eq!(order.to_string(), expected);
}

#[test]
fn there_are_many_forms_and_no_two_are_the_same() {
    let mut charts: Vec<&str> = all().map(|(_, chart, _)| chart).collect();
    charts.sort_unstable();
    charts.dedup();
    assert_eq!(charts.len(), all().count());
    assert!(charts.len() >= 30);
}
