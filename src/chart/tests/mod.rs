//! The language as a whole: the example of a lead sheet, and every kind of mistake.

mod hostile;
mod mistakes;
mod properties;
mod respelling;
mod transposing;
mod wishes;

use super::*;
use crate::pitch::Interval;

const LAMPLIGHT: &str = "\
title: Lamplight on the Quay
key: Eb
meter: 4/4
tempo: 132
play: A A B A  ; optional

[A]
     |: Fm7        | Bb7       |  Ebmaj7 | Abmaj7    |
mel  |  C5:3 Ab4:1 | G4:2 F4:2 |  G4:4   | r:2 G4:2  |

     |  Dm7b5      | G7alt     |1 Cm6    | C7b9     :|

     |2 Cm6 | % ||

[B]
     | Am7 / D7b9 / | 3/4 Gm7 / C7 | N.C. | Ebmaj7 @fine ||
lh   | ?            | ?            | -    | G3.Bb3.D4.F4 |
";

#[test]
fn what_a_bar_was_is_kept_and_moves_with_the_key() {
    let text = "key: C\n\n     | Dm7 Db7 | C6 |\nwas  | Dm7 G7  | -  |\n";
    let chart = read(text).unwrap();
    assert_eq!(chart.tidy(), text);
    let changed: Vec<bool> = chart.bars().map(Bar::is_changed).collect();
    assert_eq!(changed, [true, false]);
    let up = Interval::between("C".parse().unwrap(), "Bb".parse().unwrap());
    let moved = chart.transposed(up).unwrap().tidy();
    assert!(moved.contains("was  | Cm7 F7 | -   |"), "{moved}");
}

#[test]
fn a_chord_is_held_by_the_sign_right_behind_it() {
    let text = "key: C\n\n     | Dm7 G7! | % | Cmaj7! |\n";
    let chart = read(text).unwrap();
    let held: Vec<bool> = chart.slots().iter().map(|slot| slot.held).collect();
    assert_eq!(held, [false, true, false, true, true]);
    assert_eq!(chart.slots()[1].symbol.text(), "G7");
    assert_eq!(chart.tidy(), text);
    let up = Interval::between("C".parse().unwrap(), "D".parse().unwrap());
    let moved = chart.transposed(up).unwrap().tidy();
    assert!(moved.contains("| Em7 A7! | % | Dmaj7! |"), "{moved}");
    for wrong in ["| ! |", "| C ! |", "| C!! |", "| %! |", "| C /! |"] {
        assert!(read(wrong).is_err(), "{wrong}");
    }
}

#[test]
fn the_lead_sheet_is_in_its_standard_layout() {
    let chart = read(LAMPLIGHT).unwrap();
    assert_eq!(chart.tidy(), LAMPLIGHT);
    assert_eq!(read(&chart.tidy()).unwrap(), chart);
}

#[test]
fn comments_stay_where_they_were() {
    let text = "\
; for the harbour band
title: Quay  ; working title
; slowly

[A]
";
    let text = text.replace("; slowly\n\n", "\n; slowly\n")
        + "\
; the vamp
     | C    | F    |  ; twice
; sing
mel  | C5:4 | F5:4 |  ; softly

     | G |

; the end
";
    let chart = read(&text).unwrap();
    assert_eq!(chart.tidy(), text);
    assert_eq!(chart.below, [" the end"]);
}

#[test]
fn lines_are_folded_after_four_bars_with_their_comments() {
    let chart =
        read("; above\n| C | D | E | F | G | A ; beside\nlh | ? | ? | ? | ? | ? | -").unwrap();
    let text = "\
; above
     | C | D | E | F |
lh   | ? | ? | ? | ? |

     | G | A |  ; beside
lh   | ? | - |
";
    assert_eq!(chart.tidy(), text);
    assert_eq!(chart.tidy_in_lines_of(8), text);
    let narrow = chart.tidy_in_lines_of(3);
    assert_eq!(
        narrow.lines().filter(|l| l.starts_with("lh")).count(),
        3,
        "{narrow}"
    );
}

#[test]
fn bar_lines_are_printed_as_they_were_written() {
    for text in [
        "     |: C :|: D :|\n",
        "     |: C |1 D :|2 E ||\n",
        "     |: C |1,3 D :|2,4-6 E :|x3 F |]\n",
        "     |: C :|x3|: D :|\n",
        "     |: C |1|: D :|2 E || F :|\n",
        "     | C || D |] E ||: F :||\n",
    ] {
        assert_eq!(read(text).unwrap().tidy(), text);
    }
}

#[test]
fn a_bar_line_split_over_two_lines_is_one() {
    let chart = read("|: C | D\n:|2 E ||\n||: F :|").unwrap();
    assert_eq!(
        chart.tidy(),
        "     |: C | D :|
     |2 E  ||
     |: F :|
"
    );
    let bars: Vec<&Bar> = chart.bars().collect();
    assert!(bars[1].closes.repeat.is_some() && bars[2].opens.endings == [2]);
    assert_eq!(bars[2].closes.stroke, Stroke::Double);
}

#[test]
fn a_meter_in_a_bar_holds_for_that_bar_and_one_on_a_line_from_there_on() {
    let chart = read("meter: 4/4\n| 3/4 C | D |\nmeter: 6/8\n| E F |\n[B]\n| G |").unwrap();
    let beats: Vec<u8> = chart.bars().map(|bar| bar.beats).collect();
    assert_eq!(beats, [3, 4, 2, 2]);
    let tidy = chart.tidy();
    assert!(tidy.contains("meter: 6/8\n     | E F |\n"), "{tidy}");
    assert_eq!(read(&tidy).unwrap(), chart);
}

#[test]
fn repeated_bars_have_slots_of_their_own() {
    let chart =
        read("| Dm7 G7 | % | N.C. |\nmel | r:1 F4:2 E4:1 | C5:4 | r:4 |\nlh | ? | D3.F3 - | - |")
            .unwrap();
    let slots = chart.slots();
    let symbols: Vec<&str> = slots.iter().map(|slot| slot.symbol.text()).collect();
    assert_eq!(symbols, ["Dm7", "G7", "Dm7", "G7", "N.C."]);
    let midi = |slot: &Slot| slot.melody.iter().map(|p| p.midi()).collect::<Vec<_>>();
    assert_eq!(midi(&slots[0]), [65]);
    assert_eq!(midi(&slots[1]), [64, 65]);
    assert_eq!(slots[1].melody_notes[0].beat, Beats::whole(2));
    assert_eq!(
        slots[2].wish,
        Wish::Given(["D3".parse().unwrap(), "F3".parse().unwrap()].into())
    );
    assert_eq!(
        (&slots[0].wish, &slots[3].wish),
        (&Wish::PLAN, &Wish::Silent)
    );
    assert_eq!(
        (slots[4].bar, slots[4].beat, slots[4].beats),
        (3, Beats::whole(1), Beats::whole(4))
    );
}

#[test]
fn a_tied_note_goes_on_behind_the_bar_line() {
    let chart = read("| Dm7 | G7 |\nmel | r:3 C5- | C5:1- C5 B4:2 |").unwrap();
    assert!(chart.tidy().ends_with("mel  | r:3 C5:1- | C5:2 B4:2 |\n"));
    let bars: Vec<&Bar> = chart.bars().collect();
    assert!(bars[0].is_tied_to(bars[1]) && bars[1].tied_note().is_none());
    let slots = chart.slots();
    let heard: Vec<bool> = slots.iter().map(|slot| slot.melody_notes[0].tied).collect();
    assert_eq!(heard, [true, false]);
}

#[test]
fn a_tie_may_lead_to_whatever_is_played_next() {
    for text in [
        "|: C | F |1 G :|2 C ||\nmel | C5:4 | r:3 B4:1- | B4:3 C5:1- | B4:4 |",
        "[A]\n| C @fine |\nmel | C5:4 |\n[B]\n| F @dc |\nmel | r:3 C5:1- |",
        "play: B A\n[A]\n| C |\nmel | C5:4 |\n[B]\n| F |\nmel | r:3 C5:1- |",
    ] {
        assert!(read(text).is_ok(), "{text}");
    }
}

#[test]
fn chords_share_their_bar() {
    let beats = |text: &str| -> Vec<String> {
        read(text)
            .unwrap()
            .slots()
            .iter()
            .map(|slot| slot.beats.to_string())
            .collect()
    };
    assert_eq!(beats("| C D |"), ["2", "2"]);
    assert_eq!(beats("| C D E F G A B C |"), ["1/2"; 8]);
    assert_eq!(beats("| 3/4 C D E F G A |"), ["1/2"; 6]);
    assert_eq!(beats("| C / / D |"), ["3", "1"]);
    assert_eq!(beats("| C /// |"), ["4"]);
    assert_eq!(beats("| 6/8 C D |"), ["1", "1"]);
    assert_eq!(beats("| 12/8 C / D / |"), ["2", "2"]);
}

#[test]
fn play_names_sections_by_word_comma_or_whole() {
    let names = |play: &str| -> Vec<String> {
        let chart = read(&format!(
            "play: {play}\n[A]\n| C |\n[B verse]\n| D |\n[A A]\n| E |"
        ))
        .unwrap();
        assert_eq!(read(&chart.tidy()).unwrap(), chart);
        chart
            .header
            .play()
            .unwrap()
            .iter()
            .map(|p| p.name.clone())
            .collect()
    };
    assert_eq!(names("A"), ["A"]);
    assert_eq!(names("A A A"), ["A", "A", "A"]);
    assert_eq!(names("B  verse"), ["B verse"]);
    assert_eq!(names("A A"), ["A A"]);
    assert_eq!(names("A, A"), ["A", "A"]);
    assert_eq!(names("A, B verse , A"), ["A", "B verse", "A"]);
}

#[test]
fn a_key_without_a_signature_goes_by_its_other_name() {
    assert_eq!(
        read("key: G#\n| C |").unwrap().key().unwrap().to_string(),
        "Ab"
    );
    assert_eq!(
        read("key: Db minor\n| C |")
            .unwrap()
            .key()
            .unwrap()
            .to_string(),
        "C#m"
    );
}

#[test]
fn a_symbol_with_two_readings_is_warned_about_once() {
    let warnings = read("| C11 | F | C11 |").unwrap().warnings();
    assert_eq!(warnings.len(), 1);
    assert_eq!(
        (warnings[0].level, warnings[0].span.clone()),
        (Level::Warning, 2..5)
    );
}

#[test]
fn what_surrounds_the_text_does_not_matter() {
    let chart = read("title: Quay\n[A]\n| C | D |\n").unwrap();
    for text in [
        "\u{feff}title: Quay\r\n[A]\r\n| C | D |\r\n",
        "Title :Quay\r[ A ]\rC|D",
        "title: Quay\n\n\n[A] C | D\n\n",
    ] {
        assert_eq!(read(text).unwrap(), chart, "{text}");
    }
}
