//! Stock progressions, read as the texts read them.

use super::{does, reads};

#[test]
fn two_five_one_goes_to_every_diatonic_goal() {
    reads("Cmaj7 Dm7 G7 Cmaj7", "C", "Imaj7 ii7 V7 Imaj7");
    reads(
        "Cmaj7 Em7b5 A7 Dm7 G7 C6",
        "C",
        "Imaj7 iiø7/ii V7/ii ii7 V7 I6",
    );
    reads(
        "Cmaj7 F#m7b5 B7 Em7 Dm7 G7 C6",
        "C",
        "Imaj7 iiø7/iii V7/iii iii7 ii7 V7 I6",
    );
    reads(
        "Cmaj7 Gm7 C7 Fmaj7 Dm7 G7 C6",
        "C",
        "Imaj7 ii7/IV V7/IV IVmaj7 ii7 V7 I6",
    );
    reads("Cmaj7 Am7 D7 G7 C6", "C", "Imaj7 vi7 V7/V V7 I6");
    reads(
        "Cmaj7 Bm7b5 E7 Am7 Dm7 G7 C6",
        "C",
        "Imaj7 viiø7 V7/vi vi7 ii7 V7 I6",
    );
}

#[test]
fn related_twos_and_secondary_dominants_name_their_goal() {
    does(
        "Cmaj7 Gm7 C7 Fmaj7 Bm7b5 E7 Am7 D7 Dm7 G7 C6",
        "C",
        &[
            "tonic",
            "related ii of IV",
            "secondary dominant of IV",
            "subdominant",
            "minor ii of vi",
            "secondary dominant of vi",
            "related ii of V",
            "secondary dominant of V",
            "subdominant",
            "dominant",
            "tonic",
        ],
    );
}

#[test]
fn the_minor_two_five_one() {
    reads("Cm6 Dm7b5 G7 Cm6", "Cm", "i6 iiø7 V7 i6");
    does(
        "Cm6 Dm7b5 G7 Cm6",
        "Cm",
        &["tonic", "minor ii", "dominant", "tonic"],
    );
    reads(
        "Cm7 Fm7 Bb7 Ebmaj7 Abmaj7 Dm7b5 G7 Cm6",
        "Cm",
        "i7 iv7 V7/bIII bIIImaj7 bVImaj7 iiø7 V7 i6",
    );
}

#[test]
fn the_backdoor_and_the_minor_subdominant() {
    does(
        "Cmaj7 Fmaj7 Fm7 Bb7 Cmaj7",
        "C",
        &[
            "tonic",
            "subdominant",
            "borrowed",
            "backdoor dominant",
            "tonic",
        ],
    );
    reads("Cmaj7 Fmaj7 Fm6 Cmaj7", "C", "Imaj7 IVmaj7 iv6 Imaj7");
}

#[test]
fn a_major_seventh_on_five_is_no_dominant() {
    does(
        "Cmaj7 Gmaj7 Cmaj7 Dm7 G7 C6",
        "C",
        &[
            "tonic",
            "borrowed",
            "tonic",
            "subdominant",
            "dominant",
            "tonic",
        ],
    );
}

#[test]
fn borrowed_chords_are_named_as_such() {
    for (symbol, numeral) in [
        ("Dm7b5", "iiø7"),
        ("Ebmaj7", "bIIImaj7"),
        ("Fm7", "iv7"),
        ("Gm7", "v7"),
        ("Abmaj7", "bVImaj7"),
        ("Bb7", "bVII7"),
        ("Dbmaj7", "bIImaj7"),
    ] {
        let symbols = format!("Cmaj7 {symbol} Fmaj7 G7 Cmaj7");
        let numerals = format!("Imaj7 {numeral} IVmaj7 V7 Imaj7");
        reads(&symbols, "C", &numerals);
        does(
            &symbols,
            "C",
            &["tonic", "borrowed", "subdominant", "dominant", "tonic"],
        );
    }
}

#[test]
fn diminished_chords_pass_and_decorate() {
    reads("C6 C#dim7 Dm7 D#dim7 Em7", "C", "I6 #io7 ii7 #iio7 iii7");
    does(
        "C6 C#dim7 Dm7 G7 C6",
        "C",
        &[
            "tonic",
            "passing diminished of ii",
            "subdominant",
            "dominant",
            "tonic",
        ],
    );
    does(
        "C6 Cdim7 C6 Em7 Ebdim7 Dm7 G7 C6",
        "C",
        &[
            "tonic",
            "auxiliary diminished of I",
            "tonic",
            "tonic",
            "passing diminished of ii",
            "subdominant",
            "dominant",
            "tonic",
        ],
    );
}

/// `Em7 Am7 Dm7 G7 C` and what is put in its place: "Reharmonization Summary".
#[test]
fn the_cycle_and_its_substitutes() {
    reads("Em7 Am7 Dm7 G7 C", "C", "iii7 vi7 ii7 V7 I");
    reads("E7 A7 D7 G7 C", "C", "III7 VI7 V7/V V7 I");
    does(
        "E7 A7 D7 G7 C",
        "C",
        &[
            "extended dominant of VI",
            "extended dominant of II",
            "secondary dominant of V",
            "dominant",
            "tonic",
        ],
    );
    reads(
        "Em7 Eb7 Dm7 Db7 Cmaj7",
        "C",
        "iii7 subV7/ii ii7 subV7 Imaj7",
    );
    reads("Em7 Ebdim7 Dm7 G7 C", "C", "iii7 biiio7 ii7 V7 I");
}

/// The jazz blues (an encyclopedia's articles on the twelve-bar blues and its variants, citing Jacobs 2011).
#[test]
fn the_twelve_bar_jazz_blues() {
    let plain = "C7 F7 C7 C7 | F7 F7 C7 Em7 A7 | Dm7 G7 C7 A7 Dm7 G7";
    reads(
        plain,
        "C",
        "I7 IV7 I7 I7 IV7 IV7 I7 iii7 V7/ii ii7 V7 I7 V7/ii ii7 V7",
    );
    let with_diminished = "C7 F7 C7 C7 | F7 F#dim7 C7 Em7 A7 | Dm7 G7 C7 A7 Dm7 G7";
    does(
        with_diminished,
        "C",
        &[
            "blues tonic of IV",
            "blues subdominant",
            "blues tonic of IV",
            "blues tonic of IV",
            "blues subdominant",
            "passing diminished of I",
            "blues tonic",
            "related ii of ii",
            "secondary dominant of ii",
            "subdominant",
            "dominant",
            "blues tonic",
            "secondary dominant of ii",
            "subdominant",
            "dominant",
        ],
    );
}

/// The blues of descending ii-V's (the same article, citing Baerman 1998, p. 63).
#[test]
fn the_blues_of_chromatic_two_fives() {
    let symbols = "Cmaj7 | Bm7b5 E7 | Am7 D7 | Gm7 C7 | F7 | Fm7 Bb7 | Em7 A7 | Ebm7 Ab7 \
                   | Dm7 | G7 | Cmaj7 A7 | Dm7 G7";
    reads(
        symbols,
        "C",
        "Imaj7 viiø7 V7/vi vi7 V7/v ii7/IV V7/IV IV7 iv7 bVII7 iii7 V7/ii biii7 subV7/V ii7 V7 \
         Imaj7 V7/ii ii7 V7",
    );
    does(
        symbols,
        "C",
        &[
            "tonic",
            "minor ii of vi",
            "secondary dominant of vi",
            "related ii of V",
            "secondary dominant of v",
            "related ii of IV",
            "secondary dominant of IV",
            "blues subdominant",
            "borrowed",
            "backdoor dominant",
            "related ii of ii",
            "secondary dominant of ii",
            "related ii of V",
            "tritone substitute of V",
            "subdominant",
            "dominant",
            "tonic",
            "secondary dominant of ii",
            "subdominant",
            "dominant",
        ],
    );
}

/// The eight-bar stock form: I V7 IV IV, I V7 I V7, here with sevenths (common practice, no source).
#[test]
fn the_eight_bar_stock_progression() {
    reads("C7 G7 F7 F7 C7 G7 C7 G7", "C", "I7 V7 IV7 IV7 I7 V7 I7 V7");
    reads(
        "C6 E7 A7 A7 D7 G7 C6 G7",
        "C",
        "I6 III7 VI7 VI7 V7/V V7 I6 V7",
    );
}

#[test]
fn chains_of_substitutes_and_their_twos() {
    reads("Cmaj7 Abm7 Db7 Cmaj7", "C", "Imaj7 bvi7 subV7 Imaj7");
    does(
        "Cmaj7 Abm7 Db7 Cmaj7",
        "C",
        &[
            "tonic",
            "related ii of I",
            "tritone substitute of I",
            "tonic",
        ],
    );
    reads("Cmaj7 Ab7 G7 Cmaj7", "C", "Imaj7 subV7/V V7 Imaj7");
}
