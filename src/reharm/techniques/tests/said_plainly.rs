//! What the tune or the page says plainly isn't taken back by a proposal, in all keys.

use super::stage::{Stage, TONICS, made};

/// What a technique makes of a page in all keys: whether it has anything to propose.
fn is_made(technique: &str, key: &str, chords: &str, melody: &str) -> [bool; 12] {
    let rows = format!("{chords}\nmel | {melody} |");
    TONICS.map(|tonic| {
        let stage = Stage::new(key, &rows).moved(tonic);
        let mut made = stage.by(technique).into_iter();
        made.any(|proposal| proposal.spots.start == 0)
    })
}

/// What the tune says plainly of a chord isn't taken back under it.
#[test]
fn a_melody_that_says_which_chord_is_meant_keeps_it() {
    for (technique, key, chords, melody, made) in [
        // The minor third is sung: the chord doesn't turn major, whatever its symbol says.
        (
            "secondary-dominant",
            "Cm",
            "| Cm7 | Fm7 |",
            "r:2 Eb5:2 | r:4",
            false,
        ),
        (
            "secondary-dominant",
            "Cm",
            "| Cm7 | Fm7 |",
            "r:2 Bb4:2 | r:4",
            true,
        ),
        // The 7 goes by, and a b7 beside it is a mistake of one of them.
        (
            "secondary-dominant",
            "C",
            "| C | F |",
            "r:2 C5:1/2 B4:1/2 A4:1 | r:4",
            false,
        ),
        (
            "secondary-dominant",
            "C",
            "| C | F |",
            "r:2 C5:1/2 D5:1/2 E5:1 | r:4",
            true,
        ),
        // A #11 has the fourth's place.
        ("sus-delay", "C", "| G7#11 | Em7 |", "r:4 | r:4", false),
        ("sus-delay", "C", "| G9 | Em7 |", "r:4 | r:4", true),
        // A, which is reached and left by leap, says Fmaj7 and no Fm7, however short it is; left by step it goes by.
        (
            "borrowed",
            "C",
            "| Fmaj7 | C |",
            "C5:3/2 A4:1/2 C5:2 | r:4",
            false,
        ),
        (
            "borrowed",
            "C",
            "| Fmaj7 | C |",
            "C5:3/2 A4:1/2 G4:2 | r:4",
            true,
        ),
        // Ab7 leads to Gm7 already: D7 would say the same once more.
        (
            "secondary-dominant",
            "Bb",
            "| Ab7 | Gm7 |",
            "r:4 | r:4",
            false,
        ),
        (
            "secondary-dominant",
            "Bb",
            "| Bbmaj7 | Gm7 |",
            "r:4 | r:4",
            true,
        ),
        // A diminished chord that fills a step doesn't stand under the tone above its root, nor under the root of the
        // dominant it stands for.
        (
            "passing-diminished",
            "G",
            "| D | Em |",
            "r:2 F5:2 | r:4",
            false,
        ),
        (
            "passing-diminished",
            "G",
            "| D | Em |",
            "r:2 F#5:2 | r:4",
            true,
        ),
        (
            "passing-diminished",
            "G",
            "| D | Em |",
            "r:2 B4:2 | r:4",
            false,
        ),
        // A dominant that slides down has the natural 9.
        (
            "half-step-approach",
            "C",
            "| Dm7 | Em7 |",
            "r:2 F#4:2 | r:4",
            false,
        ),
        (
            "half-step-approach",
            "C",
            "| Dm7 | Em7 |",
            "r:2 G4:2 | r:4",
            true,
        ),
    ] {
        assert_eq!(
            is_made(technique, key, chords, melody),
            [made; 12],
            "{technique}: {melody}"
        );
    }
}

/// A written substitute that slides into the tonic is no worse than the plain V.
#[test]
fn a_slide_home_is_not_put_back() {
    for (chords, made) in [("| Db7 | Cmaj7 |", false), ("| Eb7 | Dm7 |", true)] {
        assert_eq!(
            is_made("tritone", "C", chords, "r:4 | r:4"),
            [made; 12],
            "{chords}"
        );
    }
}

/// A half-diminished ii belongs to a cadence, and isn't answered by the tone it bends.
#[test]
fn a_borrowed_two_darkens_a_cadence() {
    for (chords, melody, made) in [
        ("| Dm7 | G7 | Cmaj7 |", "r:4 | r:4 | r:4", true),
        ("| Dm7 | G7 | Em7 |", "r:4 | r:4 | r:4", false),
        ("| Dm7 | G7 | Cmaj7 |", "r:4 | A4:2 B4:2 | r:4", false),
        ("| Dm7 | Em7 | Cmaj7 |", "r:4 | r:4 | r:4", false),
    ] {
        assert_eq!(
            is_made("borrowed", "C", chords, melody),
            [made; 12],
            "{chords} {melody}"
        );
    }
}

/// Chords that come to a tune only where they say something it hasn't just said, and leave it what it lives by.
#[test]
fn what_has_its_place_is_made_and_elsewhere_it_is_not() {
    for (technique, before, after, wanted) in [
        // F lasts a beat from the third one on, and rubs the E of Am7.
        (
            "diatonic",
            "| Fmaj7 | G7 |\nmel | A4:1 G4:1 F4:1 E4:1 | r:4 |",
            "| Am7 | G7 |",
            false,
        ),
        (
            "diatonic",
            "| Fmaj7 | G7 |\nmel | A4:1 G4:1/2 F4:1/2 E4:2 | r:4 |",
            "| Am7 | G7 |",
            true,
        ),
        // The tune spells C under Am7's place, which has all of it, and G where it has but one note of it.
        (
            "diatonic",
            "| C | G |\nmel | G5:1 E5:1 C5:1 E5:1 | r:4 |",
            "| Am7 | G |",
            true,
        ),
        (
            "related-ii",
            "| G7 | Cmaj7 |\nmel | B4:1/2 D5:1/2 G5:1/2 D5:1/2 r:2 | r:4 |",
            "| Dm7 G7 | Cmaj7 |",
            false,
        ),
        (
            "related-ii",
            "| G7 | Cmaj7 |\nmel | F5:1/2 E5:1/2 D5:1/2 C5:1/2 r:2 | r:4 |",
            "| Dm7 G7 | Cmaj7 |",
            true,
        ),
        // E, which is left by leap, is the fifth of Am7, and no b9 that goes by.
        (
            "half-step-approach",
            "| Am7 D7 | G6 |\nmel | G5:1 C5:1/2 E5:1/2 D5:2 | r:4 |",
            "| Eb7 D7 | G6 |",
            false,
        ),
        (
            "half-step-approach",
            "| Am7 D7 | G6 |\nmel | G5:2 D5:2 | r:4 |",
            "| Eb7 D7 | G6 |",
            true,
        ),
        // The II7 of a ii is no news; that of a vi is.
        (
            "secondary-dominant",
            "| Dm7 | G7 |",
            "| Dm7 D7 | G7 |",
            false,
        ),
        (
            "secondary-dominant",
            "| Am7 | Dm7 |",
            "| Am7 A7 | Dm7 |",
            true,
        ),
        // A suspension that resolves next is not passed over, and a #11 in the tune leaves no room for one.
        (
            "passing-diminished",
            "| F | Gsus4 | G |",
            "| F | F#dim7 | G |",
            false,
        ),
        (
            "sus-delay",
            "| G7 | C6 |\nmel | D5:2 C#5:2 | r:4 |",
            "| G7sus G7 | C6 |",
            false,
        ),
        // A blues is too plain for a half-diminished ii.
        (
            "borrowed",
            "| C7 | F7 | Dm7 | G7 | C7 |",
            "| C7 | F7 | Dm7b5 | G7 | C7 |",
            false,
        ),
        (
            "borrowed",
            "| C6 | F6 | Dm7 | G7 | C6 |",
            "| C6 | F6 | Dm7b5 | G7 | C6 |",
            true,
        ),
        // Db7 has just sounded.
        (
            "tritone",
            "| Db7 | Dm7 G7 | C6 |",
            "| Db7 | Dm7 Db7 | C6 |",
            false,
        ),
        (
            "tritone",
            "| Fm6 | Dm7 G7 | C6 |",
            "| Fm6 | Dm7 Db7 | C6 |",
            true,
        ),
        // A whole bar of V is the blues' own.
        ("tritone", "| Dm7 | G7 | C7 |", "| Dm7 | Db7 | C7 |", false),
        ("tritone", "| Dm7 G7 | C7 |", "| Dm7 Db7 | C7 |", true),
        ("tritone", "| Dm7 | G7 | C6 |", "| Dm7 | Db7 | C6 |", true),
    ] {
        for tonic in TONICS {
            let found = made("C", technique, before, &[after], tonic);
            assert_eq!(found.is_ok(), wanted, "{before} on {tonic}: {found:?}");
        }
    }
}
