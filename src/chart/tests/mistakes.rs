//! Every kind of mistake: what is said, and exactly which text is marked.

use crate::chart::sizes::MOST_PLAYED;
use crate::chart::{Diagnostic, read, read_bytes};

/// The text without its `«` `»`, and the bytes they stood around.
fn marked(text: &str) -> (String, std::ops::Range<usize>) {
    let (before, rest) = text.split_once('«').expect("a mark");
    let (inside, after) = rest.split_once('»').expect("a mark's end");
    let span = before.len()..before.len() + inside.len();
    (format!("{before}{inside}{after}"), span)
}

fn problems(text: &str) -> Vec<Diagnostic> {
    read(text).expect_err(text).into()
}

/// The only problem of `text`, at its marks, with this message.
#[track_caller]
pub(super) fn wrong(text: &str, message: &str) -> Diagnostic {
    let (text, span) = marked(text);
    let problems = problems(&text);
    assert_eq!(problems.len(), 1, "{text}\n{problems:#?}");
    assert_eq!(problems[0].message, message, "{text}");
    assert_eq!(
        problems[0].span,
        span,
        "{text}: {:?}",
        &text[problems[0].span.clone()]
    );
    problems[0].clone()
}

#[test]
fn in_the_header() {
    wrong("key: «X»\n| C |", "`X` is not a key");
    wrong("key: «G# dorian»\n| C |", "`G# dorian` is not a key");
    wrong("key:«»\n| C |", "`` is not a key");
    wrong("meter: «4/3»\n| C |", "`4/3` is not a meter");
    wrong("tempo: «1000»\n| C |", "`1000` is not a tempo");
    wrong("tempo: «0»\n| C |", "`0` is not a tempo");
    wrong("tempo: «fast»\n| C |", "`fast` is not a tempo");
    wrong("middle-c: «C2»\n| C |", "`C2` is no name for middle C");
    wrong("key: C\n«key»: D\n| C |", "`key` is given twice");
    wrong(
        "[A]\n| C |\n«title»: Late",
        "`title` stands below the beginning of the music",
    );
}

#[test]
fn in_the_play_line() {
    let problem = wrong(
        "play: A «C»\n[A]\n| C |\n[B x]\n| D |",
        "no section is called `C`",
    );
    assert_eq!(
        problem.help.unwrap(),
        "the sections are A, B x; put commas between names that have spaces"
    );
    wrong("play:«»\n[A]\n| C |", "`play` names no section");
    wrong(
        "play: A,«»\n[A]\n| C |",
        "a section name is missing between the commas",
    );
    let long = "A ".repeat(MOST_PLAYED);
    let text = format!("play: {long}«A»\n[A]\n| C |");
    let told = format!("more than {MOST_PLAYED} sections to play");
    wrong(&text, &told);
    let without = wrong("play: «A»\n| C |", "no section is called `A`");
    assert!(without.help.unwrap().contains("[A]"));
}

#[test]
fn in_sections_and_lines() {
    wrong("«[A»\n| C |", "this section name is never closed");
    wrong("«[ ]»\n| C |", "a section without a name");
    wrong("«[A]»\n[B]\n| C |", "section `A` has no bars");
    wrong(
        "[A] «title: x»\n| C |",
        "this cannot stand behind a section name",
    );
    wrong("| C |\n«bass» | C2 |", "`bass` is not a label");
    wrong(
        "[A]\n«mel» | C5:4 |\n| C |",
        "this `mel` line has no chord line above it",
    );
    wrong(
        "| C |\nmel | C5:4 |\n«mel» | C5:4 |",
        "the chord line above has two `mel` lines",
    );
    wrong("[A]\n«|»", "there is no bar in this line");
    wrong("| C |\n«meter: 3/4»\n", "no bars follow this change");
}

#[test]
fn in_the_number_of_bars() {
    wrong(
        "| C | D |\n«mel» | C5:4 |",
        "this line has 1 bar, but the chord line above it has 2 bars",
    );
    wrong(
        "| C |\n«lh» | ? | ? | ? |",
        "this line has 3 bars, but the chord line above it has 1 bar",
    );
    let over_a_repeat = wrong(
        "|: C | F :|\n«mel» | C5:4 | A4:4 | C5:4 | F4:4 |",
        "this line has 4 bars, but the chord line above it has 2 bars",
    );
    let help = "bars that are repeated are written once, in every row";
    assert_eq!(over_a_repeat.help.as_deref(), Some(help));
    wrong(
        "| C |\n«was» |",
        "this line has 0 bars, but the chord line above it has 1 bar",
    );
    wrong("| C |\n«deg» | 3.5 |", "`deg` is not a label");
}

#[test]
fn in_a_tie() {
    let nowhere = "this tie leads nowhere: no bar that is played next begins with its note";
    for text in [
        "| C | F |\nmel | «C5:4-» | A4:4 |",
        "| C | F |\nmel | «C5:4-» | r:4 |",
        "| C |\nmel | «C5:4-» |\n| F |",
        "|: C | F :|\nmel | A4:4 | «C5:4-» |",
        "| C |\nmel | «C5:4-» |",
    ] {
        wrong(text, nowhere);
    }
    wrong(
        "| C |\nmel | C5:2- «D5:2» |",
        "a tie leads to `D5:2`, another key",
    );
    wrong(
        "| C |\nmel | C5:2- «r:2» |",
        "a tie leads to `r:2`, another key",
    );
    wrong("| C |\nmel | «r:2-» C5:2 |", "a rest can't be tied");
    wrong("| C |\nmel | «-» |", "`-` is not a note");
}

#[test]
fn in_what_a_bar_was() {
    wrong(
        "| C | D |\nwas | «%» | G7 |",
        "`%` in the first bar has nothing to repeat",
    );
    wrong(
        "| C | 3/4 D |\nwas | - | «%» |",
        "`%` cannot repeat a bar of 4 beats in a bar of 3 beats",
    );
    wrong(
        "| C | D |\nwas | - | G7 «%» |",
        "`%` stands alone in its bar",
    );
    let jump = wrong(
        "| C |\nwas | G7 «@fine» |",
        "`@fine` does not belong in a `was` row",
    );
    assert_eq!(jump.label, "chords and slashes, or `%` or `-` alone");
    wrong(
        "| C |\nwas | «D Em F» |",
        "3 chords cannot share 4 beats equally",
    );
    wrong("| C |\nwas | «X» |", "`X` is not a chord symbol");
    wrong("| C | D |\nwas | C |« »|", "this bar has no chord");
}

#[test]
fn in_filling_a_bar() {
    let problem = wrong("| C | «D Em F» |", "3 chords cannot share 4 beats equally");
    assert_eq!(problem.label, "chords and slashes for 4 beats");
    wrong(
        "meter: 6/8\n| «D Em F» |",
        "3 chords cannot share 2 beats equally",
    );
    wrong(
        "| «C / D» |",
        "this bar has 4 beats, but its chords and slashes make 3",
    );
    wrong(
        "| 3/4 «C / D /» @fine |",
        "this bar has 3 beats, but its chords and slashes make 4",
    );
    wrong(
        "| «C ////» |",
        "this bar has 4 beats, but its chords and slashes make 5",
    );
    wrong("| «/» C |", "a `/` with no chord before it");
    wrong("| C |« »| D |", "this bar has no chord");
    wrong("| C | «3/4» |", "this bar has no chord");
    wrong("| C | «@fine» |", "this bar has no chord");
    let crowd = vec!["C"; 65].join(" ");
    wrong(&format!("| «{crowd}» |"), "more than 64 chords in one bar");
}

#[test]
fn in_repeating_a_bar() {
    wrong("| «%» | C |", "`%` in the first bar has nothing to repeat");
    wrong("| C | «%» D |", "`%` stands alone in its bar");
    wrong("| C | % «%» |", "`%` stands alone in its bar");
    wrong(
        "| C | 3/4 «%» |",
        "`%` cannot repeat a bar of 4 beats in a bar of 3 beats",
    );
}

#[test]
fn in_the_words_of_a_bar() {
    wrong("| C «@codda» |", "`@codda` is no jump");
    wrong("| «3/5» C |", "`3/5` is not a meter");
    wrong("| C «3/4» |", "a meter stands at the beginning of its bar");
    let problem = wrong("| C♯m7 | C♯maj7«x» |", "`C♯maj7x` is not a chord symbol");
    assert_eq!(problem.level, crate::chart::Level::Error);
}

#[test]
fn in_bar_lines() {
    wrong("| C «|||» D |", "`|||` is not a bar line");
    wrong(
        "«:|» C |",
        "a repeat ends here, but there is no bar before it",
    );
    wrong("«|:» C | D ||", "this repeat is never closed");
    wrong(
        "|: C :| D «|:»",
        "nothing follows this bar line, which opens something",
    );
    wrong("|: C «:|x1»", "a repeat is played 2 to 99 times");
    wrong("|: C «:|x1000000»", "a repeat is played 2 to 99 times");
    wrong("|: C «|3-1» D :|", "`|3-1` does not number endings");
    wrong("|: C «|0» D :|", "`|0` does not number endings");
    wrong("|: C «|1,1» D :|", "`|1,1` does not number endings");
    wrong("|: C «|1-100» D :|", "`|1-100` does not number endings");
}

#[test]
fn in_nesting() {
    let deep = |depth: usize| {
        let opened = "|: C ".repeat(depth);
        let closed = ":| C ".repeat(depth);
        format!("{opened}{closed}|")
    };
    assert!(read(&deep(64)).is_ok());
    let problems = problems(&deep(65));
    assert_eq!(problems.len(), 1);
    assert_eq!(
        problems[0].message,
        "repeats within repeats, more than 64 deep"
    );
    assert_eq!(problems[0].span, 64 * 5..64 * 5 + 2);
}

#[test]
fn in_the_melody() {
    wrong(
        "| C |\nmel | «C5:3 D5:2» |",
        "the melody of this bar lasts 5 beats, but the bar has 4 beats",
    );
    wrong(
        "| 3/4 C |\nmel | «r:4» |",
        "the melody of this bar lasts 4 beats, but the bar has 3 beats",
    );
    wrong("| C |\nmel | «C» |", "`C` is not a note");
    wrong("| C |\nmel | C5:3 «c5» |", "`c5` is not a note");
    wrong("| C |\nmel | C5:«x» |", "`x` is not a length in beats");
    wrong("| C |\nmel | C5:«» |", "`` is not a length in beats");
    wrong(
        "| C |\nmel | «G#9»:4 |",
        "`G#9` is too high or too low for any instrument",
    );
    wrong(
        "| C | D |\nmel |« »| r:4 |",
        "this bar of the melody is empty",
    );
    let crowd = vec!["C5:1/64"; 257].join(" ");
    wrong(
        &format!("| C |\nmel | «{crowd}» |"),
        "more than 256 notes in one bar",
    );
}

#[test]
fn in_the_left_hand() {
    wrong(
        "| C F |\nlh | «C3.E3» |",
        "the left hand has 1 entry here, but the bar has 2 chords",
    );
    wrong(
        "| C |\nlh | «? ?» |",
        "the left hand has 2 entries here, but the bar has 1 chord",
    );
    wrong(
        "| C F | % |\nlh | ? | «? - ?» |",
        "the left hand has 3 entries here, but the bar has 2 chords",
    );
    wrong(
        "| C | D |\nlh |« »| ? |",
        "the left hand has 0 entries here, but the bar has 1 chord",
    );
    wrong(
        "| C |\nlh | C3.«E3.D3».G3 |",
        "the notes are out of order: `D3` is not above `E3`",
    );
    wrong(
        "| C |\nlh | «C3.B#2» |",
        "the notes are out of order: `B#2` is not above `C3`",
    );
    wrong("| C |\nlh | «C3.C3» |", "`C3` is there twice");
    wrong("| C |\nlh | C3.«» |", "`` is not a note");
    wrong("| C |\nlh | «x» |", "`x` is not a note");
    wrong(
        "| N.C. |\nlh | «C3.E3» |",
        "the left hand has notes where there is no chord",
    );
    let crowd = "C2.D2.E2.F2.G2.A2.B2.C3.D3.E3.F3";
    wrong(
        &format!("| C |\nlh | «{crowd}» |"),
        "more than 10 notes for one hand",
    );
}

#[test]
fn in_files_that_are_no_charts() {
    wrong("«»", "there is no music here");
    wrong("title: Quay«»\n", "there is no music here");
    wrong("; only a comment«»\n\n", "there is no music here");
    wrong(
        "| C |\n«\0»",
        "this is not plain text: byte 6 is the control character U+0000",
    );
    let problems = read_bytes(b"| C |\xff").unwrap_err();
    assert_eq!(
        problems[0].message,
        "this is not a text file: byte 5 is not UTF-8"
    );
    assert_eq!(problems[0].span, 5..5);
    assert!(read_bytes("\u{feff}| C |\r\n".as_bytes()).is_ok());
}

#[test]
fn a_mistake_hides_no_other() {
    let text =
        "key: X\n[A]\n| C D E | Xyz | C |: D |\nmel | C5:5 | r:4 | r:4 | r:4 |\nlh | C3 C2 | ?";
    let messages: Vec<String> = problems(text).into_iter().map(|p| p.message).collect();
    assert_eq!(
        messages,
        [
            "`X` is not a key",
            "3 chords cannot share 4 beats equally",
            "`Xyz` is not a chord symbol",
            "this repeat is never closed",
            "the melody of this bar lasts 5 beats, but the bar has 4 beats",
            "this line has 2 bars, but the chord line above it has 4 bars",
        ]
    );
}

#[test]
fn a_slash_after_a_symbol_that_cannot_be_read_is_no_second_mistake() {
    wrong("| Cm7 | «!» |", "`!` is not a chord symbol");
    wrong("| «Qm7» / G7 / |", "`Qm7` is not a chord symbol");
    wrong("| C / «Qm7» / |", "`Qm7` is not a chord symbol");
    wrong("| «/» G7 / / |", "a `/` with no chord before it");
}
