//! Taught progressions, the tune above, and notes that somebody gave.

use compline::voicing::read_given;

use super::*;
use Colour::Natural;

/// Sum of the semitones each note moves, lowest to lowest and so on up.
fn motion(from: &[i32], to: &[i32]) -> i32 {
    from.iter().zip(to).map(|(a, b)| (a - b).abs()).sum()
}

/// Three chords with their contexts and notes, and the published sums of the two moves. The shapes are
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
fn offered(step: &str, settings: &VoicingSettings) -> Vec<i32> {
    let words: Vec<&str> = step.split_whitespace().collect();
    let want: Vec<i32> = words[2..].iter().map(|note| key(note)).collect();
    let found = voiced(words[0], context(words[1]), settings);
    assert!(found.voicings.iter().any(|v| midi(v) == want), "{step}");
    want
}

#[test]
fn the_tune_wins_over_the_colour() {
    let play = |symbol: &str, context, tune: &str| -> Vec<String> {
        let chord = chord(symbol);
        let melody = [Pitch::new(u8::try_from(key(tune)).unwrap()).unwrap()];
        let ask = Ask {
            chord: &chord,
            context,
            melody: &held(melody.to_vec()),
        };
        let found = candidates(&ask, &settings("rootless", Natural, Hand::default())).unwrap();
        let mut shown = usual(&found);
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
            voicing.shape_name(),
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

/// What a chord is filled with under each degree of the tune, from the root up by half steps, in every
/// key: the sets of degrees over all usual candidates of a hand that minds nothing.
const UNDER_THE_TUNE: &str = "\
maj7 | elsewhere  | 1                            | 3 5 6 9, 3 5 7 9
maj7 | elsewhere  | b9 #9                        | 1 3 5 7
maj7 | elsewhere  | 9 3 11 5 13 b7 7             | 3 5 7 9
maj7 | elsewhere  | b13                          | 1 3 7 9
maj7 | elsewhere  | #11                          | 3 7 9 #11
6    | elsewhere  | 1 9 3 11 5 13 b7 7           | 3 5 6 9
6    | elsewhere  | b13                          | 1 3 6 9
6    | elsewhere  | b9 #9                        | 1 3 5 6
6    | elsewhere  | #11                          | 3 6 9 #11
7    | elsewhere  | 1 9 3 5 13 b7 7              | 3 5 b7 9, 3 b7 9 13
7    | elsewhere  | b9 #9                        | 3 5 b7 #9, 3 5 b7 b9, 3 b7 #9 13, 3 b7 #9 b13, 3 b7 b9 13, 3 b7 b9 b13
7    | elsewhere  | 11                           | 3 5 b7 9, 3 b7 9 13, 4 5 b7 9, 4 b7 9 13
7    | elsewhere  | #11                          | 3 b7 9 #11, 3 b7 9 13
7    | elsewhere  | b13                          | 3 b7 #9 b13, 3 b7 9 b13, 3 b7 b9 b13
7    | into-major | 1 9 3 5 13 b7 7              | 3 5 b7 9, 3 b7 9 13
7    | into-major | b9 #9                        | 3 5 b7 #9, 3 5 b7 b9, 3 b7 #9 13, 3 b7 #9 b13, 3 b7 b9 13, 3 b7 b9 b13
7    | into-major | 11                           | 3 5 b7 9, 3 b7 9 13, 4 5 b7 9, 4 b7 9 13
7    | into-major | #11                          | 3 b7 9 #11, 3 b7 9 13
7    | into-major | b13                          | 3 b7 #9 b13, 3 b7 9 b13, 3 b7 b9 b13
7    | into-minor | 1 b9 #9 3 b7 7               | 3 5 b7 b9, 3 b7 b9 b13
7    | into-minor | 9                            | 3 5 b7 9, 3 b7 9 b13
7    | into-minor | 11                           | 3 5 b7 b9, 3 b7 b9 b13, 4 5 b7 b9, 4 b7 b9 b13
7    | into-minor | #11                          | 3 b7 b9 #11, 3 b7 b9 b13
7    | into-minor | 5 13                         | 3 5 b7 b9
7    | into-minor | b13                          | 3 b7 b9 b13
7    | half-down  | 1 9 3 #11 5 13 b7 7          | 3 b7 9 #11, 3 b7 9 13
7    | half-down  | b9 #9                        | 3 5 b7 #9, 3 5 b7 b9, 3 b7 #9 13, 3 b7 #9 b13, 3 b7 b9 13, 3 b7 b9 b13
7    | half-down  | 11                           | 3 b7 9 13, 4 5 b7 9, 4 b7 9 13
7    | half-down  | b13                          | 3 b7 9 #11
m7   | elsewhere  | 1 9 #9 3 11 #11 5 13 b7 7    | b3 5 b7 9
m7   | elsewhere  | b9                           | 1 b3 5 b7, 1 b3 b7 11
m7   | elsewhere  | b13                          | 1 b3 b7 11, b3 b7 9 11
m6   | elsewhere  | 1 9 #9 3 11 #11 5 13 b7 7    | b3 5 6 9
m6   | elsewhere  | b9                           | 1 b3 5 6, 1 b3 6 11
m6   | elsewhere  | b13                          | 1 b3 6 11, b3 6 9 11
m7b5 | elsewhere  | 1 b9 9 #9 11 #11 5 b13 13 b7 7 | 1 b3 b5 b7, b3 b5 b7 11
m7b5 | elsewhere  | 3                            | 1 b3 b5 b7
dim7 | elsewhere  | 1 b9 9 #9 3 11 #11 5 b13 13 b7 7 | 1 b3 b5 bb7, 1 b3 bb7 b13
7sus | elsewhere  | 1 9 3 11 #11 5 13 b7 7       | 4 5 b7 9, 4 b7 9 13
7sus | elsewhere  | b9 #9                        | 4 5 b7 b9, 4 b7 b9 b13
7sus | elsewhere  | b13                          | 4 b7 b9 b13
";

const SUNG: [&str; 12] = [
    "1", "b9", "9", "#9", "3", "11", "#11", "5", "b13", "13", "b7", "7",
];

#[test]
fn every_degree_of_the_tune_finds_its_colour_in_every_key() {
    let free = settings("rootless", Natural, free_hand());
    let mut seen = 0;
    for row in rows(UNDER_THE_TUNE) {
        let [quality, word, sung, sets] = row[..] else {
            panic!("not four cells: {row:?}");
        };
        for sung in sung.split(' ') {
            let above = SUNG.iter().position(|degree| *degree == sung).unwrap();
            for root in ROOTS {
                let found = filled(root, quality, context(word), above as u8, &free);
                assert_eq!(found, sets, "{root}{quality} {word} under {sung}");
            }
            seen += 1;
        }
    }
    assert_eq!(seen, 11 * 12, "eight qualities, the seventh in four places");
}

#[test]
fn where_the_third_would_rub_the_tune_suspends_the_chord() {
    let play = |symbol: &str, tune: &str, colour| -> Vec<String> {
        let chord = chord(symbol);
        let melody = [Pitch::new(u8::try_from(key(tune)).unwrap()).unwrap()];
        let ask = Ask {
            chord: &chord,
            context: ELSEWHERE,
            melody: &held(melody.to_vec()),
        };
        let found = candidates(&ask, &settings("rootless", colour, Hand::default())).unwrap();
        let usual = found.voicings.iter().filter(|v| v.surcharges.plain == 0);
        usual.map(ToString::to_string).collect()
    };
    // B3 lies a minor ninth under C5.
    let sus = play("G7", "C5", Natural);
    assert!(sus.contains(&"F3 A3 C4 D4".to_owned()), "{sus:?}");
    assert!(sus.iter().all(|voicing| !voicing.contains('B')), "{sus:?}");
    assert_eq!(
        play("G7", "C5", Colour::Written),
        ["F3 G3 C4 D4", "C4 D4 F4 G4"]
    );
    assert_eq!(
        play("Gmaj7", "C5", Natural),
        ["F#3 A3 C4 D4", "C4 D4 F#4 A4"]
    );
    assert_eq!(play("G6", "C5", Natural), ["E3 A3 C4 D4", "C4 D4 E4 A4"]);
    // Two octaves up the third is free: a dominant may have either, a major chord keeps it.
    let free = play("G7", "C6", Natural);
    assert!(free.iter().any(|voicing| voicing.contains('B')), "{free:?}");
    assert!(free.contains(&"F3 A3 C4 D4".to_owned()), "{free:?}");
    assert!(play("Gmaj7", "C6", Natural).iter().all(|v| v.contains('B')));
    // A tune that sings the third as well wants no suspension, and a C#5 has nothing to do with it.
    assert!(play("G7", "C#5", Natural).iter().all(|v| v.contains('B')));
}

/// Over the I7 and IV7 of a blues a minor third in the melody bends nothing, whether it is held or goes
/// by: the #9, which it is itself, or the root stands for the ninth.
#[test]
fn a_blue_third_leaves_the_13_and_takes_every_other_ninth_away() {
    let blues = HarmonicContext {
        blues: true,
        ..ELSEWHERE
    };
    for root in ROOTS {
        for (quality, context) in [("7", blues), ("13", blues), ("7", ELSEWHERE)] {
            let chord = chord(&format!("{root}{quality}"));
            let third = Pitch::new(75 + chord.root().class().number()).unwrap();
            let [held, passing] =
                [(vec![third], vec![]), (vec![], vec![third])].map(|(held, passing)| Melody {
                    struck: held.clone(),
                    lasting: held.clone(),
                    held,
                    passing,
                    leaning: vec![],
                    resolves_to: None,
                });
            for melody in [held, passing] {
                let ask = Ask {
                    chord: &chord,
                    context,
                    melody: &melody,
                };
                let found = candidates(&ask, &settings("rootless", Natural, free_hand())).unwrap();
                let usual = || found.voicings.iter().filter(|v| v.surcharges.plain == 0);
                let ninth = |voicing: &Voicing| {
                    let mut notes = voicing.notes.iter();
                    notes.any(|note| {
                        note.degree.number() == 9
                            && note.degree != compline::pitch::Degree::SHARP_NINTH
                    })
                };
                assert!(usual().count() > 0);
                let told: Vec<String> = usual().map(degrees).collect();
                assert_eq!(
                    usual().any(ninth),
                    !context.blues,
                    "{root}{quality}: {told:?}"
                );
                let thirteenth = |told: &String| told.split(' ').any(|degree| degree == "13");
                assert!(!context.blues || told.iter().all(thirteenth), "{told:?}");
            }
        }
    }
}

/// The sets of degrees that sound, each rising, in a fixed order.
fn filled(
    root: &str,
    quality: &str,
    context: HarmonicContext,
    above: u8,
    settings: &VoicingSettings,
) -> String {
    let chord = chord(&format!("{root}{quality}"));
    let tune = Pitch::new(108 + (chord.root().class().number() + above) % 12).unwrap();
    let ask = Ask {
        chord: &chord,
        context,
        melody: &held(vec![tune]),
    };
    let found = candidates(&ask, settings).unwrap();
    let mut sets: Vec<String> = found
        .voicings
        .iter()
        .filter(|voicing| voicing.surcharges.plain <= settings.surcharges.plain / 2)
        .map(|voicing| {
            let mut degrees: Vec<_> = voicing.notes.iter().map(|note| note.degree).collect();
            degrees.sort();
            let names: Vec<String> = degrees.iter().map(ToString::to_string).collect();
            names.join(" ")
        })
        .collect();
    sets.sort();
    sets.dedup();
    sets.join(", ")
}

/// Hands that have an octave and a bit to play in, from low to high.
fn narrow_hands() -> impl Iterator<Item = Hand> {
    (36..60).map(|low| Hand {
        range: Range::new(Pitch::new(low).unwrap(), Pitch::new(low + 14).unwrap()).unwrap(),
        reach: Reach::semitones(9).unwrap(),
        ..free_hand()
    })
}

#[test]
fn a_triad_that_the_tune_suspends_takes_no_bent_ninth() {
    let context = HarmonicContext {
        scale: Scale::HarmonicMinorFifth,
        ..INTO_MINOR
    };
    for root in ROOTS {
        let degrees = |suffix: &str| -> Vec<String> {
            let chord = chord(&format!("{root}{suffix}"));
            let eleventh = Pitch::new(65 + chord.root().class().number()).unwrap();
            let ask = Ask {
                chord: &chord,
                context,
                melody: &held(vec![eleventh]),
            };
            let all = narrow_hands()
                .filter_map(|hand| candidates(&ask, &settings("three-note", Natural, hand)).ok());
            let voicings = all.flat_map(|found| found.voicings);
            let notes = voicings.flat_map(|voicing| voicing.notes.to_vec());
            notes.map(|note| note.degree.to_string()).collect()
        };
        let has = |suffix: &str, degree: &str| degrees(suffix).iter().any(|d| d == degree);
        assert!(has("", "4") && has("7", "4"), "{root}");
        // The seventh chord names its seventh and takes the b9; the triad only borrows one.
        assert!(has("7", "b9") && !has("", "b9"), "{root}");
    }
}
