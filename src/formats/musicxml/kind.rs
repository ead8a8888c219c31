//! The kinds of chords of MusicXML, and how chord symbols become kinds with degrees and come back.

use crate::chord::Chord;
use crate::pitch::Degree;

/// A kind, and the ending of the chord symbol that means it.
struct Kind {
    name: &'static str,
    ending: &'static str,
    /// Whether it is written. The elevenths and thirteenths aren't: the standard counts every third
    /// below among their tones, players don't.
    written: bool,
}

const fn kind(name: &'static str, ending: &'static str, written: bool) -> Kind {
    Kind {
        name,
        ending,
        written,
    }
}

/// The kinds that are chords by themselves (MusicXML 4.0, `kind-value`). `major-minor` is a minor triad
/// with a major seventh.
const KINDS: [Kind; 26] = [
    kind("major", "", true),
    kind("minor", "m", true),
    kind("dominant", "7", true),
    kind("major-seventh", "maj7", true),
    kind("minor-seventh", "m7", true),
    kind("half-diminished", "m7b5", true),
    kind("diminished-seventh", "dim7", true),
    kind("diminished", "dim", true),
    kind("augmented", "+", true),
    kind("augmented-seventh", "7#5", true),
    kind("major-minor", "mMaj7", true),
    kind("major-sixth", "6", true),
    kind("minor-sixth", "m6", true),
    kind("dominant-ninth", "9", true),
    kind("major-ninth", "maj9", true),
    kind("minor-ninth", "m9", true),
    kind("suspended-fourth", "sus4", true),
    kind("suspended-second", "sus2", true),
    kind("power", "5", true),
    kind("dominant-11th", "11", false),
    kind("major-11th", "maj11", false),
    kind("minor-11th", "m11", false),
    kind("dominant-13th", "13", false),
    kind("major-13th", "maj13", false),
    kind("minor-13th", "m13", false),
    // Seen in files that are not valid.
    kind("minor-major", "mMaj7", false),
];

/// How a degree changes a kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum How {
    /// It is taken away.
    Subtract,
    /// It is another than the kind has.
    Alter,
    /// It comes to the kind.
    Add,
}

/// A degree that is changed. For one that is altered, `alter` counts from what the kind has; for one
/// that is added, from a dominant chord's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Change {
    pub how: How,
    pub number: u8,
    pub alter: i8,
}

/// A kind with its changes.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Kinded {
    pub kind: String,
    pub changes: Vec<Change>,
}

/// The seventh of a dominant chord is flat: an added seventh counts from it.
const fn dominant(number: u8) -> i8 {
    if number == 7 { -1 } else { 0 }
}

/// The kind and changes whose tones are the chord's.
pub(super) fn of(chord: &Chord) -> Kinded {
    let tones: Vec<Degree> = chord.tones().iter().map(|tone| tone.degree).collect();
    let written = KINDS.iter().filter(|kind| kind.written);
    let all = written.filter_map(|kind| {
        let changes = changes(&tones_of(kind.ending)?, &tones);
        let price: u32 = changes.iter().map(price).sum();
        Some((price, kind.name, changes))
    });
    let best = all.min_by_key(|(price, _, _)| *price);
    best.map_or_else(
        || Kinded {
            kind: "other".to_owned(),
            changes: Vec::new(),
        },
        |(_, name, changes)| Kinded {
            kind: name.to_owned(),
            changes,
        },
    )
}

/// An addition is read everywhere, but for a seventh, which some readers count from a major chord; a
/// subtraction is the last resort.
const fn price(change: &Change) -> u32 {
    match change.how {
        How::Add if change.number == 7 => 10,
        How::Add => 2,
        How::Alter => 5,
        How::Subtract => 6,
    }
}

fn tones_of(ending: &str) -> Option<Vec<Degree>> {
    let chord = Chord::read(&format!("C{ending}")).ok()?;
    Some(chord.tones().iter().map(|tone| tone.degree).collect())
}

/// What makes the tones `wanted` of the tones `kind`.
fn changes(kind: &[Degree], wanted: &[Degree]) -> Vec<Change> {
    let mut changes = Vec::new();
    let gone = kind.iter().filter(|tone| !wanted.contains(tone));
    let mut come: Vec<Degree> = wanted
        .iter()
        .filter(|tone| !kind.contains(tone))
        .copied()
        .collect();
    for tone in gone {
        let same = come.iter().position(|new| new.number() == tone.number());
        let several = come
            .iter()
            .filter(|new| new.number() == tone.number())
            .count()
            > 1;
        changes.push(match same.filter(|_| !several && tone.number() < 8) {
            Some(at) => Change {
                how: How::Alter,
                number: tone.number(),
                alter: come.remove(at).alter() - tone.alter(),
            },
            None => Change {
                how: How::Subtract,
                number: tone.number(),
                alter: 0,
            },
        });
    }
    changes.extend(come.iter().map(|tone| Change {
        how: How::Add,
        number: tone.number(),
        alter: tone.alter() - dominant(tone.number()),
    }));
    changes
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(symbol: &str) -> String {
        let kinded = of(&Chord::read(symbol).unwrap());
        let mut text = kinded.kind;
        for change in kinded.changes {
            let how = match change.how {
                How::Add => '+',
                How::Alter => '~',
                How::Subtract => '-',
            };
            text += &format!(" {how}{}:{}", change.number, change.alter);
        }
        text
    }

    #[test]
    fn symbols_become_kinds() {
        for (symbol, kind) in [
            ("C", "major"),
            ("Cm7b5", "half-diminished"),
            ("C13", "dominant-ninth +13:0"),
            ("C6/9", "major-sixth +9:0"),
            ("C7alt", "dominant -5:0 +9:-1 +9:1 +11:1 +13:-1"),
            ("C7b9", "dominant +9:-1"),
            ("Cmaj7#5", "major-seventh ~5:1"),
            ("C7sus", "dominant -3:0 +4:0"),
            ("CmMaj7", "major-minor"),
            ("C7b5", "dominant ~5:-1"),
        ] {
            assert_eq!(shown(symbol), kind, "{symbol}");
        }
    }
}
