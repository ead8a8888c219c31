//! What a tune is written in: triads or chords with sevenths, whether it is a dance, and which bent chords it has
//! itself.
//!
//! An arranger speaks a tune's own language. A folk song or a hymn in triads takes relative minors, a iv, the V
//! of its degrees, a passing diminished chord; a dominant a tritone away or a raised fifth is from another world
//! there, where a tune that is written in sevenths is at home with it. Who backs a reel or a jig stays in its key:
//! ii, iii and vi for its chords, a bass that walks, a seventh on its V, a suspension (common practice, no source;
//! pianists marked a tritone substitute and an augmented chord in plain tunes wrong, and every note outside the
//! key of a reel and a jig tolerable or wrong).

use crate::chart::Slot;
use crate::chord::{Chord, Family};
use crate::harmony::passage::is_diatonic;
use crate::pitch::{Degree, Key, Mode, PitchClass, Semitones};

/// What of chords a tune has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Language {
    /// How many of its chords are triads.
    pub triads: TriadShare,
    /// Whether it is a dance in triads: its notes run by, and the chords stay in its key.
    pub dance: bool,
    /// Which chords it has that a tune in triads mostly has not.
    has: BentChords,
    /// The first slot whose chord has each pitch class.
    sounds: Sounds,
}

/// How many of a tune's chords are triads, with or without an added tone, over any bass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum TriadShare {
    /// Less than a quarter: a tune of sevenths.
    #[default]
    Few,
    /// A quarter or more.
    Some,
    /// Half or more: a tune of triads.
    Most,
}

/// Which bent chords a tune has, by [`Foreign`].
type BentChords = [bool; 5];

/// For each pitch class the first slot whose chord has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Sounds([Option<usize>; 12]);

impl Sounds {
    fn of(slots: &[Slot]) -> Self {
        let mut first = [None; 12];
        let chords = slots
            .iter()
            .filter_map(|slot| Some((slot.index, slot.symbol.chord()?)));
        for (at, class) in
            chords.flat_map(|(at, chord)| chord.classes().map(move |class| (at, class)))
        {
            let place = first.get_mut(usize::from(class.number()));
            place.into_iter().for_each(|place: &mut Option<usize>| {
                place.get_or_insert(at);
            });
        }
        Self(first)
    }

    fn first(self, class: PitchClass) -> Option<usize> {
        self.0.get(usize::from(class.number())).copied().flatten()
    }
}

/// What makes a chord foreign to a tune in triads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Foreign {
    /// A dominant that is the V of no degree of the key, or a minor seventh on a root outside the key: the sound
    /// of a tritone substitute and its ii.
    Slide,
    /// A raised fifth or a b13.
    BentFifth,
    /// A dominant with another bent tone.
    Alteration,
    /// A major seventh on a root outside the key.
    FarMajor,
    /// A half-diminished seventh that is not the key's own.
    HalfDiminished,
}

/// So many notes a second are a dance: a reel has six or seven, a jig five, a song one or two.
const DANCE: i64 = 4;

/// Into so many parts a beat is cut to count lengths.
const PARTS: i64 = 48;

/// The beats a minute of a page that doesn't say.
const USUAL_TEMPO: u32 = 120;

impl Language {
    /// That of a page, each written chord counted once, in the key it stands in, at so many beats a minute.
    pub(crate) fn of(slots: &[Slot], keys: &[Option<Key>], tempo: Option<u32>) -> Self {
        let keys = keys.iter().copied().chain(std::iter::repeat(None));
        let chords = slots.iter().zip(keys);
        let chords: Vec<(&Chord, Option<Key>)> = chords
            .filter_map(|(slot, key)| Some((slot.symbol.chord()?, key)))
            .collect();
        let mut has = BentChords::default();
        for what in chords
            .iter()
            .filter_map(|(chord, key)| foreign(chord, *key))
        {
            has.get_mut(what as usize)
                .into_iter()
                .for_each(|has| *has = true);
        }
        let triads = TriadShare::of(&chords);
        Self {
            triads,
            dance: triads == TriadShare::Most && runs(slots, tempo.unwrap_or(USUAL_TEMPO)),
            has,
            sounds: Sounds::of(slots),
        }
    }

    /// What makes a chord in this key foreign to a tune in triads, unless the tune has such chords itself.
    pub(super) fn foreign(&self, chord: &Chord, key: Option<Key>) -> Option<Foreign> {
        let has = |what: Foreign| self.has.get(what as usize).copied().unwrap_or_default();
        foreign(chord, key).filter(|what| !has(*what))
    }

    /// Whether a chord in this key is no chord for a dance: it has a note outside the key that no chord of the tune
    /// has, or a major seventh. A minor key has its own 6 only.
    pub(super) fn is_foreign_to_dance(&self, chord: &Chord, key: Option<Key>) -> bool {
        let is_at_home = |key: Key, class| {
            let six = key.mode() == Mode::Minor && key.tonic().class().up_to(class).0 == 9;
            is_diatonic(key, class) && !six
        };
        let strange = |class| {
            let outside = key.is_some_and(|key| !is_at_home(key, class));
            outside && self.sounds.first(class).is_none()
        };
        chord.seventh() == Some(Degree::SEVENTH) || chord.classes().any(strange)
    }

    /// Whether a chord for a slot has a note outside the key that the tune itself has later on, and not before: a
    /// colour that is kept for its place (an arranger's mark).
    pub(super) fn keeps_for_later(&self, chord: &Chord, key: Option<Key>, slot: usize) -> bool {
        let later = |class| self.sounds.first(class).is_some_and(|first| first > slot);
        let outside = |class: &PitchClass| key.is_some_and(|key| !is_diatonic(key, *class));
        chord.classes().filter(outside).any(later)
    }
}

impl TriadShare {
    fn of(chords: &[(&Chord, Option<Key>)]) -> Self {
        let triads = chords.iter().filter(|(chord, _)| is_triad(chord)).count();
        match triads {
            few if 4 * few < chords.len() => Self::Few,
            some if 2 * some < chords.len() => Self::Some,
            _ => Self::Most,
        }
    }
}

/// Whether the melody has as many notes a second as a dance, over the time in which it sounds. Lengths are counted in
/// 48ths of a beat, so that odd ones add up to a small number.
fn runs(slots: &[Slot], tempo: u32) -> bool {
    let notes = slots.iter().flat_map(|slot| {
        let mine = slot.melody_notes.iter();
        mine.filter(|note| note.beat >= slot.beat)
    });
    let (count, parts) = notes.fold((0_i64, 0_i64), |(count, parts), note| {
        let more = (note.beats.ratio() * PARTS).round().to_integer();
        (count + i64::from(!note.tied), parts.saturating_add(more))
    });
    let a_minute = count.saturating_mul(i64::from(tempo) * PARTS);
    count > 0 && a_minute >= parts.saturating_mul(DANCE * 60)
}

fn foreign(chord: &Chord, key: Option<Key>) -> Option<Foreign> {
    let is_outside = |class| key.is_some_and(|key| !is_diatonic(key, class));
    let root = chord.root().class();
    let outside = is_outside(root) && chord.seventh().is_some();
    match chord.family() {
        // F7 in C is the V of a Bb that C hasn't got: it slides into Em.
        Family::Dominant if outside || is_outside(root.plus(Semitones(5))) => Some(Foreign::Slide),
        Family::Minor if outside => Some(Foreign::Slide),
        Family::Augmented => Some(Foreign::BentFifth),
        Family::Dominant if has_class(chord, 8) => Some(Foreign::BentFifth),
        Family::Dominant if is_bent(chord) => Some(Foreign::Alteration),
        Family::Major if outside => Some(Foreign::FarMajor),
        Family::HalfDiminished if chord.classes().any(is_outside) => Some(Foreign::HalfDiminished),
        _ => None,
    }
}

/// Whether a chord names a b9, #9, b5, #11, #5 or b13.
fn is_bent(chord: &Chord) -> bool {
    chord.is_altered()
        || [1, 3, 6, 8]
            .into_iter()
            .any(|class| has_class(chord, class))
}

/// Whether a chord names a tone so many half steps above its root.
fn has_class(chord: &Chord, class: u8) -> bool {
    let mut tones = chord.tones().iter();
    tones.any(|tone| tone.degree.class() == class)
}

fn is_triad(chord: &Chord) -> bool {
    let family = matches!(
        chord.family(),
        Family::Major | Family::Minor | Family::Suspended | Family::Power
    );
    family && chord.seventh().is_none()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::read;

    fn language(rows: &str) -> Language {
        let chart = read(rows).unwrap();
        let slots = chart.slots();
        let keys = vec![chart.key(); slots.len()];
        Language::of(&slots, &keys, chart.tempo())
    }

    #[test]
    fn a_tune_of_triads_is_told_from_one_of_sevenths() {
        for (rows, wanted) in [
            ("| G | D/F# | Em7 | Cadd9 | G | Dsus4 |", TriadShare::Most),
            ("| C | F | G7 | C |", TriadShare::Most),
            ("| Dm7 | G7 | C | Am7 |", TriadShare::Some),
            ("| Dm7 | G7 | Cmaj7 | A7 | C6 |", TriadShare::Few),
            ("| C7 | F7 | C7 | G7 |", TriadShare::Few),
        ] {
            assert_eq!(language(rows).triads, wanted, "{rows}");
        }
    }

    #[test]
    fn what_a_tune_has_itself_is_not_foreign_to_it() {
        let key: Option<Key> = "C".parse().ok();
        let told = |rows: &str, symbol: &str| {
            let chord = Chord::read(symbol).unwrap();
            language(&format!("key: C\n{rows}")).foreign(&chord, key)
        };
        let plain = "| C | F | G | C |";
        for (symbol, wanted) in [
            ("Db7", Some(Foreign::Slide)),
            ("Abm7", Some(Foreign::Slide)),
            ("A7b9", Some(Foreign::Alteration)),
            ("Dm7b5", Some(Foreign::HalfDiminished)),
            ("Bm7b5", None),
            ("F7", Some(Foreign::Slide)),
            ("A7", None),
            ("C7", None),
            ("Fm6", None),
            ("C#dim7", None),
            ("Abmaj7", Some(Foreign::FarMajor)),
            ("A7b13", Some(Foreign::BentFifth)),
            ("C+", Some(Foreign::BentFifth)),
            ("Fmaj7", None),
        ] {
            assert_eq!(told(plain, symbol), wanted, "{symbol}");
        }
        assert_eq!(told("| C | Db7 | C | F |", "Ab7"), None);
        assert_eq!(told("| C | E7b9 | Am | F |", "A7b9"), None);
        assert_eq!(told("| C | Gm7b5 | C | F |", "Dm7b5"), None);
    }

    /// In every key: what backs a reel stays in its key, a seventh on V and the notes of its own odd chord included.
    #[test]
    fn a_dance_in_triads_takes_no_note_from_outside() {
        let run = "C5:1/2 E5:1/2 G5:1/2 E5:1/2 C5:1/2 E5:1/2 G5:1/2 E5:1/2";
        let reel = |tempo: u32| {
            language(&format!(
                "key: C\ntempo: {tempo}\n| C | F | Bb | C |\nmel | {run} | {run} | {run} | {run} |"
            ))
        };
        assert!(reel(200).dance && reel(120).dance && !reel(100).dance);
        assert!(!language("key: C\n| C | F | Bb | C |").dance);
        let key: Option<Key> = "C".parse().ok();
        let strange =
            |symbol: &str| reel(200).is_foreign_to_dance(&Chord::read(symbol).unwrap(), key);
        let at_home = ["Em7", "Am", "G7", "Gsus4", "C/E", "Gm", "C7"];
        let foreign = ["D7", "F#dim7", "Db7", "C+", "Fmaj7", "Fm", "A7"];
        assert!(!at_home.into_iter().any(strange) && foreign.into_iter().all(strange));
    }
}
