//! The last two bars, on the way back to the tonic.
//!
//! An encyclopedia's article on turnarounds lists I vi ii V, I VI ii V, iii VI ii V and I bIII bVI bII,
//! and a column on turnarounds prints the first and the third of them in C (both read); I VI7 ii V7 is
//! also the end of a jazz blues (Jacobs 2011, as cited in an encyclopedia). The diminished ones, and
//! those of the minor key, are common practice without a source: there the vi is half-diminished, or
//! bVI stands for it; the walk down i bVII bVI V; and i bIII bVI with the substitute of V.

use super::idea::{Idea, Wanted, WantedKind, halves, same};
use super::roman_numerals::{RomanNumeral, lone, roman};
use super::{Example, Technique};
use crate::chart::Beats;
use crate::chord::{Chord, Family};
use crate::harmony::passage::{Passage, Spot, above_tonic, is_tonic};
use crate::pitch::{Key, Mode};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "turnaround",
    rule: "Two bars of I, of I and V, or of one turnaround become another, two chords a bar: in major I VI7 ii V7, I vi ii V7, iii VI7 ii V7, I #Idim7 ii V7, I bIIIdim7 ii V7, I bIII7 bVI7 bII7 or I bIII7 bVImaj7 bII7; in minor i vi ii V7 or i bVI ii V7 with half-diminished vi and ii, i bVII7 bVI V7, or i bIII bVI bII7.",
    taught: "encyclopedia article and a column on turnarounds (both read), Felts, Reharmonization Techniques, chapter on turnarounds (contents read); the diminished and the minor ones from memory",
    melody: "each chord is tested for its half bar",
    example: Example {
        key: "C",
        before: "| Cmaj7 | Cmaj7 | C6 |",
        after: "| Cmaj7 A7 | Dm7 G7 | C6 |",
    },
    find,
};

/// A turnaround, a chord for each half bar, and how it leads round.
struct Formula {
    chords: [RomanNumeral; 4],
    way: &'static str,
}

const FIFTHS: &str = "roots that fall by fifths lead";

const ONE: RomanNumeral = roman("I", 0, 0, WantedKind::Major);
const TWO: RomanNumeral = roman("ii", 1, 2, WantedKind::Minor);
const FIVE: RomanNumeral = roman("V7", 4, 7, WantedKind::Dominant);
const OF_TWO: RomanNumeral = roman("VI7", 5, 9, WantedKind::Dominant);

const MAJOR: [Formula; 7] = [
    Formula {
        chords: [ONE, OF_TWO, TWO, FIVE],
        way: FIFTHS,
    },
    Formula {
        chords: [ONE, roman("vi", 5, 9, WantedKind::Minor), TWO, FIVE],
        way: FIFTHS,
    },
    Formula {
        chords: [roman("iii", 2, 4, WantedKind::Minor), OF_TWO, TWO, FIVE],
        way: FIFTHS,
    },
    Formula {
        chords: [ONE, roman("#I", 0, 1, WantedKind::Diminished), TWO, FIVE],
        way: "a bass that climbs by half steps to the ii leads",
    },
    Formula {
        chords: [ONE, lone("bIII", 2, 3, WantedKind::Diminished), TWO, FIVE],
        way: "a bass that falls a half step to the ii leads",
    },
    Formula {
        chords: [
            ONE,
            lone("bIII7", 2, 3, WantedKind::Dominant),
            lone("bVI7", 5, 8, WantedKind::Dominant),
            lone("bII7", 1, 1, WantedKind::Dominant),
        ],
        way: "the tritone substitutes of VI7, II7 and V7 lead",
    },
    Formula {
        chords: [
            ONE,
            lone("bIII7", 2, 3, WantedKind::Dominant),
            lone("bVI", 5, 8, WantedKind::Major),
            lone("bII7", 1, 1, WantedKind::Dominant),
        ],
        way: "a detour to bVI and the tritone substitute of V7 lead",
    },
];

const MINOR_ONE: RomanNumeral = roman("i", 0, 0, WantedKind::Minor);
const MINOR_TWO: RomanNumeral = roman("ii", 1, 2, WantedKind::HalfDiminished);
const FLAT_SIX: RomanNumeral = roman("bVI", 5, 8, WantedKind::Major);

const MINOR: [Formula; 4] = [
    Formula {
        chords: [
            MINOR_ONE,
            roman("vi", 5, 9, WantedKind::HalfDiminished),
            MINOR_TWO,
            FIVE,
        ],
        way: FIFTHS,
    },
    Formula {
        chords: [MINOR_ONE, FLAT_SIX, MINOR_TWO, FIVE],
        way: "bVI and the minor ii-V lead",
    },
    Formula {
        chords: [
            MINOR_ONE,
            roman("bVII7", 6, 10, WantedKind::Dominant),
            FLAT_SIX,
            FIVE,
        ],
        way: "a bass that walks down to V leads",
    },
    Formula {
        chords: [
            MINOR_ONE,
            roman("bIII", 2, 3, WantedKind::Major),
            FLAT_SIX,
            lone("bII7", 1, 1, WantedKind::Dominant),
        ],
        way: "roots that fall by fifths to the tritone substitute of V lead",
    },
];

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    ideas(passage, at).unwrap_or_default()
}

fn ideas(passage: &Passage<'_>, at: usize) -> Option<Vec<Idea>> {
    let page = Window::at(passage, at)?;
    let key = passage.one_key(at..at + page.spots)?;
    let next = passage.after(at + page.spots - 1)?;
    let rows: &[Formula] = match key.mode() {
        Mode::Major => &MAJOR,
        Mode::Minor => &MINOR,
    };
    // I over its fifth before V is the beginning of a cadence, and no rest.
    let over_root = page.halves[0].0.bass().is_none();
    // A tonic that stays for four bars is a place of its own.
    let stays = passage.run(at).len() > page.spots + 1;
    if stays || !is_home(key, next) || !over_root || !page.waits(key, rows) {
        return None;
    }
    let others = rows.iter().filter(|row| !page.has(key, row));
    let ideas = others.map(|row| Idea {
        spots: at..at + page.spots,
        chords: page.turned(key, row),
        reason: format!("{} round to {next} again", row.way),
    });
    Some(ideas.collect())
}

/// Two bars, by their halves.
struct Window<'a> {
    spots: usize,
    halves: [(&'a Chord, Beats); 4],
}

impl<'a> Window<'a> {
    fn at(passage: &Passage<'a>, at: usize) -> Option<Self> {
        let rest = passage.spots.get(at..)?;
        let mut bars = rest.chunk_by(|a, b| a.bar == b.bar);
        let (first, second) = (bars.next()?, bars.next()?);
        let [[a, b], [c, d]] = [in_halves(first)?, in_halves(second)?];
        Some(Self {
            spots: first.len() + second.len(),
            halves: [a, b, c, d],
        })
    }

    /// Whether the bars are idle, or turn round already: I, I and V, I and ii V, or one of the rows.
    fn waits(&self, key: Key, rows: &[Formula]) -> bool {
        let [first, second, third, fourth] = self.halves.map(|(chord, _)| chord);
        let two = if key.mode() == Mode::Major {
            &TWO
        } else {
            &MINOR_TWO
        };
        let rests = is_home(key, first) && first == second;
        let leads = |chord: &Chord| FIVE.is(key, chord);
        let idle = third == fourth && (is_home(key, third) || leads(third));
        let prepared = two.is(key, third) && leads(fourth);
        rests && (idle || prepared) || rows.iter().any(|row| self.has(key, row))
    }

    fn has(&self, key: Key, row: &Formula) -> bool {
        let halves = self.halves.iter().zip(&row.chords);
        let mut there = halves.map(|((chord, _), wanted)| stands(key, chord, wanted));
        there.all(|there| there)
    }

    /// The row in these bars; what stands there already stays.
    fn turned(&self, key: Key, row: &Formula) -> Vec<Wanted> {
        let halves = self.halves.iter().zip(&row.chords);
        let chord = |((chord, beats), wanted): (&(&Chord, Beats), &RomanNumeral)| match stands(
            key, chord, wanted,
        ) {
            true => same(chord, *beats),
            false => wanted.of(key, *beats),
        };
        halves.map(chord).collect()
    }
}

/// The two halves of a whole bar: of one chord, or of two that part it as [`halves`] does.
fn in_halves<'a>(bar: &[Spot<'a>]) -> Option<[(&'a Chord, Beats); 2]> {
    let (long, short) = halves(bar.first()?.bar_beats)?;
    match bar {
        [one] if one.is_whole_bar() => Some([(one.chord, long), (one.chord, short)]),
        [one, two] if (one.beats, two.beats) == (long, short) => {
            Some([(one.chord, long), (two.chord, short)])
        }
        _ => None,
    }
}

/// Whether a chord is the one of a row; the I of a row may be the I7 of a blues.
fn stands(key: Key, chord: &Chord, wanted: &RomanNumeral) -> bool {
    wanted.is(key, chord) || wanted.above() == 0 && is_home(key, chord)
}

/// The tonic, or the I7 that is one in a blues.
fn is_home(key: Key, chord: &Chord) -> bool {
    let blues = key.mode() == Mode::Major && chord.family() == Family::Dominant;
    is_tonic(key, chord) || blues && above_tonic(key, chord) == 0
}
