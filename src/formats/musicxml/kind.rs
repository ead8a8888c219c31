//! The kinds of chords of MusicXML, and how chord symbols become kinds with degrees and come back.

use crate::chord::Chord;
use crate::pitch::Degree;

/// A kind, and the ending of the chord symbol that means it.
struct HarmonyKind {
    name: &'static str,
    ending: &'static str,
    /// Whether it is written. The elevenths and thirteenths aren't: the standard counts every third
    /// below among their tones, players don't.
    written: bool,
}

const fn kind(name: &'static str, ending: &'static str, written: bool) -> HarmonyKind {
    HarmonyKind {
        name,
        ending,
        written,
    }
}

/// The kinds that are chords by themselves (MusicXML 4.0, `kind-value`). `major-minor` is a minor triad
/// with a major seventh.
const KINDS: [HarmonyKind; 26] = [
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
pub(super) enum DegreeType {
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
pub(super) struct DegreeChange {
    pub how: DegreeType,
    pub number: u8,
    pub alter: i8,
}

/// A kind with its changes.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Kinded {
    pub kind: String,
    pub changes: Vec<DegreeChange>,
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
const fn price(change: &DegreeChange) -> u32 {
    match change.how {
        DegreeType::Add if change.number == 7 => 10,
        DegreeType::Add => 2,
        DegreeType::Alter => 5,
        DegreeType::Subtract => 6,
    }
}

fn tones_of(ending: &str) -> Option<Vec<Degree>> {
    let chord = Chord::read(&format!("C{ending}")).ok()?;
    Some(chord.tones().iter().map(|tone| tone.degree).collect())
}

/// What makes the tones `wanted` of the tones `kind`.
fn changes(kind: &[Degree], wanted: &[Degree]) -> Vec<DegreeChange> {
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
            Some(at) => DegreeChange {
                how: DegreeType::Alter,
                number: tone.number(),
                alter: come.remove(at).alter() - tone.alter(),
            },
            None => DegreeChange {
                how: DegreeType::Subtract,
                number: tone.number(),
                alter: 0,
            },
        });
    }
    changes.extend(come.iter().map(|tone| DegreeChange {
        how: DegreeType::Add,
        number: tone.number(),
        alter: tone.alter() - dominant(tone.number()),
    }));
    changes
}

/// What a kind with its changes was read as.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct KindReading {
    /// What stands behind the root of the symbol.
    pub ending: String,
    /// Whether some of its degrees have no spelling.
    pub simpler: bool,
    /// Whether the printed text says something else.
    pub other_text: bool,
}

/// Endings that players know, the plainest first: what the tones say is spelled as one of them if it
/// can.
const USUAL: [&str; 60] = [
    "", "m", "7", "maj7", "m7", "m7b5", "dim", "dim7", "+", "6", "m6", "6/9", "m6/9", "9", "maj9",
    "m9", "13", "maj13", "m13", "11", "m11", "sus4", "sus2", "7sus4", "9sus4", "13sus4", "7b9",
    "7#9", "7b5", "7#5", "7#11", "7b13", "9#11", "13#11", "13b9", "13#9", "9b13", "9#5", "9b5",
    "7b9b13", "7#9b13", "7b9#11", "7#9#11", "7b9#5", "7#9#5", "7b9b5", "7#9b5", "7b9#9", "7alt",
    "7b9sus4", "13b9sus4", "maj7#11", "maj9#11", "maj13#11", "maj7#5", "mMaj7", "mMaj9", "add9",
    "madd9", "5",
];

/// The ending of the chord symbol that a kind with its changes means; each change with whether it is
/// printed beside the text. Meaning counts, but the printed text is kept where it means the same.
pub(super) fn read(
    kind: &str,
    text: Option<&str>,
    changes: &[(DegreeChange, bool)],
) -> KindReading {
    let known = KINDS.iter().find(|known| known.name == kind.to_lowercase());
    let Some(known) = known else {
        return other(text, changes);
    };
    let plain: Vec<DegreeChange> = changes.iter().map(|(change, _)| *change).collect();
    let tones = changed(tones_of(known.ending).unwrap_or_default(), &plain);
    let wanted = classes(&tones);
    let means = |ending: &str| tones_of(ending).is_some_and(|tones| classes(&tones) == wanted);
    let printed: Vec<DegreeChange> = changes
        .iter()
        .filter(|(_, shown)| *shown)
        .map(|(c, _)| *c)
        .collect();
    let kept = text.map(str::trim).filter(|text| !text.is_empty());
    let with_printed = kept.map(|text| format!("{text}{}", bracketed(&printed)));
    let spelled = format!("{}{}", known.ending, bracketed(&plain));
    let said = [kept.map(str::to_owned), with_printed]
        .into_iter()
        .flatten();
    let usual = std::iter::once(known.ending)
        .chain(USUAL)
        .map(str::to_owned);
    let mut endings = said.chain(usual).chain([spelled]);
    let found = endings.find(|ending| means(ending));
    KindReading {
        simpler: found.is_none(),
        other_text: found.is_some()
            && changes.is_empty()
            && kept.is_some_and(|text| tones_of(text).is_some() && !means(text)),
        ending: found.unwrap_or_else(|| known.ending.to_owned()),
    }
}

/// `other`, and what is no chord by itself: the text is all there is; else the root with its degrees.
fn other(text: Option<&str>, changes: &[(DegreeChange, bool)]) -> KindReading {
    // No text at all says nothing, and no major triad.
    let said = text.map(str::trim).filter(|text| !text.is_empty());
    let readable = said.filter(|text| tones_of(text).is_some());
    if let (Some(text), true) = (readable, changes.is_empty()) {
        return KindReading {
            ending: text.to_owned(),
            simpler: false,
            other_text: false,
        };
    }
    let root = [Degree::ROOT].to_vec();
    let plain: Vec<DegreeChange> = changes.iter().map(|(change, _)| *change).collect();
    let wanted = classes(&changed(root, &plain));
    let means = |ending: &&str| tones_of(ending).is_some_and(|tones| classes(&tones) == wanted);
    let found = readable.into_iter().chain(USUAL).find(means);
    KindReading {
        ending: found.unwrap_or("").to_owned(),
        simpler: found.is_none(),
        other_text: false,
    }
}

/// The tones with the changes made.
fn changed(mut tones: Vec<Degree>, changes: &[DegreeChange]) -> Vec<Degree> {
    for change in changes {
        let same = |tone: &Degree| (tone.number() - 1) % 7 == (change.number.max(1) - 1) % 7;
        match change.how {
            DegreeType::Subtract => tones.retain(|tone| !same(tone)),
            DegreeType::Alter => {
                let at = tones.iter().position(same);
                let before = at.map_or(0, |at| tones.remove(at).alter());
                tones.extend(Degree::new(change.number, before + change.alter));
            }
            DegreeType::Add => {
                let alter = change.alter.saturating_add(dominant(change.number));
                tones.extend(Degree::new(change.number, alter));
            }
        }
    }
    tones
}

/// Which of the twelve classes sound above the root.
fn classes(tones: &[Degree]) -> u16 {
    tones.iter().fold(0, |all, tone| all | 1 << tone.class())
}

/// The changes as players write them behind a symbol: `(b9,add13,no5)`.
fn bracketed(changes: &[DegreeChange]) -> String {
    let written: Vec<String> = changes
        .iter()
        .filter_map(|change| {
            let alter = match change.how {
                DegreeType::Add => change.alter.saturating_add(dominant(change.number)),
                DegreeType::Alter => change.alter,
                DegreeType::Subtract => return Some(format!("no{}", change.number)),
            };
            let degree = Degree::new(change.number, alter)?;
            let plain = alter == 0 && change.how == DegreeType::Add;
            Some(if plain {
                format!("add{degree}")
            } else {
                degree.to_string()
            })
        })
        .collect();
    match written.is_empty() {
        true => String::new(),
        false => format!("({})", written.join(",")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(symbol: &str) -> String {
        let kinded = of(&Chord::read(symbol).unwrap());
        let mut text = kinded.kind;
        for change in kinded.changes {
            let how = match change.how {
                DegreeType::Add => '+',
                DegreeType::Alter => '~',
                DegreeType::Subtract => '-',
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

    #[test]
    fn kinds_become_symbols() {
        let add = |number, alter| {
            let how = DegreeType::Add;
            (DegreeChange { how, number, alter }, false)
        };
        for (kind, text, changes, ending) in [
            ("major", "", vec![], ""),
            ("dominant", "7", vec![], "7"),
            ("dominant", "", vec![add(9, -1)], "7b9"),
            ("dominant", "7", vec![add(9, 0), add(13, 0)], "13"),
            ("minor", "min", vec![], "min"),
            ("major-minor", "", vec![], "mMaj7"),
            ("suspended-fourth", "", vec![add(7, 0)], "7sus4"),
            ("dominant-13th", "", vec![], "13"),
            ("major", "", vec![add(7, 1)], "maj7"),
            ("other", "7alt", vec![], "7alt"),
            ("other", "", vec![add(3, 0), add(5, 0)], ""),
            ("half-diminished", "ø7", vec![], "ø7"),
        ] {
            let read = read(kind, Some(text), &changes);
            assert_eq!(
                (read.ending.as_str(), read.simpler, read.other_text),
                (ending, false, false)
            );
        }
    }

    #[test]
    fn a_kind_that_says_nothing_is_told() {
        assert!(read("Neapolitan", Some(""), &[]).simpler);
        assert!(!read("other", Some("7"), &[]).simpler);
    }

    #[test]
    fn meaning_goes_before_text() {
        let read = read("minor-seventh", Some("maj7"), &[]);
        assert_eq!((read.ending.as_str(), read.other_text), ("m7", true));
    }

    /// Every symbol of the usual endings comes back from its own kind.
    #[test]
    fn what_is_written_is_read() {
        for ending in USUAL {
            let kinded = of(&Chord::read(&format!("C{ending}")).unwrap());
            let changes: Vec<(DegreeChange, bool)> =
                kinded.changes.iter().map(|c| (*c, false)).collect();
            assert_eq!(read(&kinded.kind, Some(ending), &changes).ending, ending);
            let bare = read(&kinded.kind, None, &changes).ending;
            let (bare, whole) = (tones_of(&bare).unwrap(), tones_of(ending).unwrap());
            assert_eq!(classes(&bare), classes(&whole), "{ending}");
        }
    }
}
