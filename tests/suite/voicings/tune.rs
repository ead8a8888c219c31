//! Taught progressions, the tune above, and notes that somebody gave.

use compline::voicing::read_given;

use super::*;
use Colour::Natural;

/// Sum of the semitones each note moves, lowest to lowest and so on up.
fn motion(from: &[i32], to: &[i32]) -> i32 {
    from.iter().zip(to).map(|(a, b)| (a - b).abs()).sum()
}

/// Three chords with their places and notes, and the published sums of the two moves. The shapes are
/// read, the sums computed.
const TAUGHT: &str = "\
rootless    | Dm7 into-major   F3 A3 C4 E4  | G7 into-major   F3 A3 B3 E4   | Cmaj7 elsewhere E3 G3 B3 D4 | 1 5
rootless    | Dm7 into-major   F3 A3 C4 E4  | G7 into-major   F3 A3 B3 E4   | C6/9 elsewhere E3 G3 A3 D4  | 1 7
rootless    | Dm7 into-major   C4 E4 F4 A4  | G7 into-major   B3 E4 F4 A4   | Cmaj7 elsewhere B3 D4 E4 G4 | 1 5
rootless    | Dm7b5 into-major F3 Ab3 C4 D4 | G7alt into-minor F3 Ab3 B3 Eb4 | Cm6/9 tonic Eb3 G3 A3 D4    | 2 6
guide-tones | Dm7 into-major   F3 C4        | G7 into-major   F3 B3         | Cmaj7 elsewhere E3 B3       | 1 1
";

#[test]
fn taught_progressions_lie_among_the_candidates_and_move_as_published() {
    for row in rows(TAUGHT) {
        let [palette, two, five, one, sums] = row[..] else {
            panic!("not five cells: {row:?}");
        };
        let settings = settings(palette, Natural, Hand::default());
        let played = [two, five, one].map(|step| offered(step, &settings));
        let moves = [
            motion(&played[0], &played[1]),
            motion(&played[1], &played[2]),
        ];
        let sums: Vec<i32> = sums.split(' ').map(|s| s.parse().unwrap()).collect();
        assert_eq!(moves[..], sums, "{row:?}");
    }
}

/// The keys of a step, which must be among the chord's candidates.
fn offered(step: &str, settings: &Settings) -> Vec<i32> {
    let words: Vec<&str> = step.split_whitespace().collect();
    let want: Vec<i32> = words[2..].iter().map(|note| key(note)).collect();
    let found = voiced(words[0], place(words[1]), settings);
    assert!(found.voicings.iter().any(|v| midi(v) == want), "{step}");
    want
}

#[test]
fn the_tune_wins_over_the_colour() {
    let play = |symbol: &str, place, tune: &str| -> Vec<String> {
        let chord = chord(symbol);
        let melody = [Pitch::new(u8::try_from(key(tune)).unwrap()).unwrap()];
        let ask = Ask {
            chord: &chord,
            place,
            melody: &melody,
        };
        let found = candidates(&ask, &settings("rootless", Natural, Hand::default())).unwrap();
        let mut shown: Vec<String> = found.voicings.iter().map(degrees).collect();
        shown.sort();
        shown.dedup();
        shown
    };
    let never = |voicings: &[String], degree: &str| {
        assert!(!voicings.is_empty());
        assert!(
            voicings.iter().all(|v| v.split(' ').all(|d| d != degree)),
            "{voicings:?}"
        );
    };
    // Over G7 the tune sings a flat ninth, a flat thirteenth, a natural fifth.
    never(&play("G7", INTO_MAJOR, "Ab4"), "9");
    let flat_thirteenth = play("G7", INTO_MAJOR, "Eb5");
    never(&flat_thirteenth, "13");
    never(&flat_thirteenth, "5");
    never(&play("G7", INTO_MINOR, "D5"), "b13");
}

#[test]
fn given_notes_are_recognised_and_named() {
    let read = |symbol: &str, notes: &str| {
        let notes: Vec<_> = notes.split(' ').map(|n| n.parse().unwrap()).collect();
        let voicing = read_given(&chord(symbol), &notes).unwrap();
        (
            voicing.shape,
            form(&voicing),
            degrees(&voicing),
            voicing.to_string(),
        )
    };
    let told = |shape, form: &str, degrees: &str, notes: &str| {
        (shape, form.to_owned(), degrees.to_owned(), notes.to_owned())
    };
    assert_eq!(
        read("Ebmaj7", "G3 Bb3 D4 F4"),
        told("rootless", "A", "3 5 7 9", "G3 Bb3 D4 F4")
    );
    // A flat third written over a dominant is its sharp ninth, and keeps the spelling it was given.
    assert_eq!(
        read("G7", "B3 F4 Bb4"),
        told("three-note", "A", "3 b7 #9", "B3 F4 Bb4")
    );
    assert_eq!(
        read("C7", "E3 F#3 Bb3"),
        told("free", "-", "3 #11 b7", "E3 F#3 Bb3")
    );
    assert_eq!(
        read("C", "E4 C3 G3"),
        told("free", "-", "1 5 3", "C3 G3 E4")
    );
}
