//! A bass that moves by step, and the chords that go with it.
//!
//! The bass comes first, the chords follow it: by half steps or by the steps of the key, up or down, to
//! a root that is coming anyway. An encyclopedia's article on slash chords (read) has the walk down I,
//! V over its third, vi, and in minor i, i over b7, iv over b6, V; a lesson on line clichés (read) has a
//! minor chord over 1 7 b7 6; "Reharmonization Summary" (course sheet) prints Em7 Eb7 Dm7 Db7 Cmaj7 for
//! Em7 Am7 Dm7 G7 Cmaj7. The rest is common practice, from memory.

use super::idea::{
    Idea, Wanted, WantedKind, alone, ending, higher, led_on, on, over, quarter, same,
};
use super::moving_voice::{VoiceStep, is_crossed};
use super::{Example, Technique};
use crate::chart::Beats;
use crate::chord::{Chord, Family};
use crate::harmony::chord_kind::RootAndKind;
use crate::harmony::passage::{Passage, Spot, above_tonic, is_diatonic, is_minor, up};
use crate::pitch::{Degree, Key, Mode};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "bass-line",
    rule: "The bass goes by step to a root that is coming: in the second half of a chord through its third or seventh, under a minor chord that lasts 1 7 b7 6, from I up to IV or down to vi, IV or V, from IV down to I, or by half steps where roots fall by fifths.",
    taught: "Felts, Reharmonization Techniques, chapter on bass-line reharmonization (contents read); encyclopedia article on slash chords, a lesson on line clichés, \"Reharmonization Summary\" (all read); others from memory",
    melody: "not a half step above the new bass; each new chord is tested for its time",
    example: Example {
        key: "C",
        before: "| C | Am7 | Dm7 |",
        after: "| C C/B | Am7 | Dm7 |",
    },
    find,
};

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    let ways = [through(passage, at), falling(passage, at)];
    let walks = WALKS.iter().map(|walk| walked(passage, at, walk));
    ways.into_iter().chain(walks).flatten().collect()
}

/// The second half of a chord over its third or seventh, a step from the next bass.
fn through(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let spot = passage.spot(at)?;
    let chord = spot.chord;
    let target = passage.after(at)?;
    let degree = between(chord, target)?;
    let ending = ending(chord)?;
    let bass = chord.spell(degree);
    let slash = over(chord.root(), ending, bass, spot.key, spot.beats)?;
    let reason = format!("the bass steps from {} into {target}", slash.bass()?);
    Some(led_on(at, spot, slash)?.because(reason))
}

/// The tone of a chord that lies a step from the bass of the next, where the root does not.
fn between(chord: &Chord, target: &Chord) -> Option<Degree> {
    let family = chord.family();
    let firm = matches!(family, Family::Major | Family::Dominant | Family::Minor);
    let bass = target.lowest().class();
    let steps = |degree: Degree| {
        let way = chord.spell(degree).class().up_to(bass).0;
        matches!(way, 1 | 2 | 10 | 11)
    };
    if !firm && family != Family::HalfDiminished || steps(Degree::ROOT) {
        return None;
    }
    let here = chord.root().class() == bass;
    let seventh = chord.seventh().filter(|degree| degree.number() == 7);
    // A triad has the seventh of its major scale, on the way down to vi.
    let usual = Some(Degree::SEVENTH).filter(|_| family == Family::Major);
    let tones = [chord.third(), seventh.or(usual)];
    let mut tones = tones.into_iter().flatten();
    tones.find(|degree| !here && degree.number() != 4 && steps(*degree))
}

/// Every other one of a row of chords that fall by fifths gives way to the dominant a half step above
/// the next, so that the bass falls by half steps: Em7 Eb7 Dm7 Db7 C for Em7 Am7 Dm7 G7 C.
fn falling(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let first = passage.spot(at)?;
    let falls = |place: usize| {
        let pair = passage.spot(place).zip(passage.after(place));
        pair.is_some_and(|(spot, next)| up(spot.chord, next) == 5 && spot.beats == first.beats)
    };
    let whole_row = at.checked_sub(1).is_none_or(|before| !falls(before));
    let count = (at..passage.spots.len())
        .take_while(|place| falls(*place))
        .count();
    let row = passage
        .spots
        .get(at..at + count)
        .filter(|row| row.len() > 2)?;
    let (key, target) = first.key.zip(passage.after(at + count - 1))?;
    if !whole_row || !is_diatonic(key, target.root().class()) {
        return None;
    }
    let link = |(place, spot): (usize, &Spot<'_>)| -> Option<Wanted> {
        if (count - place) % 2 == 0 {
            return Some(same(spot.chord, spot.beats));
        }
        let next = passage.after(at + place)?;
        // A major chord in the row is where a cadence comes to rest.
        let moves = is_minor(spot.chord) || RootAndKind::of(spot.chord).is_dominant();
        let root = higher(next.root(), 1, 1);
        moves.then(|| alone(root, WantedKind::Dominant, spot.key, spot.beats))
    };
    Some(Idea {
        spots: at..at + count,
        chords: row.iter().enumerate().map(link).collect::<Option<_>>()?,
        reason: format!("the bass falls by half steps to {target}"),
    })
}

/// A step of a walk: letters and half steps of the root above the first chord's root, what is written
/// after it, the bass if it is another, and how many quarters of the time it has.
struct BassStep {
    root: (i32, i32),
    ending: &'static str,
    bass: Option<(i32, i32)>,
    quarters: usize,
}

/// A bass line from a chord that lasts to one that is coming.
struct Walk {
    from: Family,
    /// The degree of the key the chord must stand on, in half steps; any if not given.
    on: Option<i32>,
    /// The mode of that key.
    mode: Option<Mode>,
    /// How far the next root may lie above the chord's own.
    to: &'static [i32],
    steps: &'static [BassStep],
    way: &'static str,
}

const fn step(root: (i32, i32), ending: &'static str, quarters: usize) -> BassStep {
    BassStep {
        root,
        ending,
        bass: None,
        quarters,
    }
}

const fn slash(
    root: (i32, i32),
    ending: &'static str,
    bass: (i32, i32),
    quarters: usize,
) -> BassStep {
    BassStep {
        root,
        ending,
        bass: Some(bass),
        quarters,
    }
}

const ROOT: (i32, i32) = (0, 0);

const WALKS: [Walk; 7] = [
    Walk {
        from: Family::Minor,
        on: None,
        mode: None,
        to: &[2, 7, 8],
        steps: &[
            step(ROOT, "m", 1),
            slash(ROOT, "m", (6, 11), 1),
            slash(ROOT, "m", (6, 10), 1),
            slash(ROOT, "m", (5, 9), 1),
        ],
        way: "by half steps, 1 7 b7 6, down",
    },
    Walk {
        from: Family::Major,
        on: Some(0),
        mode: Some(Mode::Major),
        to: &[5],
        steps: &[
            step(ROOT, "", 2),
            step((1, 2), "m7", 1),
            slash(ROOT, "", (2, 4), 1),
        ],
        way: "by the steps of the key, 1 2 3, up",
    },
    Walk {
        from: Family::Minor,
        on: Some(0),
        mode: Some(Mode::Minor),
        to: &[5],
        steps: &[
            step(ROOT, "m", 2),
            step((1, 2), "m7b5", 1),
            slash(ROOT, "m", (2, 3), 1),
        ],
        way: "by the steps of the key, 1 2 b3, up",
    },
    Walk {
        from: Family::Major,
        on: Some(0),
        mode: Some(Mode::Major),
        to: &[5],
        steps: &[
            step(ROOT, "", 1),
            slash((4, 7), "", (6, 11), 1),
            step((5, 9), "m7", 1),
            slash(ROOT, "", (4, 7), 1),
        ],
        way: "by the steps of the key, 1 7 6 5, down",
    },
    Walk {
        from: Family::Minor,
        on: Some(0),
        mode: Some(Mode::Minor),
        to: &[7],
        steps: &[
            step(ROOT, "m", 2),
            slash(ROOT, "m", (6, 10), 1),
            slash((3, 5), "m", (5, 8), 1),
        ],
        way: "by the steps of the key, 1 b7 b6, down",
    },
    Walk {
        from: Family::Major,
        on: Some(5),
        mode: Some(Mode::Major),
        to: &[7],
        steps: &[
            step(ROOT, "", 2),
            slash((4, 7), "", (6, 11), 1),
            step((5, 9), "m7", 1),
        ],
        way: "by the steps of the key, 4 3 2, down",
    },
    Walk {
        from: Family::Minor,
        on: Some(5),
        mode: Some(Mode::Minor),
        to: &[7],
        steps: &[
            step(ROOT, "m", 2),
            slash((4, 7), "m", (6, 10), 1),
            step((5, 9), "m7b5", 1),
        ],
        way: "by the steps of the key, 4 b3 2, down",
    },
];

fn walked(passage: &Passage<'_>, at: usize, walk: &Walk) -> Option<Idea> {
    let spot = passage.spot(at).filter(|_| passage.begins(at))?;
    let spots = passage.run(at);
    let target = passage.after(spots.end - 1)?;
    if !walk.fits(spot, target) {
        return None;
    }
    let quarter = quarter(passage.beats(spots.clone()))?;
    let sung = passage.spots.get(spots.clone())?;
    if is_crossed(sung, spot.chord.root(), &walk.voice(quarter)) {
        return None;
    }
    let chords = walk.steps.iter().map(|step| step.of(spot, quarter));
    Some(Idea {
        spots,
        chords: chords.collect::<Option<_>>()?,
        reason: format!("the bass goes {} to {target}", walk.way),
    })
}

impl Walk {
    fn fits(&self, spot: &Spot<'_>, target: &Chord) -> bool {
        let key = |key: Key| {
            let mode = self.mode.is_none_or(|mode| key.mode() == mode);
            let degree = self.on.is_none_or(|on| above_tonic(key, spot.chord) == on);
            mode && degree
        };
        let plain = spot.chord.bass().is_none() && target.bass().is_none();
        let there = self.to.contains(&up(spot.chord, target));
        let keyed = self.on.is_none() || spot.key.is_some_and(key);
        plain && there && keyed && spot.chord.family() == self.from
    }

    /// Where the bass is, where it goes by half steps.
    fn voice(&self, quarter: Beats) -> Vec<VoiceStep> {
        let steps = self.steps.iter().filter(|_| self.on.is_none());
        let steps = steps.scan(Beats::ZERO, |start, step| {
            let beats = std::iter::repeat_n(quarter, step.quarters).sum();
            let here = *start;
            *start = here + beats;
            Some(VoiceStep {
                above: step.bass.unwrap_or(step.root).1,
                start: here,
                beats,
            })
        });
        steps.collect()
    }
}

impl BassStep {
    fn of(&self, spot: &Spot<'_>, quarter: Beats) -> Option<Wanted> {
        let beats = std::iter::repeat_n(quarter, self.quarters).sum();
        let above = |(letters, semitones)| higher(spot.chord.root(), letters, semitones);
        let root = above(self.root);
        match self.bass {
            Some(bass) => over(root, self.ending, above(bass), spot.key, beats),
            None => Some(on(root, WantedKind::Text(self.ending), spot.key, beats)),
        }
    }
}
