//! What the new chords are called: by the key's names where it has them, by the everyday ones else.

use super::stage::Stage;

/// The first proposal's new symbols, joined.
fn called(key: &str, technique: &str, rows: &str) -> Vec<String> {
    let found = Stage::new(key, rows).by(technique);
    let symbols = |p: &crate::reharm::Proposal| {
        let chords = p.chords.iter().map(|new| new.chord.symbol().to_owned());
        chords.collect::<Vec<_>>().join(" ")
    };
    found.iter().map(symbols).collect()
}

#[test]
fn a_dominant_that_comes_alone_goes_by_its_everyday_name() {
    for (key, rows, technique, name) in [
        ("C", "| G7 | C |", "tritone", "Db7"),
        ("Db", "| Bb7 | Ebm7 |", "tritone", "E7"),
        ("Eb", "| F7 | Bb7 |", "tritone", "B7"),
        ("F#", "| C#7 | F#6 |", "tritone", "G7"),
        ("Gb", "| Db7 | Gb6 |", "tritone", "G7"),
        ("Gb", "| F7 | Bbm7 |", "tritone", "Cb7"),
        ("A", "| E7 | A6 |", "tritone", "Bb7"),
        ("C#m", "| G#7 | C#m |", "tritone", "D7"),
        ("Ebm", "| Bb7 | Ebm |", "tritone", "E7"),
        ("Ab", "| Fm7 | Bbm7 |", "half-step-approach", "B7"),
        ("Ab", "| Db6 | Ab |", "borrowed", "Emaj7"),
        ("Abm", "| Eb7 | Abm |", "deceptive", "Fbmaj7"),
        ("Ab", "| Eb7 | Ab |", "deceptive", "Emaj7"),
    ] {
        let found = called(key, technique, rows);
        let there = |one: &String| one == name;
        assert!(found.iter().any(there), "{technique} in {key}: {found:?}");
    }
}

#[test]
fn turnarounds_are_spelled_as_players_write_them() {
    for (key, rows, wanted) in [
        ("Ab", "| Ab6 | Ab6 | Ab |", "Ab6 B7 E7 A7"),
        ("Ab", "| Ab6 | Ab6 | Ab |", "Ab6 Bdim7 Bbm7 Eb7"),
        ("Db", "| Db | Db | Db6 |", "Db E7 A7 D7"),
        ("Db", "| Db | Db | Db6 |", "Db Ddim7 Ebm7 Ab7"),
        ("E", "| E | E | E6 |", "E G7 C7 F7"),
        ("E", "| E | E | E6 |", "E E#dim7 F#m7 B7"),
        ("Gb", "| Gb | Gb | Gb6 |", "Gb A7 D7 G7"),
        ("Cm", "| Cm | Cm | Cm6 |", "Cm Am7b5 Dm7b5 G7"),
        ("C#m", "| C#m | C#m | C#m6 |", "C#m B7 Amaj7 G#7"),
        ("Ebm", "| Ebm | Ebm | Ebm6 |", "Ebm Db7 Cbmaj7 Bb7"),
        ("Bbm", "| Bbm | Bbm | Bbm6 |", "Bbm Dbmaj7 Gbmaj7 B7"),
    ] {
        let found = called(key, "turnaround", rows);
        let there = |one: &String| one == wanted;
        assert!(found.iter().any(there), "{wanted} in {key}: {found:?}");
    }
}

#[test]
fn basses_and_minor_degrees_go_by_the_key() {
    for (key, technique, rows, wanted) in [
        (
            "F#m",
            "bass-line",
            "| F#m | G#7 |",
            "F#m F#m/E# F#m/E F#m/D#",
        ),
        (
            "Abm",
            "bass-line",
            "| Abm | Bb7 |",
            "Abm Abm/G Abm/Gb Abm/F",
        ),
        (
            "G#m",
            "bass-line",
            "| G#m | A#7 |",
            "G#m G#m/G G#m/F# G#m/E#",
        ),
        ("C", "bass-line", "| F | C |", "F C/E Dm7"),
        ("B", "bass-line", "| E | B |", "E B/D# C#m7"),
        ("Gb", "bass-line", "| Cb | Gb |", "Cb Gb/Bb Abm7"),
        ("F#", "bass-line", "| B | F# |", "B F#/A# G#m7"),
        ("Cm", "bass-line", "| Fm | Cm |", "Fm Cm/Eb Dm7b5"),
        ("G#m", "bass-line", "| C#m | G#m |", "C#m G#m/B A#m7b5"),
        ("Ebm", "bass-line", "| Abm | Ebm |", "Abm Ebm/Gb Fm7b5"),
        ("Cm", "bass-line", "| Cm | G7 |", "Cm Cm/Bb Fm/Ab"),
        ("G#m", "bass-line", "| G#m | D#7 |", "G#m G#m/F# C#m/E"),
        ("Ebm", "bass-line", "| Ebm | Bb7 |", "Ebm Ebm/Db Abm/Cb"),
        ("Ebm", "bass-line", "| Ebm | Abm |", "Ebm Fm7b5 Ebm/Gb"),
        ("B", "bass-line", "| B | E |", "B C#m7 B/D#"),
        ("B", "bass-line", "| B | B | E |", "B F#/A# G#m7 B/F#"),
        ("Ebm", "diatonic", "| Ebm7 |", "Cbmaj7"),
        ("G#m", "diatonic", "| D#7 |", "Gdim7"),
        ("F#m", "diatonic", "| C#7 |", "E#dim7"),
        ("Bbm", "hybrid", "| F7 | Bbm |", "Gb/F"),
        ("B", "hybrid", "| F#7 | B |", "E/F#"),
        ("Gb", "hybrid", "| Db7 | Gb |", "Cb/Db"),
        ("Db", "hybrid", "| Cb9 | Fm7 |", "A/B"),
    ] {
        let found = called(key, technique, rows);
        let there = |one: &String| one == wanted;
        assert!(found.iter().any(there), "{wanted} in {key}: {found:?}");
    }
}
