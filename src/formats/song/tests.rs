//! What becomes of a song: bars, chords, melody, hand, and what is left out of it.

use super::{Song, SongBar, SongChord, SongNote, into_chart};
use crate::chart::{Jump, Meter, Times};
use crate::formats::report::LossReport;
use crate::score::Quarters;

fn bar(length: i64, chords: &[(i64, &str)]) -> SongBar {
    let mut bar = SongBar::of("measure 1".to_owned(), Meter::COMMON);
    bar.length = Quarters::whole(length);
    let placed = chords
        .iter()
        .map(|(at, text)| (Quarters::whole(*at), (*text).to_owned()));
    bar.chords = placed.collect();
    bar
}

fn made(bars: Vec<SongBar>) -> (String, LossReport) {
    let song = Song {
        bars,
        ..Song::default()
    };
    let (_, text, report) = into_chart(song).unwrap();
    (text, report)
}

#[test]
fn a_chord_sounds_on_until_the_next() {
    let bars = vec![
        bar(1, &[]),
        bar(4, &[(0, "Dm7"), (2, "G7")]),
        bar(4, &[]),
        bar(4, &[(2, "C")]),
        bar(4, &[]),
    ];
    let (text, _) = made(bars);
    assert_eq!(
        text,
        "meter: 4/4\n\n     | 1/4 N.C. | Dm7 G7 | G7 | G7 C |\n     | C |\n"
    );
}

#[test]
fn a_name_that_cannot_be_printed_heads_no_section() {
    let mut bars = vec![bar(4, &[(0, "C")]), bar(4, &[(0, "F")])];
    bars[0].section = Some(" Quay ".to_owned());
    bars[1].section = Some("\u{4}\u{4}".to_owned());
    let (text, _) = made(bars);
    assert_eq!(text, "meter: 4/4\n\n[Quay]\n     | C | F |\n");
}

#[test]
fn what_the_first_bar_says_stands_in_the_header() {
    let mut first = bar(4, &[(0, "C")]);
    first.key = "D".parse().ok();
    first.tempo = Some(Quarters::whole(90));
    let song = Song {
        key: "C".parse().ok(),
        bars: vec![first],
        ..Song::default()
    };
    let (_, text, _) = into_chart(song).unwrap();
    assert_eq!(text, "key: D\nmeter: 4/4\ntempo: 90\n\n     | C |\n");
}

#[test]
fn chords_may_come_in_any_order() {
    let (text, _) = made(vec![bar(4, &[(2, "G7"), (0, "Dm7")])]);
    assert_eq!(text, "meter: 4/4\n\n     | Dm7 G7 |\n");
}

#[test]
fn signs_that_no_player_can_follow_are_taken_out() {
    let mut bars = vec![bar(4, &[(0, "C")]), bar(4, &[(0, "F")]), bar(4, &[])];
    bars[0].endings = vec![1];
    bars[1].jumps = vec![Jump::DaCapoAlFine];
    bars[2].jumps = vec![Jump::ToCoda];
    bars[2].endings = vec![3];
    let (text, report) = made(bars);
    assert_eq!(text, "meter: 4/4\n\n     | C | F @dc | % |\n");
    let told = report
        .items()
        .into_iter()
        .map(|item| (item.kind, item.count));
    assert_eq!(told.collect::<Vec<_>>(), [("repeats", 2), ("jumps", 2)]);
}

#[test]
fn endings_start_with_what_sounded_before_them() {
    let mut bars = vec![bar(4, &[(0, "C")]), bar(4, &[(0, "F")]), bar(4, &[])];
    bars[0].opens_repeat = true;
    bars[1].endings = vec![1];
    bars[1].closes_repeat = Some(Times::AsUsual);
    bars[2].endings = vec![2];
    let (text, _) = made(bars);
    assert_eq!(text, "meter: 4/4\n\n     |: C |1 F :|2 C |\n");
}

#[test]
fn melody_and_hand_come_with_their_chords() {
    let mut one = bar(4, &[(0, "C")]);
    one.melody = vec![SongNote {
        at: Quarters::whole(1),
        length: Quarters::new(2, 3),
        note: "E5".parse().unwrap(),
        tied: false,
    }];
    one.hand = vec![SongChord {
        at: Quarters::ZERO,
        notes: vec!["G3".parse().unwrap(), "E3".parse().unwrap()],
    }];
    let (text, report) = made(vec![one, bar(4, &[(0, "?!")])]);
    let expected = "meter: 4/4\n\n     | C                | C   |\n\
                    mel  | r:1 E5:2/3 r:7/3 | r:4 |\nlh   | E3.G3            | -   |\n";
    assert_eq!(text, expected);
    assert_eq!(report.items()[0].kind, "unread-chords");
}
