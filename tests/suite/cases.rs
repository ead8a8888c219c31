//! What a pianist would play, case by case: a table of charts with what is wanted of their left hands, each
//! held in all twelve keys.
//!
//! A row has a chart (its key is where it is written; the others follow) and what is wanted, one wish a word
//! group: a slot counted from 1, or `all`, then
//!
//! | words | wanted |
//! |---|---|
//! | `sounds 1 3 5` | these degrees sound |
//! | `either b9 b13` | one of them at least |
//! | `silent 9` | none of them does |
//! | `only 1 3 5` | these and no others |
//! | `notes 4` | so many at least, those counted that are left to the melody |
//! | `from Eb3` | no note below |
//! | `clear` | no half step between the two highest notes |
//! | `apart` | no key that the melody holds, nor the top note a whole step below one |
//! | `unrubbed` | no note a half step or a minor ninth below one that the melody holds or leans on |
//! | `over #9 3` | the first above the second, if both sound; from a third below Eb3 the b13 may top them |
//! | `falls b7 3` | the first falls a half step to the second in the next slot |
//! | `line -1 -1 -1` | from slot to slot one voice moves by so much and the others stay |
//! | `as 3` | the same notes as in that slot |
//! | `thick` | not thinned out |
//! | `quiet` | nothing is warned of in the chart |
//! | `without 9` | the 9 sounds, or a warning says that it is given up |

use std::collections::BTreeSet;

use compline::arrange::{Arrangement, Cache, Settings, arrange};
use compline::chart;
use compline::hand::key;
use compline::harmony::Melody;
use compline::pitch::{Degree, Interval, Name, Pitch};
use compline::voicing::Voicing;

/// A chart, and what is wanted of its left hand.
type Case = (&'static str, &'static [&'static str]);

#[rustfmt::skip]
const CASES: &[Case] = &[
    // A cadence stays whole and at its height.
    ("key: C\n| Dm7 | G7 | Cmaj7 |\nmel | F5:4 | D5:4 | E5:4 |", &["all notes 4", "all thick", "all from Eb3", "all quiet"]),
    // Four notes stay four where a ninth has no room.
    ("| Am9 |\nmel | C5:4 |", &["1 notes 4", "1 sounds b3 b7", "1 without 9"]),
    ("| Bbm7 |\nmel | Db5:4 |", &["1 notes 4", "1 sounds b3 b7"]),
    // A suspension resolves and nothing else moves; a triad in a written bass line is plain.
    ("key: G\n| C | Dsus4 / D / | G |", &["2 line -1", "3 only 1 3 5"]),
    ("key: G\n| C | Dsus4 / D7 / | G |", &["3 only 1 3 5 b7"]),
    ("key: Em\n| Em | Em/D# | Em/D | A7/C# |", &["1 only 1 b3 5", "1 as 2", "1 as 3"]),
    ("key: G\n| Am7 | D7sus4 D7 | Gmaj7 |", &["2 line -1"]),
    ("key: Am\n| Am7 | D9sus | D7 | Am7 |", &["2 line -1"]),
    // In a tune written in triads a bare one is meant bare.
    ("key: G\n| G D/F# | Em G/B | C Am7 | D G | Em Bm | C D | Gsus4 G |", &["1 only 1 3 5", "3 only 1 b3 5", "5 only 1 3 5", "7 only 1 3 5", "9 only 1 b3 5", "12 only 1 3 5"]),
    // A triad of a tune under its seventh in the melody is the dominant that it is.
    ("key: G\n| Am7 D | Gmaj7 |\nmel | A4:1 B4:1 C5:2 | B4:4 |", &["2 sounds 3 b7", "2 notes 4", "all quiet"]),
    // A root or an 11 that stands for a ninth does not lie between its neighbours.
    ("key: F\n| Fmaj7 | Gm7 C7 | Fmaj7 |\nmel | A4:4 | G4:1 Bb4:1 G4:2 | F4:4 |", &["2 silent 11", "2 notes 4"]),
    ("key: G\n| D7 | Em7 | D7 |\nmel | A4:4 | G4:2 B4:2 | A4:4 |", &["2 silent 11", "2 notes 4"]),
    // What the melody has later only, the hand has from the start.
    ("key: Eb\n| Bb7 |\nmel | Ab4:1 F4:1 D5:2 |", &["1 sounds 3 b7"]),
    ("key: Ebm\n| Ebm6 | Cb7#11 Bb7b13 |\nmel | Bb4:4 | r:1 F4:1 Gb4:2 |", &["2 sounds 3 b7 #11"]),
    // A tone is left to the melody where it stays, and four notes stay four.
    ("key: A\n| Bm7 |\nmel | A4:2 F#4:2 |", &["1 notes 4"]),
    ("key: Am\n| Bm7b5 |\nmel | F5:1 r:3 |", &["1 sounds b3 b5 b7"]),
    // Over a bass that is not its root the triad sounds and nothing else.
    ("key: C\n| F/G | C |", &["1 only 1 3 5"]),
    ("key: F\n| Bb/C | F |", &["1 only 1 3 5"]),
    ("key: C\n| C/E | D/F# | D/A | G/B |", &["all only 1 3 5"]),
    ("key: C\n| Dm7 | G/C | F/G |", &["2 only 1 3 5", "3 only 1 3 5"]),
    ("key: G\n| G | A/G | G |", &["all only 1 3 5"]),
    // A line on one root is in one voice.
    ("key: Cm\n| Cm | Cm(maj7) | Cm7 | Cm6 |", &["1 line -1 -1 -1"]),
    ("key: F\n| C | C+ | C6 | C7 |", &["1 line 1 1 1"]),
    ("key: Cm\n| Cm | Cm#5 | Cm6 |", &["1 line 1 1"]),
    // A blue third brings no ninth.
    ("key: F\n| F7 | Bb7 |\nmel | C5:3 Ab4:1 | F4:2 Ab4:2 |", &["1 silent b9 9", "1 sounds 3 b7", "2 silent b9", "all quiet"]),
    ("key: F\n| F13 |\nmel | Ab4:4 |", &["1 silent b9 9", "1 sounds 13", "all quiet"]),
    ("key: Bb\n| Bb7 | Bb13 |\nmel | F4:1 Ab4:1 Bb4:1 Db5:1 | Db5:1 D5:1 Bb4:2 |", &["all silent b9 9", "2 sounds 3 13 b7", "all quiet"]),
    // The third sounds whatever goes by.
    ("key: C\n| G7 |\nmel | A5:2 F5:2 |", &["1 sounds 3", "1 notes 4"]),
    ("key: C\n| G7 |\nmel | D5:15/4 C5:1/4 |", &["1 sounds 3", "1 notes 4"]),
    ("key: G\n| G |\nmel | D5:1 C5:1 B4:2 |", &["1 sounds 3", "1 notes 4", "all quiet"]),
    ("| F7 |\nmel | C5:1 Bb4:1 A4:2 |", &["1 sounds 3", "1 notes 4", "all quiet"]),
    // No chart is refused: the triad without its 9, and a word about it.
    ("| Am(add9) |\nmel | C5:4 |", &["1 sounds 1 b3 5", "1 without 9"]),
    // Diminished chords are complete; the b13 may colour the b5.
    ("| Cdim7 |\nmel | C5:4 |", &["1 sounds 1 b3 bb7", "1 either b5 b13"]),
    ("| Ebdim7 |\nmel | C5:4 |", &["1 sounds 1 b3 bb7", "1 either b5 b13"]),
    ("key: C\n| Em7 | Ebdim7 | Dm7 |\nmel | G5:4 | F#5:4 | F5:4 |", &["2 sounds 1 b3 bb7", "2 either b5 b13"]),
    // Each hand keeps to its own keys.
    ("key: C\n| D9 |\nmel | A4:4 |", &["1 apart", "1 sounds 3 b7"]),
    // A tonic is told by its third and by a note that says home.
    ("key: Cm\n| Cm | G7 |\nmel | G5:2 Eb5:2 | D5:4 |", &["1 sounds b3", "1 either 1 5", "1 notes 3"]),
    // A dominant that falls to a minor chord has no natural 9.
    ("key: Cm\n| Dm7b5 | G7 | Cm6 |", &["2 either b9 b13", "2 silent 9 13"]),
    ("key: C\n| E7 | Am7 | A7 | Dm7 |", &["1 either b9 b13", "1 silent 9", "3 either b9 b13", "3 silent 9"]),
    // A #9 lies above the third.
    ("key: Em\n| B7#9 | Em7 |\nmel | D5:4 | B4:4 |", &["1 over #9 3", "1 sounds 3 b7"]),
    ("key: Am\n| Bm7b5 | E7#9 | Am6 |", &["2 over #9 3", "2 sounds 3 b7 #9"]),
    // No half step on top.
    ("key: F\n| Fmaj7 |\nmel | A4:4 |", &["1 clear", "1 sounds 3 7"]),
    // What is named sounds.
    ("key: D\n| A9sus | A13sus | D |", &["1 sounds 9 4 b7", "2 sounds 9 4 b7 13"]),
    // The 7 of the iii falls to the 3 of the VI7.
    ("key: C\n| Cmaj7 | Em7 A7 | Dm7 G7 | Cmaj7 |", &["2 falls b7 3"]),
    // Equal passages are voiced alike.
    ("key: D\n| Dadd9 | A7sus | Dadd9 | A7sus | D6 |", &["1 as 3", "2 as 4"]),
    // The melody suspends the chord and resolves it by itself: the hand has neither the 4 nor the third.
    ("key: Eb\n| Ab | Eb | Ab |\nmel | C5:4 | Ab4:2 G4:2 | C5:4 |", &["2 only 1 5 9", "all quiet"]),
    ("key: C\n| Dm7 | G7 | C |\nmel | A4:4 | C5:2 B4:2 | C5:4 |", &["2 sounds b7", "2 silent 4", "all quiet"]),
    ("key: F\nmeter: 3/4\n| F | Bb | Fmaj7 |\nmel | A4:3 | D5:3 | Bb4:2 A4:1 |", &["3 silent 4", "all quiet"]),
    ("key: G\n| C | D/F# | G |\nmel | G4:4 | G4:2 F#4:2 | G4:4 |", &["2 silent 3 4"]),
    // So too where it leans on the third for less than half of the chord, or resolves late.
    ("key: C\n| Dm7 | G7 | Cmaj7 |\nmel | A4:4 | C5:3/2 B4:5/2 | F4:3/2 E4:5/2 |", &["2 silent 4", "3 silent 4", "all unrubbed", "all quiet"]),
    ("key: C\nmeter: 3/4\n| Dm7 | G7 | C |\nmel | A4:3 | C5:1 B4:2 | C5:3 |", &["2 silent 4", "2 sounds b7", "all unrubbed"]),
    ("key: F\nmeter: 6/8\n| Bb | C7 | F |\nmel | D5:1 F5:1 | F4:1 E4:1 | Bb4:4/3 A4:2/3 |", &["3 silent 4", "all quiet"]),
    ("key: F\n| Gm7 | C7 | F |\nmel | Bb4:4 | F4:2 E4:2 | F4:4 |", &["2 silent 4", "2 unrubbed"]),
    // A 7-6 over a sixth chord leaves the 6 to the melody.
    ("key: Am\n| Dm6 | Am |\nmel | C5:2 B4:2 | A4:4 |", &["1 silent b7", "1 notes 3", "1 unrubbed", "all quiet"]),
    // A minor tonic under its b6 has no natural 6.
    ("key: Am\n| Dm7 | Am |\nmel | A4:4 | F5:2 E5:2 |", &["2 silent 6 5", "2 sounds b3", "all quiet"]),
    ("key: Em\n| F#m7b5 | B7b9 | Em |\nmel | E4:4 | D#4:4 | C5:2 B4:2 |", &["3 silent 6 5", "3 sounds b3 b7", "all quiet"]),
    // What is left has no half step at the bottom.
    ("key: F\n| C7 | F |\nmel | F4:2 E4:2 | F4:4 |", &["1 sounds b7 9", "1 silent 3 4", "1 bottom 2"]),
    // A 9 in the melody stands beside the b13 that the symbol names, in minor too.
    ("key: Dm\n| Em7 | A7b13 | Dm9 |\nmel | G4:4 | B4:2 C#5:2 | F5:4 |", &["2 only 3 b7 9 b13"]),
    // A #11 that nobody asks for gives way to the natural 11 in the melody, and not to its own.
    ("key: F\n| Bb Bbm7 Eb7 / | Am7 |\nmel | D5:1 Db5:1 Ab5:1/2 G5:1/2 F5:1 | E5:4 |", &["3 sounds 3 b7 9", "3 silent #11"]),
    ("key: F\n| Bb Bbm7 Eb7 / | Am7 |\nmel | D5:1 Db5:1 A5:1/2 G5:1/2 F5:1 | E5:4 |", &["3 sounds 3 b7 9 #11"]),
    // A triad that the melody suspends to its end is a suspended triad.
    ("key: C\n| Dm7 | G7 | C |\nmel | A4:4 | D5:4 | F4:4 |", &["3 only 1 4 5"]),
    // The melody sings a tone for a part of the chord: the hand has it.
    ("key: G\n| Am7b5 D7b9 | Gm6 |\nmel | C5:2 Eb5:1 C5:1 | Bb4:4 |", &["2 sounds 3 b7"]),
];

const TONICS: [&str; 12] = [
    "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
];

#[test]
fn every_case_is_played_as_wanted_in_every_key() {
    let mut failed = Vec::new();
    for (rows, wanted) in CASES {
        for tonic in TONICS {
            let arrangement = in_key(rows, tonic);
            let unmet = wanted.iter().filter(|wish| !is_met(&arrangement, wish));
            failed.extend(unmet.map(|wish| {
                let hand: Vec<String> = hands(&arrangement).map(ToString::to_string).collect();
                format!("{wish}: {rows}, C at {tonic}: {}", hand.join(" | "))
            }));
        }
    }
    assert!(failed.is_empty(), "{}", failed.join("\n"));
}

/// The same wishes can fail: each of these is not met.
#[test]
fn what_is_not_as_wanted_is_found() {
    let rows = "key: C\n| Dm7 | G7 | Cmaj7 |\nmel | F5:4 | D5:4 | E5:4 |";
    for wish in [
        "1 sounds 9",
        "1 either 9 11",
        "1 silent b3",
        "1 only 1 b3 5",
        "all notes 5",
        "1 from C4",
        "1 bottom 5",
        "1 line 1 1",
        "1 as 2",
        "2 falls 3 b7",
        "1 over b3 1",
    ] {
        assert!(!is_met(&in_key(rows, "C"), wish), "{wish}");
    }
    let rubbed = "key: C\n| G7 |\nlh | F3.A3.B3.E4 |\nmel | C5:2 A4:2 |";
    assert!(!is_met(&in_key(rubbed, "C"), "1 unrubbed"));
}

fn in_key(rows: &str, tonic: &str) -> Arrangement {
    let from: Name = "C".parse().unwrap();
    let by = Interval::between(from, tonic.parse().unwrap()).nearer();
    let chart = chart::read(rows).unwrap().transposed(by).unwrap();
    arrange(chart, &Settings::default(), &mut Cache::default()).unwrap()
}

fn hands(arrangement: &Arrangement) -> impl Iterator<Item = &Voicing> {
    arrangement
        .slots
        .iter()
        .filter_map(|slot| slot.voicing.as_ref())
}

fn is_met(arrangement: &Arrangement, wish: &str) -> bool {
    let words: Vec<&str> = wish.split(' ').collect();
    let [slot, what, rest @ ..] = &words[..] else {
        panic!("no wish: {wish}");
    };
    let slots = match slot.parse::<usize>() {
        Ok(number) => number - 1..number,
        Err(_) => 0..arrangement.slots.len(),
    };
    slots.into_iter().all(|at| met(arrangement, at, what, rest))
}

fn met(arrangement: &Arrangement, at: usize, what: &str, words: &[&str]) -> bool {
    let arranged = &arrangement.slots[at];
    let voicing = arranged.voicing.as_ref().unwrap();
    let Melody { held, leaning, .. } = Melody::of(&arranged.slot);
    let has = |degree: &&&str| sounds(voicing, degree).is_some();
    match (what, words) {
        ("sounds", degrees) => degrees.iter().all(|d| has(&d)),
        ("either", degrees) => degrees.iter().any(|d| has(&d)),
        ("silent", degrees) => !degrees.iter().any(|d| has(&d)),
        ("only", degrees) => {
            let wanted: BTreeSet<u8> = degrees.iter().map(|d| class(d)).collect();
            let sounding = voicing.notes.iter().map(|note| note.degree.class());
            sounding.collect::<BTreeSet<u8>>() == wanted
        }
        ("notes", [least]) => {
            let keys: BTreeSet<Pitch> = voicing.pitches().collect();
            let left = usize::from(keys.len() == 3 && !held.is_empty());
            keys.len() + left >= least.parse::<usize>().unwrap()
        }
        ("from", [floor]) => voicing.notes[0].pitch >= key(floor).unwrap(),
        ("clear", []) => top_gap(voicing) > 1,
        ("bottom", [least]) => {
            let keys: Vec<Pitch> = voicing.pitches().collect();
            keys[0].up_to(keys[1]).0 >= least.parse().unwrap()
        }
        ("apart", []) => {
            let top = voicing.pitches().last().unwrap();
            let near = |key: &Pitch| top.up_to(*key).0 == 2;
            !voicing.pitches().any(|key| held.contains(&key)) && !held.iter().any(near)
        }
        ("unrubbed", []) => {
            let rubs = |note: Pitch, key: &Pitch| matches!(note.up_to(*key).0, 1 | 13);
            let mut minded = held.iter().chain(&leaning);
            !minded.any(|key| voicing.pitches().any(|note| rubs(note, key)))
        }
        ("over", [upper, lower]) => {
            let (upper, lower) = (sounds(voicing, upper), sounds(voicing, lower));
            let root = arranged
                .slot
                .symbol
                .chord()
                .unwrap()
                .root()
                .class()
                .number();
            let printed = voicing.notes.last().unwrap().degree.class() == class("b13");
            upper.is_none() || upper > lower || printed && (7..=10).contains(&root)
        }
        ("falls", [seventh, third]) => {
            let next = arrangement.slots[at + 1].voicing.as_ref().unwrap();
            let ends = sounds(voicing, seventh).zip(sounds(next, third));
            ends.is_some_and(|(from, to)| from.up_to(to).0 == -1)
        }
        ("line", steps) => {
            let row: Vec<&Voicing> = hands(arrangement).skip(at).collect();
            let mut pairs = row.windows(2).zip(steps);
            pairs.all(|(pair, step)| moves_by(pair[0], pair[1]) == step.parse::<i32>().ok())
        }
        ("as", [other]) => {
            let other = other.parse::<usize>().unwrap() - 1;
            arrangement.slots[other].voicing.as_ref() == Some(voicing)
        }
        ("thick", []) => !voicing.thinned,
        ("quiet", []) => arrangement.warnings.is_empty(),
        ("without", [degree]) => {
            let words = format!("is played without its {degree}");
            let told = arrangement.warnings.iter().map(ToString::to_string);
            has(&degree) || told.into_iter().any(|told| told.contains(&words))
        }
        other => panic!("no wish: {other:?}"),
    }
}

fn class(degree: &str) -> u8 {
    degree.parse::<Degree>().unwrap().class()
}

/// The key on which a degree sounds.
fn sounds(voicing: &Voicing, degree: &str) -> Option<Pitch> {
    let mut notes = voicing.notes.iter();
    let found = notes.find(|note| note.degree.class() == class(degree));
    found.map(|note| note.pitch)
}

fn top_gap(voicing: &Voicing) -> i32 {
    let keys: Vec<Pitch> = voicing.pitches().collect();
    keys[keys.len() - 2].up_to(keys[keys.len() - 1]).0
}

/// By how much the one voice moves that moves.
fn moves_by(before: &Voicing, after: &Voicing) -> Option<i32> {
    let keys = |voicing: &Voicing| voicing.pitches().collect::<BTreeSet<Pitch>>();
    let (before, after) = (keys(before), keys(after));
    let left: Vec<&Pitch> = before.difference(&after).collect();
    let reached: Vec<&Pitch> = after.difference(&before).collect();
    match (&left[..], &reached[..]) {
        ([from], [to]) => Some(from.up_to(**to).0),
        _ => None,
    }
}
