//! What texts print is among the first third of what is listed for a tune, whatever its key.

use compline::chart;
use compline::pitch::{Interval, Name};
use compline::reharm::Ranking;

use crate::data::every;
use crate::reharm::ranking_of;

const TONICS: [&str; 12] = [
    "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
];

/// A tune with a row of fifths to its end; a tune that goes home by ii-V-I; a jazz blues.
const FIFTHS: &str = "key: C\n| C6 | Am7 | F6 | F6 | C6 | Am7 | F6 | Fm6 | Em7 | Am7 | Dm7 | G7 | C6 | Am7 | C6 | C6 |\n";
const CADENCE: &str =
    "key: D\n| Dmaj7 | Bm7 | Em7 | A7 | F#m7 | Bm7 | Em7 | A7 | Em7 | A7 | Dmaj7 | Dmaj7 |\n";
const BLUES: &str =
    "key: C\n| C7 | F7 | C7 | C7 | F7 | F7 | C7 | Em7 A7 | Dm7 | G7 | C7 A7 | Dm7 G7 |\n";

/// The passages, and the names of what is printed for them: an encyclopedia's articles on the cycle of thirds
/// on the jazz blues and on the changes of a bebop blues, and "Reharmonization Summary" (course sheet).
const PRINTED: [(&str, &str); 8] = [
    (CADENCE, "9-12:thirds-cycle"),
    (FIFTHS, "9-11:extended-dominants"),
    (FIFTHS, "10:passing-diminished"),
    (FIFTHS, "12:tritone"),
    (FIFTHS, "9-12:bass-line"),
    (BLUES, "2-4:two-five-chain"),
    (BLUES, "6:sharp-four-diminished"),
    (BLUES, "11.2:related-ii"),
];

/// The place of a proposal in the list, and how long that is without the changes of the bass alone.
fn place(ranking: &Ranking, name: &str) -> Option<(usize, usize)> {
    let mut all = ranking.all();
    let at = all.position(|one| one.name.to_string() == name)?;
    Some((at + 1, ranking.best.len() + ranking.idle.len()))
}

/// Every passage in all keys; in a sample each in four, so that every key has a passage.
#[test]
fn what_texts_print_is_in_the_first_third_whatever_the_key() {
    for (at, passage) in [CADENCE, FIFTHS, BLUES].into_iter().enumerate() {
        for tonic in every(3, TONICS.into_iter().cycle().skip(at).take(12)) {
            let chart = chart::read(passage).unwrap();
            let [from, to]: [Name; 2] = [chart.key().unwrap().tonic(), tonic.parse().unwrap()];
            let by = Interval::between(from, to).nearer();
            let ranking = ranking_of(&chart.transposed(by).unwrap());
            for (_, name) in PRINTED.iter().filter(|(of, _)| *of == passage) {
                let found = place(&ranking, name);
                let (at, of) = found.unwrap_or_else(|| panic!("no {name} in {tonic}"));
                assert!(at * 3 <= of, "{name} in {tonic}: {at} of {of}");
            }
        }
    }
}
