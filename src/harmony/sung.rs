//! What the tune's notes are over a chord, and whether the chord can carry them.
//!
//! A tune note over a new chord must be a chord tone or an extension, an altered tension, or a plain
//! non-chord tone ("Chord substitution" handout, docslib 7593323). A note that is sustained or accented
//! must be one of the first two, and a new chord's tone a minor ninth under it is refused (common
//! reharmonising rule; the b9 of a dominant over its root, and b13 over a 5 that can be left out, are
//! the exceptions, from memory). Which sounds a chord takes is `carried`'s business.
//!
//! **Short and unaccented** means, exactly: the note lasts at most half a beat, begins after the
//! chord does, and not on a strong beat of the bar. The strong beats are the odd-numbered ones of a
//! bar with an even number of beats, and the first one of any other (common practice, no source).

use std::fmt;

use super::carried::{Carried, carried, degree_over};
use super::passage::Spot;
use crate::chart::{Beats, TuneNote};
use crate::chord::{Chord, Family};
use crate::pitch::{Degree, Key};

/// The time of a chord in its bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stretch {
    /// The beat it starts on, from 1.
    pub beat: Beats,
    /// How many beats it lasts.
    pub beats: Beats,
    /// How many beats the bar has.
    pub bar_beats: Beats,
}

/// What a tune note is over a chord.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// A tone the symbol asks for, or its bass.
    ChordTone,
    /// An extension the chord takes.
    Tension,
    /// A b9, #9 or b13 over a dominant.
    Altered,
    /// None of these, but short and unaccented.
    Passing,
    /// None of these, and held or accented.
    Refused(Refusal),
}

/// Why a chord can't carry a tune note.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    /// It is neither in the chord nor one of its tensions.
    Foreign(Degree),
    /// A tone of the new chord lies a minor ninth under it.
    MinorNinth {
        /// The chord's tone.
        under: Degree,
        /// The tune's note.
        note: Degree,
    },
    /// The chord could take it, but not where the technique puts the chord.
    NotHere(Degree),
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Foreign(degree) => write!(f, "the chord has no place for {}", a_degree(*degree)),
            Self::MinorNinth { under, note } => {
                write!(
                    f,
                    "its {under} would rub a minor ninth under the melody's {note}"
                )
            }
            Self::NotHere(degree) => write!(f, "a {degree} does not fit this chord in its place"),
        }
    }
}

/// A degree with its article: `a b9`, `an 11`.
pub(crate) fn a_degree(degree: Degree) -> String {
    let vowel = degree.number() == 11 && degree.alter() == 0;
    format!("{} {degree}", if vowel { "an" } else { "a" })
}

/// A tune note and what becomes of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sung {
    /// The written bar, counted from 1.
    pub bar: usize,
    /// The note.
    pub note: TuneNote,
    /// What it is over the written chord.
    pub before: Degree,
    /// What it is over the chord in question.
    pub after: Degree,
    /// Whether that chord carries it.
    pub verdict: Verdict,
}

impl Sung {
    /// Whether the note is refused.
    pub const fn is_refused(&self) -> bool {
        matches!(self.verdict, Verdict::Refused(_))
    }
}

impl Stretch {
    /// The time of a written chord.
    pub const fn of(spot: &Spot<'_>) -> Self {
        Self {
            beat: spot.beat,
            beats: spot.beats,
            bar_beats: spot.bar_beats,
        }
    }

    /// Where it ends, as a beat from 1.
    pub fn end(&self) -> Beats {
        self.beat + self.beats
    }

    /// Whether any of the note sounds in this time.
    pub fn hears(&self, note: &TuneNote) -> bool {
        note.beat < self.end() && note.beat + note.beats > self.beat
    }

    /// Whether the note is too short and too weak to need a place in the chord.
    pub fn passes(&self, note: &TuneNote) -> bool {
        Beats::new(1, 2).is_some_and(|half| note.beats <= half)
            && note.beat > self.beat
            && !self.is_strong(note.beat)
    }

    /// Whether a beat of the bar is a strong one.
    pub(crate) fn is_strong(&self, beat: Beats) -> bool {
        let bar_beats = self.bar_beats;
        let even = bar_beats.denominator() == 1 && bar_beats.numerator() % 2 == 0;
        let odd = beat.denominator() == 1 && beat.numerator() % 2 == 1;
        beat == Beats::whole(1) || even && odd
    }
}

/// What a tune note is over a chord that is written where it sounds.
///
/// The key of the region decides the sounds that are taken only in some places (a #11 over a major
/// seventh chord, a 13 over a minor seventh, a 9 over a half-diminished): those of the key are.
///
/// ```
/// use compline::chart::{Beats, TuneNote};
/// use compline::chord::Chord;
/// use compline::harmony::{Stretch, Verdict, carries};
///
/// let whole = Beats::whole;
/// let bar = Stretch { beat: whole(1), beats: whole(4), bar_beats: whole(4) };
/// let note = TuneNote { note: "F4".parse().unwrap(), beat: whole(1), beats: whole(4) };
/// let over = |symbol| carries(&Chord::read(symbol).unwrap(), None, &note, bar);
/// assert_eq!(over("Dm7"), Verdict::ChordTone);
/// assert_eq!(over("Ebmaj7"), Verdict::Tension);
/// assert!(matches!(over("Cmaj7"), Verdict::Refused(_)));
/// ```
pub fn carries(chord: &Chord, key: Option<Key>, note: &TuneNote, time: Stretch) -> Verdict {
    let class = note.note.name().class();
    match carried(chord, key, class) {
        Some(Carried::Tone) => Verdict::ChordTone,
        Some(Carried::Tension) => Verdict::Tension,
        Some(Carried::Altered) => Verdict::Altered,
        None if time.passes(note) => Verdict::Passing,
        None => Verdict::Refused(Refusal::Foreign(degree_over(chord, class))),
    }
}

/// What a tune note is over a chord that is put under it anew: as [`carries`], and no root, third,
/// fifth, seventh or slash bass of the chord may lie a minor ninth under a held or accented note.
pub fn carries_anew(chord: &Chord, key: Option<Key>, note: &TuneNote, time: Stretch) -> Verdict {
    let verdict = carries(chord, key, note, time);
    let held = !time.passes(note);
    match rubbed_by(chord, note).filter(|_| held && !matches!(verdict, Verdict::Refused(_))) {
        Some(under) => Verdict::Refused(Refusal::MinorNinth {
            under,
            note: degree_over(chord, note.note.name().class()),
        }),
        None => verdict,
    }
}

/// The tone of the chord a half step (in another octave: a minor ninth) below the note.
fn rubbed_by(chord: &Chord, note: &TuneNote) -> Option<Degree> {
    let above = chord.root().class().up_to(note.note.name().class()).0;
    let dominant = chord.family() == Family::Dominant;
    let plain_fifth = chord.fifth().filter(|fifth| fifth.alter() == 0 && dominant);
    let basic = [
        Some(Degree::ROOT).filter(|_| !dominant),
        chord.third(),
        chord.fifth().filter(|_| plain_fifth.is_none()),
        chord.seventh(),
    ];
    let bass = chord.bass().map(|bass| degree_over(chord, bass.class()));
    let mut under = basic.into_iter().chain([bass]).flatten();
    under.find(|tone| (i32::from(tone.class()) + 1) % 12 == above)
}

/// The tune over the written chord: every note that sounds in the spot, once.
///
/// A refused note is one that the written symbol can't carry.
pub fn sung_over(spot: &Spot<'_>) -> Vec<Sung> {
    let sing = |note: &TuneNote| {
        let degree = degree_over(spot.chord, note.note.name().class());
        Sung {
            bar: spot.bar,
            note: *note,
            before: degree,
            after: degree,
            verdict: carries(spot.chord, spot.key, note, Stretch::of(spot)),
        }
    };
    spot.tune.iter().map(sing).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn note(name: &str, beat: &str, beats: &str) -> TuneNote {
        TuneNote {
            note: name.parse().unwrap(),
            beat: beat.parse().unwrap(),
            beats: beats.parse().unwrap(),
        }
    }

    fn bar(beat: i64, beats: i64, bar_beats: i64) -> Stretch {
        Stretch {
            beat: Beats::whole(beat),
            beats: Beats::whole(beats),
            bar_beats: Beats::whole(bar_beats),
        }
    }

    #[test]
    fn a_note_passes_only_when_it_is_short_and_weak() {
        let four = bar(1, 4, 4);
        for (beat, beats, passes) in [
            ("1", "1/2", false),
            ("3/2", "1/2", true),
            ("3/2", "1", false),
            ("3/2", "2/3", false),
            ("2", "1/2", true),
            ("3", "1/2", false),
            ("4", "1/3", true),
        ] {
            assert_eq!(
                four.passes(&note("F4", beat, beats)),
                passes,
                "{beat} {beats}"
            );
        }
        assert!(bar(1, 3, 3).passes(&note("F4", "3", "1/2")));
        assert!(!bar(4, 1, 4).passes(&note("F4", "4", "1/2")));
    }

    #[test]
    fn a_new_chord_may_not_rub_under_a_held_note() {
        let (held, brief) = (note("C5", "1", "4"), note("C5", "5/2", "1/2"));
        let over = |symbol: &str, note| {
            let chord = Chord::read(symbol).unwrap();
            carries_anew(&chord, None, note, bar(1, 4, 4))
        };
        assert!(matches!(
            over("Cmaj7", &held),
            Verdict::Refused(Refusal::MinorNinth { .. })
        ));
        assert_eq!(over("Cmaj7", &brief), Verdict::ChordTone);
        assert_eq!(over("C6", &held), Verdict::ChordTone);
        assert_eq!(over("B7", &held), Verdict::Altered);
        assert_eq!(over("E7", &held), Verdict::Altered);
        assert!(matches!(over("Em7", &held), Verdict::Refused(_)));
        assert!(matches!(
            over("G7", &held),
            Verdict::Refused(Refusal::Foreign(_))
        ));
        assert!(matches!(over("CmMaj7", &held), Verdict::Refused(_)));
        let chord = Chord::read("Cmaj7").unwrap();
        assert_eq!(
            carries(&chord, None, &held, bar(1, 4, 4)),
            Verdict::ChordTone
        );
    }
}
