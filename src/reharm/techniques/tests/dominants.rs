//! Which notes of the melody a dominant may stand under, by what it leads to.

use super::stage::Stage;

/// Every note of the octave, from C up.
const NOTES: [&str; 12] = [
    "C5", "Db5", "D5", "Eb5", "E5", "F5", "Gb5", "G5", "Ab5", "A5", "Bb5", "B5",
];

/// The notes that a melody may hold over the dominant of a target, in half steps above the dominant's root.
fn accepted(key: &str, before: &str, target: &str, root: usize) -> Vec<usize> {
    let held = |above: &usize| {
        let note = NOTES[(root + above) % 12];
        let rows = format!("| {before} | {target} |\nmel | r:2 {note}:2 | r:4 |");
        let found = Stage::new(key, &rows).by("secondary-dominant");
        found.iter().any(|proposal| proposal.spots.start == 0)
    };
    (0..12).filter(held).collect()
}

#[test]
fn the_melody_has_what_is_printed_for_each_target() {
    // Berklee HARM 121 sheet, 2008: chord tones, and 9 13; b9 #9 b13; b9 9 #9 b13.
    let (major, minor) = (vec![0, 2, 4, 7, 9, 10], vec![0, 1, 3, 4, 7, 8, 10]);
    let second = vec![0, 1, 2, 3, 4, 7, 8, 10];
    for (key, before, target, root, wanted) in [
        ("C", "C6", "Fmaj7", 0, &major),
        ("C", "C6", "G7", 2, &major),
        ("C", "C6", "Em7", 11, &minor),
        ("C", "C6", "Am7", 4, &minor),
        ("C", "C6", "Dm7", 9, &second),
        ("Cm", "Eb6", "Fm7", 0, &minor),
        ("Cm", "Cm7", "Abmaj7", 3, &major),
        ("Cm", "Cm7", "Ebmaj7", 10, &major),
    ] {
        let found = accepted(key, before, target, root);
        assert_eq!(&found, wanted, "before {target} in {key}");
    }
}
