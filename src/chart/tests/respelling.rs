//! What chromatic chords and notes are called after a chart has moved to another key.

use crate::chart::{Chart, read};
use crate::chord::{Chord, Family};
use crate::pitch::{Interval, Key, Name, Pitch};

/// Every key a chart is asked for, with its tonic's name first.
const KEYS: [&str; 13] = [
    "C", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B",
];

fn moved(chart: &Chart, to: &str) -> Chart {
    let from = chart.key().unwrap().tonic();
    let to: Key = to.parse().unwrap();
    let up = Interval::between(from, to.tonic()).nearer();
    chart.transposed(up).unwrap()
}

fn chord_in(key: &str, symbol: &str, to: &str) -> String {
    let chart = read(&format!("key: {key}\n| {symbol} |\n")).unwrap();
    moved(&chart, to).slots()[0].symbol.text().to_owned()
}

fn row(text: &str, to: &str, label: &str) -> String {
    let tidy = moved(&read(text).unwrap(), to).tidy();
    let line = tidy.lines().find(|line| line.starts_with(label)).unwrap();
    line.to_owned()
}

fn assert_everywhere(sources: [(&str, &str); 3], expected: [&str; 13]) {
    for (key, symbol) in sources {
        let there = KEYS.map(|to| chord_in(key, symbol, to));
        assert_eq!(there, expected, "{symbol} in {key}");
    }
}

#[test]
fn tritone_substitutes_take_their_everyday_names() {
    assert_everywhere(
        [("Ab", "A7"), ("C", "Db7"), ("Eb", "E7")],
        [
            "Db7", "D7", "Eb7", "E7", "F7", "Gb7", "G7", "G7", "Ab7", "A7", "Bb7", "B7", "C7",
        ],
    );
}

#[test]
fn passing_diminished_chords_rise() {
    assert_everywhere(
        [("Ab", "Adim7"), ("C", "C#dim7"), ("Eb", "Edim7")],
        [
            "C#dim7", "Ddim7", "D#dim7", "Edim7", "E#dim7", "F#dim7", "Gdim7", "Gdim7", "G#dim7",
            "Adim7", "A#dim7", "Bdim7", "B#dim7",
        ],
    );
    assert_everywhere(
        [("Ab", "Bdim7"), ("C", "D#dim7"), ("Eb", "F#dim7")],
        [
            "D#dim7", "Edim7", "E#dim7", "F#dim7", "Gdim7", "G#dim7", "Adim7", "Adim7", "A#dim7",
            "Bdim7", "B#dim7", "C#dim7", "Ddim7",
        ],
    );
    assert_everywhere(
        [("Ab", "Edim7"), ("C", "G#dim7"), ("Eb", "Bdim7")],
        [
            "G#dim7", "Adim7", "A#dim7", "Bdim7", "B#dim7", "C#dim7", "Ddim7", "Ddim7", "D#dim7",
            "Edim7", "E#dim7", "F#dim7", "Gdim7",
        ],
    );
}

#[test]
fn chords_near_the_key_keep_the_interval() {
    for (key, symbol, to, there) in [
        ("C", "F#m7b5", "A", "D#m7b5"),
        ("C", "F#m7b5", "B", "E#m7b5"),
        ("C", "Bb7", "Ab", "Gb7"),
        ("C", "E7", "F#", "A#7"),
        ("C", "B7", "F#", "E#7"),
        ("Am", "E7", "C#m", "G#7"),
        ("C", "F7", "Gb", "Cb7"),
        ("C", "Abmaj7", "Eb", "Cbmaj7"),
        ("C", "Bb7", "Db", "Cb7"),
        ("C", "Fm7", "Gb", "Bm7"),
        ("C", "Bb9", "Gb", "E9"),
        ("C", "Abmaj7", "Ab", "Emaj7"),
        ("Am", "Fmaj7", "Abm", "Fbmaj7"),
        ("C", "F#7", "B", "F7"),
    ] {
        assert_eq!(chord_in(key, symbol, to), there, "{symbol} in {key}");
    }
}

#[test]
fn a_bass_goes_with_its_chord() {
    for (key, symbol, to, there) in [
        ("Ab", "A7/C#", "A", "Bb7/D"),
        ("Ab", "A7/Db", "A", "Bb7/D"),
        ("Ab", "A7/B", "A", "Bb7/C"),
        ("C", "C/Bb", "Db", "Db/Cb"),
        ("C", "C#dim7/E", "E", "E#dim7/G#"),
        ("C", "Db/Eb", "Bb", "B/C#"),
        ("C", "A7/C#", "F#", "D#7/G"),
        ("Ab", "Bbm7/A", "A", "Bm7/Bb"),
    ] {
        assert_eq!(chord_in(key, symbol, to), there, "{symbol} in {key}");
    }
}

#[test]
fn notes_are_spelled_as_tones_of_their_chord() {
    let text = "key: Ab\n| Bbm7 A7 | % |\nmel | A4:2 C#5:2 | A4:2 A4:2 |\n\
                lh | Ab3.C4 G3.C#4 | ? ?with=C#4 |\n";
    assert_eq!(
        row(text, "A", "mel"),
        "mel  | A#4:2 D5:2    | A#4:2 Bb4:2 |"
    );
    let hand = row(text, "A", "lh");
    assert!(hand.contains("A3.C#4 Ab3.D4"), "{hand}");
    assert!(hand.contains("? ?with=D4"), "{hand}");
}

#[test]
fn a_note_spelled_against_its_chord_stays_so_unless_the_chord_is_respelled() {
    let text = "key: Bb\n| G7alt |\nmel | Bb4:4 |\n";
    assert_eq!(row(text, "C", "mel"), "mel  | C5:4  |");
    let flat = "key: Ab\n| A7 |\nmel | Db5:4 |\n";
    assert_eq!(row(flat, "G", "mel"), "mel  | C5:4 |");
    assert_eq!(row(flat, "Bb", "mel"), "mel  | Eb5:4 |");
}

#[test]
fn a_melody_is_renamed_with_its_chord() {
    let text = "key: F\n| Bbm7 Eb9 |\nmel | Db5:2 C5:1 Bb4:1 |\n";
    assert_eq!(row(text, "Gb", "mel"), "mel  | D5:2 C#5:1 B4:1 |");
    assert_eq!(row(text, "E", "mel"), "mel  | C5:2 B4:1 A4:1 |");
}

#[test]
fn other_notes_avoid_white_keys_by_black_names() {
    let text = "key: Ab\n| Bbm7 |\nmel | A4:1 A4:1 G4:1 B4:1 |\n";
    assert_eq!(row(text, "E", "mel"), "mel  | F4:1 F4:1 D#4:1 G4:1 |");
    let leading = "key: Ab\n| Eb7 |\nmel | B3:1 G4:1 r:2 |\n";
    assert_eq!(row(leading, "A", "mel"), "mel  | C4:1 G#4:1 r:2 |");
    let sharp = "key: C\n| G7 |\nmel | B4:4 |\n";
    assert_eq!(row(sharp, "C#", "mel"), "mel  | B#4:4 |");
}

/// A row, a space between its words.
fn words(text: &str, to: &str, label: &str) -> String {
    let row = row(text, to, label);
    row.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn an_everyday_name_goes_where_its_tone_goes() {
    let text = "key: Db\n| Bb7b9 | Gbm7 |\nmel | B4:4 | E5:4 |\nlh | F3.Ab3.B3.D4 | A3.B3.E4 |\n";
    assert_eq!(words(text, "Bb", "mel"), "mel | Ab4:4 | Db5:4 |");
    assert_eq!(words(text, "Bb", "lh"), "lh | D3.F3.Ab3.B3 | Gb3.Ab3.Db4 |");
    // And comes back.
    let there = moved(&read(text).unwrap(), "Bb").tidy();
    assert_eq!(words(&there, "Db", "mel"), "mel | B4:4 | E5:4 |");
    // Where names are by theory, what was written every day is still the same tone.
    let strict = format!("spelling: strict\n{text}");
    assert_eq!(words(&strict, "Bb", "mel"), words(text, "Bb", "mel"));
    // Under no chord, a white key ten fifths above the tonic is a flat as well.
    let silent = "key: Db\n| N.C. |\nmel | B4:2 A4:2 |\n";
    assert_eq!(words(silent, "Bb", "mel"), "mel | Ab4:2 F#4:2 |");
}

#[test]
fn a_hand_has_no_letter_twice_in_its_new_key() {
    let text = "key: F\n| Bbm7 |\nlh | Db4.F4.Ab4.C5 |\n";
    assert_eq!(words(text, "Ab", "lh"), "lh | Fb4.Ab4.Cb5.Eb5 |");
}

#[test]
fn a_tone_of_a_chord_has_its_everyday_name_too_unless_theory_is_asked_for() {
    let text = "key: C\n| Fm6 | Cm7 |\nmel | Ab4:4 | Eb5:4 |\n";
    assert_eq!(row(text, "Db", "mel"), "mel  | A4:4 | E5:4 |");
    // Gb has the Cb itself.
    let flat = "key: C\n| F7 |\nmel | F4:4 |\n";
    assert_eq!(row(flat, "Gb", "mel"), "mel  | Cb5:4 |");
    let strict = format!("spelling: strict\n{text}");
    assert_eq!(row(&strict, "Db", "mel"), "mel  | Bbb4:4 | Fb5:4 |");
}

#[test]
fn without_a_key_the_interval_alone_decides() {
    let up = Interval::between("Ab".parse().unwrap(), "A".parse().unwrap());
    let chart = read("| A7 |\nmel | E4:4 |\n").unwrap();
    let tidy = chart.transposed(up).unwrap().tidy();
    assert!(tidy.contains("A#7") && tidy.contains("E#4"), "{tidy}");
}

#[test]
fn a_chart_that_stays_in_its_key_stays_as_it_is() {
    let chart = read("key: C\n| C#7 E#dim7 |\nmel | B#3:4 |\n").unwrap();
    assert_eq!(chart.transposed(Interval::UNISON), Some(chart));
}

fn demo() -> Vec<Chart> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/charts");
    let files = std::fs::read_dir(folder).unwrap();
    let paths = files.map(|file| file.unwrap().path());
    let charts: Vec<Chart> = paths
        .filter(|path| path.extension().is_some_and(|end| end == "chart"))
        .map(|path| read(&std::fs::read_to_string(path).unwrap()).unwrap())
        .collect();
    assert!(!charts.is_empty());
    charts
}

fn chords(chart: &Chart) -> Vec<Chord> {
    let slots = chart.slots().into_iter();
    slots
        .filter_map(|slot| slot.symbol.chord().cloned())
        .collect()
}

/// What sounds, whatever it is called.
fn sounds(chart: &Chart) -> Vec<(Vec<u8>, Vec<Pitch>)> {
    let chord = |chord: &Chord| {
        let bass = chord.bass().map(Name::class);
        let classes = [Some(chord.root().class()), bass];
        classes.into_iter().flatten().map(|c| c.number()).collect()
    };
    let slots = chart.slots().into_iter();
    slots
        .map(|slot| {
            (
                slot.symbol.chord().map(chord).unwrap_or_default(),
                slot.melody,
            )
        })
        .collect()
}

/// Whether it stands on a white key by a black key's name that neither the signature nor the
/// degrees borrowed from minor explain.
fn is_odd(chord: &Chord, key: Key) -> bool {
    let name = chord.root();
    let rising =
        name.alter() > 0 && matches!(chord.family(), Family::Diminished | Family::HalfDiminished);
    let odd = ["B#", "E#", "Cb", "Fb"].contains(&name.to_string().as_str());
    odd && !rising && !(-4..=5).contains(&(name.fifths() - key.fifths()))
}

#[test]
fn the_demo_charts_read_well_in_every_key_and_come_back() {
    for chart in demo() {
        let minor = chart.key().unwrap().mode() == crate::pitch::Mode::Minor;
        for tonic in KEYS {
            if chart.key().unwrap().tonic().to_string() == tonic {
                continue;
            }
            let there = moved(&chart, tonic);
            let key = there.key().unwrap();
            assert!(minor || key.to_string() == tonic);
            for chord in chords(&there) {
                assert!(chord.root().alter().abs() < 2, "{chord} in {key}");
                assert!(!is_odd(&chord, key), "{chord} in {key}");
            }
            let back = moved(&there, &chart.key().unwrap().tonic().to_string());
            assert!(same_up_to_octaves(&sounds(&back), &sounds(&chart)));
        }
    }
}

/// A tritone has no nearer way, so there and back may end an octave off, all of it alike.
fn same_up_to_octaves(one: &[(Vec<u8>, Vec<Pitch>)], other: &[(Vec<u8>, Vec<Pitch>)]) -> bool {
    let pitches = |part: &[(Vec<u8>, Vec<Pitch>)]| -> Vec<i32> {
        let pitches = part.iter().flat_map(|(_, tune)| tune);
        pitches.map(|pitch| i32::from(pitch.midi())).collect()
    };
    let apart = |(a, b): (&i32, &i32)| a - b;
    let (a, b) = (pitches(one), pitches(other));
    let offsets: std::collections::BTreeSet<i32> = a.iter().zip(&b).map(apart).collect();
    let chords = one.iter().map(|(chord, _)| chord);
    chords.eq(other.iter().map(|(chord, _)| chord))
        && offsets.len() < 2
        && offsets.iter().all(|offset| offset % 12 == 0)
}
