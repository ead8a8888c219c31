//! Charts that move to another key: what moves, and by how much.

use crate::chart::{Chart, read};
use crate::pitch::{Interval, Name};

fn to(text: &str, from: &str, to: &str) -> Chart {
    let name = |text: &str| text.parse::<Name>().unwrap();
    let up = Interval::between(name(from), name(to));
    read(text).unwrap().transposed(up.nearer()).unwrap()
}

#[test]
fn everything_moves_and_is_spelled_by_the_interval() {
    let text = "key: C\n| F#m7b5 B7/D# | N.C. |\nmel | F#5:1 r:3 | C5:4 |\nlh | A3.E4 B2 | - |\n";
    let moved = to(text, "C", "Eb").tidy();
    assert!(moved.starts_with("key: Eb\n"), "{moved}");
    for cell in [
        "Am7b5 D7/F#",
        "A5:1 r:3",
        "Eb5:4",
        "C4.G4 D3",
        "N.C.",
        "| -",
    ] {
        assert!(moved.contains(cell), "{cell}\n{moved}");
    }
}

#[test]
fn the_nearer_way_is_in_the_interval() {
    let down = to("| C |\nmel | C5:4 |", "C", "A").tidy();
    assert!(down.contains("A4:4"), "{down}");
}

#[test]
fn notes_follow_a_key_that_is_respelled() {
    let moved = to("key: B\n| B |\nmel | B4:4 |", "C", "F#").tidy();
    assert!(
        moved.contains("key: F\n") && moved.contains("F5:4"),
        "{moved}"
    );
    let minor = to("key: F#m\n| C |\nmel | A4:4 |", "C", "A#").tidy();
    assert!(
        minor.contains("key: Em\n") && minor.contains("G4:4"),
        "{minor}"
    );
}

#[test]
fn a_key_on_the_way_moves_with_its_line() {
    let moved = to(
        "key: C\n[A]\n| C |\n[B]\nkey: Ab\n| Ab |\nmel | Ab4:4 |",
        "C",
        "B",
    )
    .tidy();
    let expected = "key: B\n\n[A]\n     | B |\n\n[B]\nkey: G\n     | G    |\nmel  | G4:4 |\n";
    assert_eq!(moved, expected);
}

#[test]
fn a_key_change_never_leads_to_seven_sharps() {
    let text = "key: F\n[1]\n| F |\n[2]\nkey: A\n| A E7 |\n[3]\nkey: F\n| F |";
    let moved = to(text, "F", "A").tidy();
    assert!(moved.contains("key: Db\n     | Db Ab7 |"), "{moved}");
    // A tune asked for in C# comes back to it.
    let moved = to(&text.replace("A", "Bb"), "F", "C#").tidy();
    assert_eq!(moved.matches("key: C#\n").count(), 2, "{moved}");
    assert!(moved.contains("key: F#\n"), "{moved}");
    let minor = text.replace('A', "Cm").replace("E7", "G7");
    let moved = to(&minor, "F", "Db").tidy();
    assert!(moved.contains("key: G#m\n     | G#m D#7 |"), "{moved}");
}

#[test]
fn a_note_off_the_keyboard_stops_it() {
    let up = Interval::between("C".parse().unwrap(), "G".parse().unwrap());
    let chart = read("| C |\nmel | G9:4 |").unwrap();
    assert_eq!(chart.transposed(up), None);
}

#[test]
fn octaves_stay_as_the_chart_counts_them() {
    let text = "key: C\nmiddle-c: C3\n| C |\nmel | C3:4 |\n";
    let chart = read(text).unwrap();
    assert_eq!(chart.slots()[0].melody[0].midi(), 60);
    assert!(to(text, "C", "D").tidy().contains("D3:4"));
}
