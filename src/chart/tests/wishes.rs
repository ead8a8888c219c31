//! Wishes of the left hand: read, printed, moved to another key, and every mistake in them.

use proptest::prelude::*;

use super::mistakes::wrong;
use crate::chart::{Form, TopWish, VoicingWish, Wish, Wishes, read};
use crate::pitch::{Interval, Letter, Name, Note};

const CHART: &str = "\
key: C
middle-c: C3

     | Dm7 G7                 | Cmaj7                | %               |
lh   | ?A,leap=5 ?with=G2.B2  | ?not=E2.G2.B2.D3     | ?top=held       |
";

fn wish(text: &str, slot: usize) -> String {
    match &read(text).unwrap().slots()[slot].wish {
        Wish::Plan(wishes) => wishes.to_string(),
        other => format!("{other:?}"),
    }
}

#[test]
fn wishes_are_read_and_printed_in_the_charts_octaves() {
    let chart = read(CHART).unwrap();
    let read: Vec<String> = (0..4).map(|slot| wish(CHART, slot)).collect();
    let expected = ["A,leap=5", "with=G3.B3", "not=E3.G3.B3.D4", "top=held"];
    assert_eq!(read, expected);
    assert_eq!(
        chart.tidy(),
        "\
key: C
middle-c: C3

     | Dm7       G7          | Cmaj7            | %         |
lh   | ?A,leap=5 ?with=G2.B2 | ?not=E2.G2.B2.D3 | ?top=held |
"
    );
}

#[test]
fn wishes_move_with_the_key() {
    let up = Interval::between("C".parse().unwrap(), "Eb".parse().unwrap());
    let moved = read(CHART).unwrap().transposed(up).unwrap().tidy();
    assert_eq!(wish(&moved, 1), "with=Bb3.D4");
    assert_eq!(wish(&moved, 2), "not=G3.Bb3.D4.F4");
}

#[test]
fn a_lone_entry_holds_for_the_whole_bar_but_not_for_silence() {
    let text = "| N.C. Dm7 G7 / |\nlh | ?B |";
    assert_eq!([0, 1, 2].map(|slot| wish(text, slot)), ["", "B", "B"]);
    let printed = read(text).unwrap().tidy();
    assert_eq!([0, 1, 2].map(|slot| wish(&printed, slot)), ["", "B", "B"]);
    assert_eq!(wish("| Dm7 G7 |\nlh | ?leap=3 |", 1), "leap=3");
}

#[test]
fn mistakes_in_wishes_are_marked() {
    let at = |entry: &str| format!("| Fm7 |\nlh | {entry} |");
    let said = |entry: &str, message: &str| wrong(&at(entry), message).label;
    let label = said("?A,«C»", "`C` is not a wish");
    assert_eq!(label, "a wish");
    let help = wrong(&at("?«G3»"), "`G3` is not a wish").help.unwrap();
    assert!(help.starts_with("the wishes are A, B, with=G3.D4"));
    said("?A,«»", "a wish is missing here");
    let label = said("?top=«up»", "`up` is no way for the top note");
    assert_eq!(label, "held, step, free or a note such as E4");
    for leap in ["x", "128", "-1", ""] {
        let message = format!("`{leap}` is no number of semitones");
        let label = said(&format!("?leap=«{leap}»"), &message);
        assert_eq!(label, "a whole number from 0 to 127");
    }
    said("?with=«H3»", "`H3` is not a note");
    said("?not=«»", "`` is not a note");
    said(
        "?with=«G3.D3»",
        "the notes are out of order: `D3` is not above `G3`",
    );
    wrong(
        "| N.C. |\nlh | «?A» |",
        "the left hand has wishes where there is no chord",
    );
}

#[test]
fn wishes_against_each_other_are_marked() {
    let at = |entry: &str| format!("| Fm7 |\nlh | {entry} |");
    wrong(&at("?A,«B»"), "form A and form B are wished at once");
    wrong(&at("?A,«A»"), "`A` is wished twice");
    wrong(&at("?leap=2,«leap=3»"), "`leap` is wished twice");
    wrong(&at("?top=held,A,«top=step»"), "`top` is wished twice");
    wrong(&at("?with=G3,«with=D4»"), "`with` is wished twice");
    wrong(
        &at("?not=G3.D4,not=G3,«not=G3.D4»"),
        "`not` is wished twice",
    );
    let torn = "G3 is wished with and without";
    wrong(&at("?with=G3.D4,leap=2,«without=F3.G3»"), torn);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn whatever_is_wished_reads_as_it_prints(wishes in wishes()) {
        let entry = Wish::Plan(wishes);
        let Wish::Plan(wishes) = &entry else { unreachable!() };
        prop_assert_eq!(format!("?{wishes}").parse::<Wish>().unwrap(), entry.clone());
        let chart = format!("middle-c: C5\n| Fm7 | Bb7 |\nlh | ? | ?{wishes} |");
        let chart = read(&chart).unwrap();
        prop_assert_eq!(read(&chart.tidy()).unwrap().slots(), chart.slots());
    }
}

fn wishes() -> impl Strategy<Value = Wishes> {
    let form = prop::sample::select(vec![None, Some(Form::A), Some(Form::B)]);
    let top = prop::option::of(prop::sample::select(TopWish::ALL.to_vec()));
    let leap = prop::option::of(0..=127_u8);
    let not = prop::collection::btree_set(voicing(1..6), 0..3);
    // Some notes for both lists, dealt out, so that none is wanted and unwanted.
    let dealt = prop::collection::vec(any::<bool>(), 10);
    (form, voicing(0..10), dealt, not, top, leap).prop_map(
        |(form, notes, dealt, not, top, leap)| {
            let side = |side: bool| {
                let pairs = notes.iter().zip(&dealt).filter(move |(_, d)| **d == side);
                pairs.map(|(note, _)| named(*note))
            };
            let not = not
                .iter()
                .map(|keys| VoicingWish::Not(keys.iter().copied().map(named).collect()));
            let form = form.into_iter().map(VoicingWish::Form);
            let voicing = form
                .chain(side(true).map(VoicingWish::With))
                .chain(side(false).map(VoicingWish::Without))
                .chain(not);
            let none = Wishes {
                top,
                leap,
                ..Wishes::NONE
            };
            voicing.fold(none, Wishes::with)
        },
    )
}

/// Different white keys and black keys, rising: octave and place in the octave.
fn voicing(
    size: std::ops::Range<usize>,
) -> impl Strategy<Value = std::collections::BTreeSet<(i32, usize)>> {
    prop::collection::btree_set((1..7_i32, 0..7_usize), size)
}

/// Sharp where the place is odd and the key above is black, so that spelling is tried as well.
fn named((octave, place): (i32, usize)) -> Note {
    let letter = Letter::ALL[place];
    let sharp = i8::from(matches!(letter, Letter::C | Letter::F | Letter::A));
    Note::new(Name::new(letter, sharp).unwrap(), octave)
}
