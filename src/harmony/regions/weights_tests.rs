//! What speaks for a key and against it, worked out by hand from the rules.

use super::row::ChordRow;
use super::weights::{KeyStep, at_home, begin, change, end, prices};
use crate::chord::Chord;
use crate::harmony::local_key::LocalKey;
use crate::harmony::symbol_runs::SymbolRuns;

/// The weights' unit.
const UNIT: i32 = 64;

fn chords(symbols: &str) -> Vec<Chord> {
    let symbols = symbols.split(' ');
    symbols.map(|text| Chord::read(text).unwrap()).collect()
}

fn on_row<T>(symbols: &str, looped: bool, ask: impl Fn(&ChordRow<'_>) -> T) -> T {
    let chords = chords(symbols);
    let slots: Vec<Option<&Chord>> = chords.iter().map(Some).collect();
    ask(&ChordRow::of(&SymbolRuns::of(&slots), looped))
}

/// The keys of a step counted from C, with what they are worth and what a change costs more there, in
/// units: `C Cm 1 1`.
fn told(step: KeyStep) -> String {
    let names = [
        "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
    ];
    let name = |at: usize| names[at / 2].to_owned() + ["", "m"][at % 2];
    let keys = (0..LocalKey::COUNT).filter(|at| step.keys >> at & 1 == 1);
    let keys: Vec<String> = keys.map(name).collect();
    match keys.is_empty() {
        true => "-".to_owned(),
        false => format!(
            "{} {} {}",
            keys.join(" "),
            step.worth / UNIT,
            step.parted / UNIT
        ),
    }
}

fn steps(symbols: &str, looped: bool) -> Vec<String> {
    on_row(symbols, looped, |row| {
        let all = 0..row.events.len();
        all.map(|at| told(KeyStep::to(at, row, 0))).collect()
    })
}

/// Worked out by hand from the constants: 2 for a seventh chord that goes home and 1 for a triad, 1 for a ii
/// before its dominant, 1 more for the whole of it, and 2 more at the end.
#[test]
fn a_cadence_is_worth_what_the_rule_says() {
    for (symbols, wanted) in [
        ("Dm7 G7 Cmaj7 Am7", &["-", "C Cm 1 1", "C 3 0", "-"][..]),
        ("Dm7 G7 Cmaj7", &["-", "C Cm 1 1", "C 5 0"]),
        ("Bm7b5 E7 Am", &["-", "A Am 1 1", "Am 5 0"]),
        ("Bm7b5 E7 Am F", &["-", "A Am 1 1", "Am 3 0", "-"]),
        // Without its ii the last dominant is a dominant like any other.
        ("F G7 C", &["-", "-", "C 2 0"]),
        ("G7 Cm6 Db", &["-", "Cm 2 0", "-"]),
        ("G C Am", &["-", "C 1 0", "-"]),
        ("G+ Cm F", &["-", "Cm 1 0", "-"]),
        ("C F C", &["-", "F 1 0", "-"]),
        // The ii before a triad leads to the cadence, not to the triad.
        ("Dm7 G C Am", &["-", "-", "C 2 0", "-"]),
        // Neither a major seventh chord nor a suspended one goes home.
        ("Cmaj7 Fmaj7", &["-", "-"]),
        ("Gsus C", &["-", "-"]),
        ("C6 F", &["-", "-"]),
        // No goal that is a seventh chord, half-diminished or diminished.
        ("G7 C7", &["-", "-"]),
        ("G7 Cm7b5", &["-", "-"]),
        ("G7 Cdim7", &["-", "-"]),
        // A goal that goes on as the ii of a further dominant is none; before another chord it is.
        ("G7 Cm7 F7", &["-", "-", "Bb Bbm 1 1"]),
        ("G7 Cm7 Fm7", &["-", "Cm 2 0", "-"]),
        ("G7 Cm7 F6", &["-", "Cm 2 0", "-"]),
        ("G7 Cm7 Bb7", &["-", "Cm 2 0", "-"]),
        // A ii and its dominant that go back and forth are a i and its IV.
        ("Dm7 G7 Dm7 G7", &["-", "C Cm 0 1", "-", "C Cm 1 1"]),
        // A major chord is no ii, and a ii a fifth away is none either.
        ("D7 G7", &["-", "-"]),
        ("Dm7 A7", &["-", "-"]),
        ("Ddim7 G7", &["-", "-"]),
        // A chord over the bass of its dominant goes home as that one.
        ("Dm7/G Cmaj7 F", &["-", "C 2 0", "-"]),
        ("F/G C6 F", &["-", "C 2 0", "-"]),
        ("Fmaj7/A C6 F", &["-", "-", "-"]),
    ] {
        assert_eq!(steps(symbols, false), wanted, "{symbols}");
    }
}

#[test]
fn a_loop_has_no_end_and_goes_on_to_its_beginning() {
    let round = ["-", "C Cm 1 1", "C 3 0"];
    assert_eq!(steps("Dm7 G7 Cmaj7", true), round);
    assert_eq!(steps("G7 Cmaj7 Dm7", true), ["C Cm 1 1", "C 3 0", "-"]);
    assert_eq!(steps("Cmaj7 Dm7 G7", true), ["C 3 0", "-", "C Cm 1 1"]);
    assert_eq!(steps("Dm7 G7", true), ["-", "C Cm 0 1"]);
}

/// What beginning, ending and being at home weigh, for a chord of every kind on the tonic.
#[test]
fn a_tune_begins_ends_and_rests_on_its_tonic() {
    for (suffix, major, minor) in [
        // Begins, ends, rests.
        ("", [true, true, true], [false, true, true]),
        ("6", [true, true, true], [false, true, false]),
        ("maj7", [true, true, true], [false, true, false]),
        ("7", [true, true, true], [false, false, false]),
        ("m", [false, false, false], [true, true, true]),
        ("m7", [false, false, false], [true, true, true]),
        ("m6", [false, false, false], [true, true, true]),
        ("m7b5", [false, false, false], [false, false, false]),
        ("dim7", [false, false, false], [false, false, false]),
        ("+", [false, false, false], [false, false, false]),
        ("sus", [false, false, false], [false, false, false]),
        ("5", [false, false, false], [false, false, false]),
    ] {
        for (own, wanted) in [(0, major), (1, minor)] {
            on_row(&format!("C{suffix}"), false, |row| {
                let found = [
                    begin(row, own, 0, own) == -UNIT,
                    end(row, own, 0, own) == -2 * UNIT,
                ];
                let [begins, ends, rests] = wanted;
                assert_eq!(found, [begins, ends], "C{suffix} {own}");
                let nothing = [begin(row, own, 0, own) == 0, end(row, own, 0, own) == 0];
                assert_eq!(nothing, [!begins, !ends], "C{suffix} {own}");
                // Its share and, where a tune may begin with it, that it begins and both ends.
                let home = (i32::from(rests) * 2 + i32::from(begins) * (3 + 2)) * UNIT;
                assert_eq!(at_home(row, own, 0), home, "C{suffix} {own}");
            });
        }
    }
}

/// Going away costs 5 and coming back 3, each change a little more; ending elsewhere costs as much as coming
/// back.
#[test]
fn to_be_elsewhere_costs_a_change() {
    let [c, g] = [0, 14];
    assert_eq!(change(g, c), 5 * 64 + 1);
    assert_eq!(change(c, c), 3 * 64 + 1);
    on_row("Am C", false, |row| {
        assert_eq!(begin(row, g, 0, c), 5 * 64 + 1);
        assert_eq!(end(row, g, 0, c), 3 * 64 + 1);
        assert_eq!(end(row, c, 0, g), 3 * 64 + 1 - 2 * 64);
    });
}

/// A share of 2 for what is spent on the tonic, 3 for beginning there and 2 for both ends.
#[test]
fn home_weighs_its_ends_and_its_share() {
    let weighs = |symbols: &str, own: usize| on_row(symbols, false, |row| at_home(row, own, 0));
    let [c, cm, f, g] = [0, 1, 10, 14];
    assert_eq!(weighs("C F G C", c), 192 + 128 + 64);
    assert_eq!(weighs("C F G G", c), 192 + 32);
    assert_eq!(weighs("F G G C", c), 32);
    assert_eq!(weighs("C F G C", f), 32);
    assert_eq!(weighs("C F G G", g), 64);
    assert_eq!(weighs("C7 F7 C7", c), 192 + 128 + 85);
    assert_eq!(weighs("Cm Fm C", cm), 192 + 128 + 85);
    assert_eq!(weighs("Dm7 G7", c), 0);
}

/// What nothing explains costs twice as much where it is held for four slots, and nothing else does.
#[test]
fn a_foreign_chord_that_is_held_costs_twice() {
    let price = |symbol: &str, slots: usize| {
        let row = vec![symbol; slots].join(" ");
        on_row(&row, false, |row| prices(&row.events[0], 0)[0])
    };
    for (slots, foreign) in [(1, 5), (3, 5), (4, 10), (9, 10)] {
        assert_eq!(price("F#m7", slots), foreign * 64, "{slots}");
        assert_eq!(price("Ebmaj7", slots), 2 * 64, "{slots}");
        assert_eq!(price("Dm7", slots), 0, "{slots}");
    }
}
