//! Three-note shapes, guide tones, shells, blocks, and the yardsticks.

use compline::voicing::{block_nearest, block_root};

use super::*;
use Colour::Natural;

#[test]
fn thin_shapes_are_exactly_what_is_taught() {
    for row in rows(include_str!("thin.txt")) {
        let [symbol, where_to, shape, layouts] = row[..] else {
            panic!("not four cells: {row:?}");
        };
        let found = voiced(
            symbol,
            context(where_to),
            &settings(shape, Natural, free_hand()),
        );
        let shown = |v: &Voicing| format!("{} {}", form(v), degrees(v));
        // The 5 for a 13 costs half a tension.
        let half = SurchargeWeights::default().plain / 2;
        let usual = found.voicings.iter().filter(|v| v.surcharges.plain <= half);
        let mut got: Vec<String> = usual.map(shown).collect();
        let mut want: Vec<String> = layouts.split(", ").map(str::to_owned).collect();
        got.sort();
        got.dedup();
        want.sort();
        assert_eq!(got, want, "{symbol} {shape}");
    }
}

#[test]
fn a_chord_that_names_more_has_no_shell() {
    let chord = chord("C9");
    let ask = Ask {
        chord: &chord,
        context: ELSEWHERE,
        melody: &Melody::NONE,
    };
    let none = candidates(&ask, &settings("shell", Natural, free_hand())).unwrap_err();
    assert_eq!(
        none.loosening.unwrap().to_string(),
        "add the shape rootless to the palette"
    );
}

#[test]
fn yardsticks_are_plain_close_chords() {
    let root = |symbol: &str| block_root(&chord(symbol)).unwrap().to_string();
    // The published contrast case: 21 + 27 semitones, and every note of it in range.
    assert_eq!(
        ["Dm7", "G7", "Cmaj7"].map(root),
        ["D3 F3 A3 C4", "G3 B3 D4 F4", "C3 E3 G3 B3"]
    );
    assert_eq!(
        ["B13", "Am", "C5"].map(root),
        ["B3 D#4 F#4 A4", "A3 C4 E4", "C3 G3"]
    );
    let shown = |symbol: &str| -> Vec<String> {
        let all = block_nearest(&chord(symbol), Range::default());
        all.iter().map(ToString::to_string).collect()
    };
    assert_eq!(shown("C"), ["C3 E3 G3", "E3 G3 C4", "G3 C4 E4", "C4 E4 G4"]);
    assert_eq!(
        shown("G7"),
        ["D3 F3 G3 B3", "F3 G3 B3 D4", "G3 B3 D4 F4", "B3 D4 F4 G4"]
    );
}
