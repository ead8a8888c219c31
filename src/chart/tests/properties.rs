//! What holds for every text and for every chart.

use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;

use crate::cases;
use crate::chart::{Annotation, Annotations, Chart, Wish, read, read_bytes, without_remarks};
use crate::pitch::{Interval, Name};

/// What is read can be printed, and the print is the same chart and its own print.
fn assert_round_trip(chart: &Chart) {
    let tidy = chart.tidy();
    let again = read(&tidy).unwrap_or_else(|e| panic!("{e:#?}\n{tidy}"));
    assert_eq!(&again, chart, "\n{tidy}");
    assert_eq!(again.tidy(), tidy);
}

/// Spans lie in the text, between characters, and messages say something.
fn check(text: &str) {
    match read(text) {
        Ok(chart) => assert_round_trip(&chart),
        Err(problems) => {
            assert!(!problems.is_empty());
            for problem in problems {
                assert!(text.get(problem.span.clone()).is_some(), "{problem:?}");
                assert!(!problem.message.is_empty() && !problem.label.is_empty());
            }
        }
    }
}

/// Pieces of the language, and things that nearly are.
const PIECES: &[&str] = &[
    "|",
    "||",
    "|:",
    ":|",
    ":|:",
    "::",
    "|1",
    ":|2",
    "|1,3",
    "|]",
    ":|x3",
    ":|x3|2",
    " ",
    " ",
    " ",
    "\n",
    "\n",
    "\r\n",
    "C",
    "Dm7",
    "G7alt",
    "F#m7b5",
    "B♭maj7",
    "C/E",
    "!",
    "C7(b9,#11)",
    "/",
    "%",
    "N.C.",
    "3/4",
    "6/8",
    "@fine",
    "@segno",
    "@",
    "[A]",
    "[B verse]",
    "[",
    "]",
    "mel",
    "lh",
    "was",
    ";:deg",
    ";:",
    "C5:3",
    "C5:1-",
    "r",
    "r:1",
    "Ab4:3/2",
    ":",
    "?",
    "?A,leap=5",
    "?with=",
    ",without=G3",
    "-",
    "C3.E3",
    "C3.E3.G3",
    "key: Eb",
    "meter: 3/4",
    "play: A",
    "middle-c: C3",
    "title: ♪ Quay",
    "; quiet",
    ";",
    "x",
    "é",
    "\u{feff}",
    "\t",
    "0",
    ",",
    "tempo: 99",
    "\u{a0}",
];

fn soup() -> impl Strategy<Value = String> {
    vec(proptest::sample::select(PIECES), 0..40).prop_map(|pieces| pieces.concat())
}

/// Bars that read as they are, with how many chords each has, in four beats.
const BARS: &[(&str, usize)] = &[
    ("C", 1),
    ("Am7  D7b9", 2),
    ("C / / F#m7b5", 2),
    ("B♭maj7 / Gm7 C7(b9,#11)", 3),
    ("C Dm Em F", 4),
    ("C Dm Em F G Am Bm7b5 C", 8),
    ("4/4 C @fine", 1),
    ("@segno N.C. C7", 2),
    ("Cmaj7!", 1),
    ("C7(omit 3)! / A minor! F", 3),
];

const MELODIES: &[&str] = &[
    "C5:4",
    "r",
    "C5:3/2 r:1/2 Ab4:1 G4",
    "C5:2/3 D5:2/3 Eb5:2/3 r:2",
    "C5:1/2- C5:3/2 r D5",
];

const ENTRIES: &[&str] = &[
    "?",
    "-",
    "F3.Ab3.C4",
    "Bb2",
    "Cb3.E#4",
    "?A",
    "?B,top=step,leap=12",
    "?with=Ab3.C4,without=G3,not=F3.Ab3.C4.E4,top=held",
];

const WAS: &[&str] = &["-", "%", "G7", "Dm7 / / G7alt", "N.C.", "Am7! D7"];

#[derive(Debug, Clone)]
struct Sketch {
    bars: Vec<(usize, usize)>,
    melody: Option<Vec<usize>>,
    hand: Option<Vec<usize>>,
    was: Option<Vec<usize>>,
    beside: Option<String>,
    above: Option<String>,
}

fn line() -> impl Strategy<Value = Sketch> {
    let bars = vec((0..BARS.len(), 0..6usize), 1..9);
    let rows = (
        option::of(vec(0..MELODIES.len(), 9)),
        option::of(vec(0..ENTRIES.len(), 80)),
        option::of(vec(0..WAS.len(), 9)),
    );
    let comments = (
        option::of("[ a-z;é♭|:]{0,8}"),
        option::of("[ a-z;é♭|:]{0,8}"),
    );
    (bars, rows, comments).prop_map(|(bars, (melody, hand, was), (beside, above))| Sketch {
        bars,
        melody,
        hand,
        was,
        beside,
        above,
    })
}

impl Sketch {
    /// The line as text; bars are repeated, closed and doubled as the second numbers say.
    fn text(&self) -> String {
        let mut text = self
            .above
            .iter()
            .map(|c| format!(";{c}\n"))
            .collect::<String>();
        text += "|";
        for (bar, sign) in &self.bars {
            let (open, close) = [
                ("", "|"),
                (":", ":|"),
                ("", "||"),
                (":", ":|x3"),
                ("", "|]"),
                ("", "|"),
            ][*sign];
            // An opening is glued to the stroke before it, which must not have one.
            let glue = if open == ":" && !text.ends_with(" |") && !text.ends_with("\n|") {
                "|"
            } else {
                ""
            };
            text += &format!("{glue}{open} {}  {close}", BARS[*bar].0);
        }
        self.beside.iter().for_each(|c| text += &format!(" ;{c}"));
        text += "\n";
        text + &self.rows()
    }

    fn rows(&self) -> String {
        let mut text = String::new();
        if let Some(melody) = &self.melody {
            let bars: Vec<String> = self
                .bars
                .iter()
                .zip(melody)
                .enumerate()
                .map(|(at, (_, m))| match MELODIES[*m] {
                    "r" => "r:4".to_owned(),
                    "C5:4" if self.begins_with_c5(at + 1) => "C5:4-".to_owned(),
                    m => m.to_owned(),
                })
                .collect();
            text += &format!("mel {}\n", bars.join(" | "));
        }
        if let Some(was) = &self.was {
            let bars = self.bars.iter().zip(was);
            let mut bars: Vec<&str> = bars.map(|(_, was)| WAS[*was]).collect();
            if bars[0] == "%" {
                bars[0] = "-";
            }
            text += &format!("was {}\n", bars.join(" | "));
        }
        if let Some(hand) = &self.hand {
            let mut entries = hand.iter();
            let bars: Vec<String> = self
                .bars
                .iter()
                .map(|(bar, _)| self.hand_bar(*bar, &mut entries))
                .collect();
            text += &format!("lh |{}|\n", bars.join("|"));
        }
        text
    }

    /// Whether a bar of the line begins with the note that is tied wherever it can be.
    fn begins_with_c5(&self, at: usize) -> bool {
        let melody = self.melody.as_ref().and_then(|melody| melody.get(at));
        at < self.bars.len() && melody.is_some_and(|m| MELODIES[*m].starts_with("C5"))
    }

    fn hand_bar<'a>(&self, bar: usize, entries: &mut impl Iterator<Item = &'a usize>) -> String {
        let silent = BARS[bar].0.contains("N.C.");
        let mut words = entries.by_ref().take(BARS[bar].1).map(|e| ENTRIES[*e]);
        let words: Vec<&str> = match silent {
            true => words.by_ref().map(|_| "-").collect(),
            false => words.collect(),
        };
        words.join(" ")
    }
}

fn valid_chart() -> impl Strategy<Value = String> {
    let header = proptest::sample::select(vec![
        "",
        "title: Quay; by night\nkey: Eb\ntempo: 96\n",
        "KEY: F# minor\nmiddle-c: C3\ncomposer: nobody\n",
        "meter: 4/4\nlimits: series\nplay: A, A, A\n",
    ]);
    (header, vec(line(), 1..4), option::of("[ a-z]{0,5}")).prop_map(|(header, lines, below)| {
        let lines: String = lines.iter().map(Sketch::text).collect();
        let below = below.map(|c| format!(";{c}\n")).unwrap_or_default();
        format!("{header}[A]\n{lines}{below}")
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases(100, 256)))]

    #[test]
    fn any_text_is_read_or_refused(text in any::<String>()) {
        check(&text);
    }

    #[test]
    fn any_bytes_are_read_or_refused(bytes in vec(any::<u8>(), 0..200)) {
        if let Err(problems) = read_bytes(&bytes) {
            prop_assert!(problems.iter().all(|p| p.span.end <= bytes.len()));
        }
    }

    #[test]
    fn any_soup_of_signs_is_read_or_refused(text in soup()) {
        check(&text);
    }

    #[test]
    fn every_valid_chart_is_printed_as_the_same_chart(text in valid_chart()) {
        let chart = read(&text).unwrap_or_else(|e| panic!("{e:#?}\n{text}"));
        assert_round_trip(&chart);
    }

    #[test]
    fn a_damaged_chart_is_read_or_refused(
        text in valid_chart(),
        damage in vec((any::<prop::sample::Index>(), any::<u8>()), 1..6),
    ) {
        let mut bytes = text.into_bytes();
        for (at, byte) in damage {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        check(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn a_cut_off_chart_is_read_or_refused(text in valid_chart(), at in any::<prop::sample::Index>()) {
        let bytes = &text.as_bytes()[..at.index(text.len())];
        check(&String::from_utf8_lossy(bytes));
    }

    #[test]
    fn slots_fill_their_bars_and_stand_where_they_say(text in valid_chart()) {
        let chart = read(&text).unwrap();
        for (index, slot) in chart.slots().iter().enumerate() {
            prop_assert_eq!(slot.index, index);
            let place = slot.place;
            let bar = &chart.sections[place.section].lines[place.line].bars[place.bar];
            let end = slot.beat + slot.beats - crate::chart::Beats::whole(1);
            prop_assert!(end <= crate::chart::Beats::whole(bar.beats.into()));
        }
    }

    #[test]
    fn a_left_hand_put_in_is_read_back(text in valid_chart(), bars_per_line in 1..6usize) {
        let chart = read(&text).unwrap();
        let hands: Vec<Wish> = chart.slots().iter().map(|slot| match slot.symbol.chord() {
            Some(_) => Wish::Given(["Eb3".parse().unwrap(), "G3".parse().unwrap()].into()),
            None => Wish::Silent,
        }).collect();
        let voiced = chart.with_hands(hands.clone());
        assert_round_trip(&voiced);
        for (slot, hand) in voiced.slots().iter().zip(&hands) {
            prop_assert_eq!(&slot.wish, hand);
        }
        let annotated = voiced.annotated(&Annotations {
            rows: vec![Annotation {
                label: "move",
                of_slots: voiced.slots().iter().map(|slot| Some(slot.index.to_string())).collect(),
            }],
            below: vec!["plan motion 7".to_owned()],
        });
        prop_assert_eq!(&without_remarks(&annotated), &voiced.tidy());
        prop_assert_eq!(read(&annotated).unwrap(), read(&voiced.tidy()).unwrap());
        let wide = read(&voiced.tidy_in_lines_of(bars_per_line)).unwrap();
        prop_assert!(wide.bars().eq(voiced.bars()));
    }

    #[test]
    fn there_and_back_again_is_the_same_chart(text in valid_chart(), to in "[A-G][b#]?") {
        let chart = read(&text).unwrap();
        let to: Name = to.parse().unwrap();
        let c = "C".parse().unwrap();
        let up = Interval::between(c, to);
        let down = Interval::new(-up.steps(), crate::pitch::Semitones(-up.semitones().0));
        if let Some(there) = chart.transposed(up) {
            assert_round_trip(&there);
            let back = there.transposed(down).unwrap();
            let pitches = |c: &Chart| c.slots().into_iter().map(|s| s.melody).collect::<Vec<_>>();
            prop_assert_eq!(pitches(&back), pitches(&chart));
        }
    }
}
