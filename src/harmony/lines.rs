//! Lines on one root: consecutive symbols that stay on a chord while one voice moves by half steps.
//!
//! Two voices do so: the root falls, 1 7 b7 6 (`Cm Cm(maj7) Cm7 Cm6`), or the fifth moves, 5 #5 6 b7
//! and back (`C C+ C6 C7`, `Cm Cm#5 Cm6`). A lesson on line clichés prints both (read). The listener
//! hears the line, so it has to sound, and the rest stays.
//!
//! Which row of chords is a line is a rule of ours: every chord of it is the triad, or the triad with
//! the moving tone and nothing else, over no bass of its own; each step is a half step; one of them is
//! the triad, or exists for such lines alone (a minor chord with a major seventh, an augmented triad, a
//! minor chord with a b6); and there are three chords, or two of which the second is of that kind.

use super::symbol_runs::SymbolRuns;
use crate::chord::{Chord, Tone};
use crate::pitch::Degree;

/// What sounds in one chord of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LineTone {
    /// The tone of the moving voice.
    pub moves: Degree,
    /// The tones that stay.
    pub stays: [Degree; 2],
    /// The seventh of a chord that has one besides.
    pub seventh: Option<Degree>,
}

/// The line each slot's chord is part of, in played order; `None` for most.
///
/// Repeats of a symbol and slots without a chord are looked through.
///
/// ```
/// use compline::chord::Chord;
/// use compline::harmony::lines;
///
/// let chords = ["Cm", "Cm(maj7)", "Cm7", "Cm6", "Fm7"].map(|text| Chord::read(text).unwrap());
/// let row: Vec<Option<&Chord>> = chords.iter().map(Some).collect();
/// let moving: Vec<String> = lines(&row).iter().flatten().map(|line| line.moves.to_string()).collect();
/// assert_eq!(moving, ["1", "7", "b7", "6"]);
/// ```
pub fn lines(slots: &[Option<&Chord>]) -> Vec<Option<LineTone>> {
    let runs = SymbolRuns::of(slots);
    let found = runs.each_slot(&lines_of_runs(&runs.chords)).into_iter();
    found.map(Option::flatten).collect()
}

/// The same of a row of chords without repeats.
pub(crate) fn lines_of_runs(chords: &[&Chord]) -> Vec<Option<LineTone>> {
    let mut found = vec![None; chords.len()];
    let mut rest = found.as_mut_slice();
    for row in chords.chunk_by(|from, to| a_voice_steps(from, to)) {
        let (here, after) = rest.split_at_mut(row.len());
        settle(row, here);
        rest = after;
    }
    found
}

/// Whether a voice steps from one chord to the other while the rest stays.
fn a_voice_steps(from: &Chord, to: &Chord) -> bool {
    let same = from.root().class() == to.root().class() && from.third() == to.third();
    if !same {
        return false;
    }
    let after = moving(to);
    let mut before = moving(from).into_iter();
    before.any(|a| after.iter().any(|b| is_half_step(a, *b)))
}

fn is_half_step(a: Degree, b: Degree) -> bool {
    let gap = (i32::from(a.class()) - i32::from(b.class())).rem_euclid(12);
    gap == 1 || gap == 11
}

/// The tones a line may have in this chord: none where the chord has more than a triad and one tone.
fn moving(chord: &Chord) -> Vec<Degree> {
    let root = chord.root().class();
    let third = chord.third().filter(|third| matches!(third.class(), 3 | 4));
    if chord.bass().is_some_and(|bass| bass.class() != root) || third.is_none() {
        return Vec::new();
    }
    let triad = |tone: &&Tone| matches!(tone.degree.number(), 1 | 3) || tone.degree.class() == 7;
    let mut others = chord.tones().iter().filter(|tone| !triad(tone));
    match (others.next(), others.next()) {
        (None, _) if chord.fifth() == Some(Degree::FIFTH) => vec![Degree::ROOT, Degree::FIFTH],
        (Some(tone), None) if tone.degree.class() > 7 => vec![tone.degree],
        _ => Vec::new(),
    }
}

/// Whether the chord is written for the sake of a line only.
fn is_of_lines_only(chord: &Chord) -> bool {
    let minor = chord.third() == Some(Degree::MINOR_THIRD);
    match moving(chord)[..] {
        [tone] => tone.class() == 8 || minor && tone.class() == 11,
        _ => false,
    }
}

/// Whether the chord in a row on one root says that there is a line: a seventh chord does not.
fn begins_a_line(chord: &Chord) -> bool {
    moving(chord).len() > 1 || is_of_lines_only(chord)
}

/// Notes what moves in the chords of a row, if it is a line.
fn settle(row: &[&Chord], found: &mut [Option<LineTone>]) {
    let told = match row {
        [_, second] => is_of_lines_only(second),
        _ => row.len() > 2 && row.iter().any(|chord| begins_a_line(chord)),
    };
    if !told {
        return;
    }
    let Some(path) = path(row) else {
        return;
    };
    let from_fifth = path.iter().any(|tone| matches!(tone.class(), 7 | 8));
    for ((chord, moves), found) in row.iter().zip(path).zip(found) {
        let third = chord.third().unwrap_or(Degree::THIRD);
        let stays = match from_fifth {
            true => [Degree::ROOT, third],
            false => [third, Degree::FIFTH],
        };
        *found = Some(LineTone {
            moves,
            stays,
            seventh: None,
        });
    }
}

/// One tone for every chord of a row, each a half step from the one before.
fn path(row: &[&Chord]) -> Option<Vec<Degree>> {
    let mut paths: Vec<Vec<Degree>> = vec![Vec::new()];
    for chord in row {
        let tones = moving(chord);
        let longer = paths.iter().flat_map(|path| {
            let fits = |tone: &&Degree| path.last().is_none_or(|last| is_half_step(*last, **tone));
            let tones = tones.iter().filter(fits);
            tones.map(move |tone| [&path[..], &[*tone]].concat())
        });
        paths = longer.collect();
    }
    paths.into_iter().next()
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROOTS: [&str; 12] = [
        "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
    ];

    /// The moving tones of a row of suffixes on one root, `-` where there is no line.
    fn told(suffixes: &str, root: &str) -> Vec<String> {
        let symbols = suffixes.split(' ').map(|suffix| match suffix {
            "_" => root.to_owned(),
            // A chord on another root.
            other if other.starts_with('=') => other[1..].to_owned(),
            other => format!("{root}{other}"),
        });
        let chords: Vec<Chord> = symbols.map(|s| Chord::read(&s).unwrap()).collect();
        let row: Vec<Option<&Chord>> = chords.iter().map(Some).collect();
        let found = lines(&row).into_iter();
        let text =
            |line: Option<LineTone>| line.map_or("-".to_owned(), |line| line.moves.to_string());
        found.map(text).collect()
    }

    #[test]
    fn a_bass_that_is_not_the_root_breaks_a_line() {
        assert_eq!(told("m m(maj7) m7 m6", "C"), ["1", "7", "b7", "6"]);
        assert_eq!(told("m m(maj7)/Eb m7 m6", "C"), ["-"; 4]);
    }

    #[test]
    fn the_printed_lines_are_found_in_every_key() {
        for root in ROOTS {
            for (suffixes, moves) in [
                ("m m(maj7) m7 m6", ["1", "7", "b7", "6"]),
                ("_ + 6 7", ["5", "#5", "6", "b7"]),
                ("m m#5 m6 m#5", ["5", "#5", "6", "#5"]),
            ] {
                assert_eq!(told(suffixes, root), moves, "{root} {suffixes}");
            }
            assert_eq!(told("m m(b6) m6", root), ["5", "b13", "6"]);
            assert_eq!(told("m m m(maj7) m7", root), ["1", "1", "7", "b7"]);
        }
    }

    #[test]
    fn two_chords_are_a_line_only_where_nothing_else_explains_the_second() {
        assert_eq!(told("m m(maj7)", "C"), ["1", "7"]);
        assert_eq!(told("_ +", "C"), ["5", "#5"]);
        for ordinary in ["_ maj7", "maj7 7", "m7 m6", "6 7", "m m7"] {
            assert_eq!(told(ordinary, "C"), ["-", "-"], "{ordinary}");
        }
    }

    #[test]
    fn other_roots_richer_chords_and_basses_end_a_line() {
        assert_eq!(told("m m(maj7) =Fm7", "C"), ["1", "7", "-"]);
        assert_eq!(told("m9 m(maj9) m9 m6/9", "C"), ["-"; 4]);
        assert_eq!(told("m m/B m/Bb m/A", "C"), ["-"; 4]);
        assert_eq!(told("m =Cmaj7 m7 m6", "C"), ["-"; 4]);
        assert_eq!(told("m7 m6 m7", "C"), ["-"; 3]);
    }

    #[test]
    fn what_stays_is_what_does_not_move() {
        let row = ["Cm", "Cm(maj7)", "Cm7"].map(|s| Chord::read(s).unwrap());
        let refs: Vec<Option<&Chord>> = row.iter().map(Some).collect();
        let stays = [Degree::MINOR_THIRD, Degree::FIFTH];
        assert!(lines(&refs).iter().all(|line| line.unwrap().stays == stays));
    }

    /// A suffix with its third in half steps, the tones that may move in it, and whether such chords are
    /// written for lines alone.
    type Suffix = (&'static str, u8, &'static [u8], bool);

    const SUFFIXES: [Suffix; 18] = [
        ("", 4, &[0, 7], false),
        ("+", 4, &[8], true),
        ("6", 4, &[9], false),
        ("7", 4, &[10], false),
        ("maj7", 4, &[11], false),
        ("add9", 4, &[], false),
        ("9", 4, &[], false),
        ("7#5", 4, &[], false),
        ("m", 3, &[0, 7], false),
        ("m#5", 3, &[8], true),
        ("m(b6)", 3, &[8], true),
        ("m6", 3, &[9], false),
        ("m7", 3, &[10], false),
        ("m(maj7)", 3, &[11], true),
        ("m9", 3, &[], false),
        ("dim", 3, &[], false),
        ("m7b5", 3, &[], false),
        ("sus", 5, &[], false),
    ];

    fn half_step(a: u8, b: u8) -> bool {
        matches!((12 + a - b) % 12, 1 | 11)
    }

    /// The lines of a row by what the head of this file says: the longest stretches in which each chord steps to
    /// the next; of such a stretch the first way through it, the root's before the fifth's.
    fn by_definition(row: &[Suffix]) -> Vec<Option<u8>> {
        let steps = |a: &Suffix, b: &Suffix| {
            a.1 == b.1 && a.2.iter().any(|a| b.2.iter().any(|b| half_step(*a, *b)))
        };
        let mut found = Vec::new();
        for run in row.chunk_by(|a, b| a.0 == b.0 || steps(a, b)) {
            let mut members = run.to_vec();
            members.dedup_by_key(|member| member.0);
            let told = match &members[..] {
                [_, second] => second.3,
                _ => members.len() > 2 && members.iter().any(|one| one.3 || one.2.len() > 1),
            };
            let begins = members[0].2.iter();
            let ways = begins.filter_map(|first| {
                let mut way = vec![*first];
                for member in &members[1..] {
                    let last = way[way.len() - 1];
                    way.push(*member.2.iter().find(|tone| half_step(last, **tone))?);
                }
                Some(way)
            });
            let way = ways.into_iter().next().filter(|_| told);
            let mut place = 0;
            for (n, one) in run.iter().enumerate() {
                place += usize::from(n > 0 && run[n - 1].0 != one.0);
                found.push(way.as_ref().map(|way| way[place]));
            }
        }
        found
    }

    #[test]
    fn rows_of_two_three_and_four_are_lines_where_the_definition_says_so() {
        let mut told_of = 0;
        let read = |one: Suffix| Chord::read(&format!("C{}", one.0)).unwrap();
        let chords = SUFFIXES.map(read);
        let mut check = |row: &[usize]| {
            let slots: Vec<Option<&Chord>> = row.iter().map(|at| Some(&chords[*at])).collect();
            let row: Vec<Suffix> = row.iter().map(|at| SUFFIXES[*at]).collect();
            let found = lines(&slots);
            let moves = |line: &Option<LineTone>| line.map(|line| line.moves.class());
            let found: Vec<Option<u8>> = found.iter().map(moves).collect();
            assert_eq!(found, by_definition(&row), "{row:?}");
            told_of += usize::from(found.iter().any(Option::is_some));
        };
        for a in 0..SUFFIXES.len() {
            for b in 0..SUFFIXES.len() {
                check(&[a, b]);
                for c in 0..SUFFIXES.len() {
                    check(&[a, b, c]);
                }
                // Four in a row, where the third chord is one of the first two.
                check(&[a, b, a, b]);
                check(&[a, b, b, a]);
            }
        }
        assert!(told_of > 100, "{told_of}");
    }
}
