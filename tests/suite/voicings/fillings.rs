//! What fills every kind of chord in every scale and colour, and under every note of the melody; and the
//! shapes that each symbol admits. Three tables, read before they were accepted.

use std::collections::{BTreeMap, BTreeSet};

use compline::voicing::{Colour, admitted, fillings};

use super::*;
use Colour::{Altered, Natural, Written};

/// A symbol for each thing that the fillings ask about.
const SYMBOLS: [&str; 40] = [
    "C", "Cmaj7", "C6", "C69", "Cmaj9", "Cmaj7#11", "Cmaj13", "Cmaj7#5", "Cadd9", "Cm", "Cm7",
    "Cm9", "Cm11", "Cm6", "CmMaj7", "Cm7b5", "Cdim7", "Cdim", "C7", "C9", "C13", "C7b9", "C7#9",
    "C7#11", "C7b13", "C7b5", "C7#5", "C7b9b13", "C7alt", "C13b9", "C7sus", "C9sus", "C7susb9",
    "Csus", "C+", "C7addb5", "C11", "C7no5", "C9/E", "C7/E",
];

/// The melody's note by its semitones above the root: none, or one of the twelve.
fn melody(above: Option<u8>) -> Vec<Pitch> {
    above
        .map(|above| Pitch::new(72 + above).unwrap())
        .into_iter()
        .collect()
}

fn filled(symbol: &str, context: HarmonicContext, colour: Colour, above: Option<u8>) -> String {
    let all = fillings(&chord(symbol), context, colour, &melody(above));
    let shown = all
        .iter()
        .map(|filling| filling.degrees().map(|degree| degree.to_string()).join(" "));
    shown.collect::<Vec<_>>().join(", ")
}

/// One line for each answer with everything that has it; the answer that most have stands first.
fn grouped(answers: impl Iterator<Item = (String, String)>) -> String {
    let mut groups: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (about, answer) in answers {
        groups.entry(answer).or_default().push(about);
    }
    let mut groups: Vec<(String, Vec<String>)> = groups.into_iter().collect();
    groups.sort_by_key(|(_, about)| std::cmp::Reverse(about.len()));
    let line = |(at, (answer, about)): (usize, &(String, Vec<String>))| match at {
        0 => format!(
            "  {answer} | {}\n",
            if groups.len() > 1 {
                "otherwise"
            } else {
                "always"
            }
        ),
        _ => format!("  {answer} | {}\n", about.join(", ")),
    };
    groups.iter().enumerate().map(line).collect()
}

/// The scales, each with the ways on on which it is met.
fn places() -> impl Iterator<Item = (String, HarmonicContext)> {
    let ways = |scale| match scale {
        Scale::Mixolydian => vec![Resolution::FifthIntoMajor, Resolution::Elsewhere],
        Scale::HarmonicMinorFifth | Scale::PhrygianDominant | Scale::MixolydianFlat13 => {
            vec![Resolution::FifthIntoMinor, Resolution::Elsewhere]
        }
        Scale::LydianDominant => vec![Resolution::HalfStepDown],
        Scale::SuspendedPhrygian | Scale::SuspendedMixolydian => vec![Resolution::Elsewhere],
        _ => vec![Resolution::Elsewhere],
    };
    Scale::ALL.into_iter().flat_map(move |scale| {
        ways(scale).into_iter().map(move |resolution| {
            let context = HarmonicContext {
                scale,
                ..at(resolution, false)
            };
            (format!("{scale} {}", resolution.name()), context)
        })
    })
}

#[test]
fn every_chord_is_filled_in_every_scale_as_the_table_says() {
    let mut table = String::new();
    for symbol in SYMBOLS {
        for colour in [Written, Natural, Altered] {
            let tonic = ("tonic".to_owned(), TONIC);
            let answers = places()
                .chain([tonic])
                .map(|(place, context)| (place, filled(symbol, context, colour, None)));
            table += &format!("{symbol} {colour}\n{}", grouped(answers));
        }
    }
    insta::assert_snapshot!("fillings", table);
}

/// The places of a chord that the melody is tried in.
fn tried(symbol: &str) -> Vec<(&'static str, HarmonicContext)> {
    let scale = |scale, resolution| HarmonicContext {
        scale,
        ..at(resolution, false)
    };
    let blues = HarmonicContext {
        blues: true,
        ..scale(Scale::Mixolydian, Resolution::Elsewhere)
    };
    let mut all = vec![("by itself", ELSEWHERE)];
    if chord(symbol)
        .seventh()
        .is_some_and(|seventh| seventh.class() == 10)
    {
        all.extend([
            ("into major", INTO_MAJOR),
            ("into minor", INTO_MINOR),
            ("half down", HALF_DOWN),
        ]);
        all.push((
            "to ii",
            scale(Scale::MixolydianFlat13, Resolution::FifthIntoMinor),
        ));
        all.push(("blues", blues));
    }
    all
}

#[test]
fn every_note_of_the_melody_is_minded_as_the_table_says() {
    let mut table = String::new();
    for symbol in SYMBOLS {
        for ((place, context), colour) in tried(symbol)
            .into_iter()
            .flat_map(|place| [(place, Natural), (place, Altered)])
        {
            let answers = (0..12).map(|above| {
                let names = [
                    "1", "b9", "9", "b3", "3", "11", "#11", "5", "b13", "13", "b7", "7",
                ];
                (
                    names[usize::from(above)].to_owned(),
                    filled(symbol, context, colour, Some(above)),
                )
            });
            table += &format!("{symbol} {colour} {place}\n{}", grouped(answers));
        }
    }
    insta::assert_snapshot!("fillings_under_the_melody", table);
}

/// Two notes that the melody holds, each for half of the chord, leave less: the ways out come after each other.
#[test]
fn two_notes_of_the_melody_are_minded_as_the_table_says() {
    let names = [
        "1", "b9", "9", "b3", "3", "11", "#11", "5", "b13", "13", "b7", "7",
    ];
    let pairs = || (0..12).flat_map(|low| (low + 1..12).map(move |high| [low, high]));
    let mut table = String::new();
    for symbol in [
        "Cmaj7", "Cm7", "C7", "C9", "C7b9", "C7sus", "C13sus", "Cm7b5", "C6",
    ] {
        for (place, context) in tried(symbol) {
            let answers = pairs().map(|pair| {
                let sung = pair.map(|above: u8| Pitch::new(72 + above).unwrap());
                let all = fillings(&chord(symbol), context, Natural, &sung);
                let shown = all
                    .iter()
                    .map(|filling| filling.degrees().map(|degree| degree.to_string()).join(" "));
                let pair = pair.map(|above| names[usize::from(above)]).join("+");
                (pair, shown.collect::<Vec<_>>().join(", "))
            });
            table += &format!("{symbol} {place}\n{}", grouped(answers));
        }
    }
    insta::assert_snapshot!("fillings_under_two_notes", table);
}

/// What each shape is left with under a held note, and the plainer fillings with what they are charged.
#[test]
fn every_shape_under_the_melody_is_as_the_table_says() {
    let mut table = String::new();
    for palette in ["rootless", "three-note", "shell", "guide-tones", "block"] {
        let settings = settings(palette, Natural, free_hand());
        for symbol in [
            "C", "Fmaj9", "Fmaj7", "Fm7", "F7", "F13", "Fm7b5", "Fdim7", "F7sus", "F6", "Fadd9",
            "F/A",
        ] {
            let answers = std::iter::once(None).chain((0..12).map(Some)).map(|above| {
                let chord = chord(symbol);
                let root = chord.root().class().number();
                let sung = above.map(|above: u8| Pitch::new(84 + (root + above) % 12).unwrap());
                let melody = held(sung.into_iter().collect());
                let ask = Ask {
                    chord: &chord,
                    context: ELSEWHERE,
                    melody: &melody,
                };
                let found = candidates(&ask, &settings);
                let lines = found.map_or_else(
                    |_| Vec::new(),
                    |found| {
                        let plain = |voicing: &Voicing| match voicing.surcharges.plain {
                            0 => degrees(voicing),
                            plain => format!("{} +{plain}", degrees(voicing)),
                        };
                        let mut lines: Vec<String> = found.voicings.iter().map(plain).collect();
                        lines.sort();
                        lines.dedup();
                        lines
                    },
                );
                (
                    above.map_or_else(|| "none".to_owned(), |above| above.to_string()),
                    lines.join(", "),
                )
            });
            table += &format!("{palette} {symbol}\n{}", grouped(answers));
        }
    }
    insta::assert_snapshot!("shapes_under_the_melody", table);
}

/// What a note that somebody gave is called: a tone of the chord, a tension, or what its spelling says.
#[test]
fn given_notes_are_called_as_the_table_says() {
    let names = [
        "C", "B#", "C#", "Db", "D", "D#", "Eb", "E", "Fb", "E#", "F", "F#", "Gb", "G", "G#", "Ab",
        "A", "Bbb", "A#", "Bb", "B", "Cb",
    ];
    let mut table = String::new();
    for symbol in [
        "C", "Cmaj7", "C6", "Cm7", "C7", "C7alt", "C7sus", "Cm7b5", "Cdim7", "C5", "C+",
    ] {
        let called = names.map(|name| {
            let note: compline::pitch::Note = format!("{name}4").parse().unwrap();
            let voicing = compline::voicing::read_given(&chord(symbol), &[note]).unwrap();
            format!("{name} {}", voicing.notes[0].degree)
        });
        table += &format!("{symbol}: {}\n", called.join(", "));
    }
    insta::assert_snapshot!("given_notes", table);
}

/// Every order of notes that a symbol admits, by shape.
#[test]
fn every_symbol_admits_the_shapes_of_the_table() {
    let more = [
        "C5",
        "Cmb6",
        "Cm(b6)/G",
        "C/E",
        "C/D",
        "Cmaj7/E",
        "C7/Bb",
        "Fmaj9",
        "Bdim7(b13)",
        "D//C7",
    ];
    let mut table = String::new();
    for symbol in SYMBOLS.into_iter().chain(more) {
        let answers = admitted(&chord(symbol)).into_iter().map(|one| {
            let degrees: Vec<String> = one
                .layout
                .degrees()
                .map(|degree| degree.to_string())
                .collect();
            let form = one
                .form()
                .map_or_else(String::new, |form| format!("({form})"));
            let shape = format!("{} {}", one.shape, one.colour);
            format!("  {shape} | {}{form}\n", degrees.join(" "))
        });
        let lines: BTreeSet<String> = answers.collect();
        table += &format!("{symbol}\n{}", lines.into_iter().collect::<String>());
    }
    insta::assert_snapshot!("shapes", table);
}
