//! Which of the notes that a written chord can't carry a listener minds.
//!
//! [`carries`](super::carries) asks a place in the chord for every note that is accented or longer
//! than half a beat. That is right for a chord that is put under a tune anew. A tune that was written
//! with its chord may do more, and nobody hears a mistake (common practice, no source):
//!
//! - a **passing or neighbouring note** goes by: it begins after the chord, on a weak beat or between
//!   two, lasts at most a beat and less than half the bar, and is reached and left by step;
//! - a note **pushed** over a change of chord belongs to the chord after, and one that **hangs over**
//!   from the chord before to that one, as long as no more than half a beat of it is heard here.
//!
//! A note is **held** where half the bar of it or more is heard over the chord, or as much as the chord
//! lasts: that is a mistake in the tune or the symbol sooner than a leaning note.

use super::sung::Stretch;
use crate::chart::{Beats, TuneNote};
use crate::pitch::Note;

/// Whether a note that has no place in a chord goes by without needing one.
///
/// `beside` are the notes just before and just after it; `None` where the tune rests.
///
/// ```
/// use compline::chart::{Beats, TuneNote};
/// use compline::harmony::{Stretch, goes_by};
///
/// let bar = Stretch { beat: Beats::whole(1), beats: Beats::whole(4), bar_beats: Beats::whole(4) };
/// let on = |beat| TuneNote { note: "F4".parse().unwrap(), beat, beats: Beats::whole(1) };
/// let beside = |text: &str| Some(text.parse().unwrap());
/// assert!(goes_by(&on(Beats::whole(2)), [beside("E4"), beside("G4")], bar));
/// assert!(!goes_by(&on(Beats::whole(3)), [beside("E4"), beside("G4")], bar));
/// assert!(!goes_by(&on(Beats::whole(2)), [beside("C4"), beside("G4")], bar));
/// ```
pub fn goes_by(note: &TuneNote, beside: [Option<Note>; 2], time: Stretch) -> bool {
    let by_step = |other: Option<Note>| other.is_some_and(|other| is_step(note.note, other));
    let brief = note.beats <= Beats::whole(1) && note.beats + note.beats < time.bar_beats;
    let weak = note.beat > time.beat && !time.is_strong(note.beat);
    overhangs(note, time) || brief && weak && beside.into_iter().all(by_step)
}

/// Whether a note is heard over a chord for half the bar or more, or as long as the chord lasts.
pub fn is_held(note: &TuneNote, time: Stretch) -> bool {
    let heard = heard(note, time);
    heard + heard >= time.bar_beats || heard >= time.beats
}

/// How long a note is heard in a time.
fn heard(note: &TuneNote, time: Stretch) -> Beats {
    let end = (note.beat + note.beats).min(time.end());
    end - note.beat.max(time.beat)
}

/// Whether a note belongs to the chord before or after and only its end or its beginning is heard.
fn overhangs(note: &TuneNote, time: Stretch) -> bool {
    let crosses = note.beat < time.beat || note.beat + note.beats > time.end();
    let half = Beats::new(1, 2);
    crosses && half.is_some_and(|half| heard(note, time) <= half) && !is_held(note, time)
}

fn is_step(from: Note, to: Note) -> bool {
    let pitches = from.pitch().zip(to.pitch());
    let gap = pitches.map(|(from, to)| from.up_to(to).0.abs());
    gap.is_some_and(|gap| (1..=2).contains(&gap))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn note(beat: &str, beats: &str) -> TuneNote {
        TuneNote {
            note: "F4".parse().unwrap(),
            beat: beat.parse().unwrap(),
            beats: beats.parse().unwrap(),
        }
    }

    fn time(beat: i64, beats: i64, bar_beats: i64) -> Stretch {
        let [beat, beats, bar_beats] = [beat, beats, bar_beats].map(Beats::whole);
        Stretch {
            beat,
            beats,
            bar_beats,
        }
    }

    fn between(before: &str, after: &str) -> [Option<Note>; 2] {
        [before, after].map(|text| text.parse().ok())
    }

    #[test]
    fn a_note_goes_by_when_it_is_weak_brief_and_moves_by_step() {
        let four = time(1, 4, 4);
        let by = |beat, beats, beside, time| goes_by(&note(beat, beats), beside, time);
        let steps = between("E4", "G4");
        assert!(by("2", "1", steps, four));
        assert!(by("5/2", "1", steps, four));
        assert!(by("4", "1", between("Gb4", "E4"), four));
        // Accented, at the front of the chord, too long, left by leap, before a rest.
        assert!(!by("3", "1", steps, four));
        assert!(!by("2", "1", steps, time(2, 3, 4)));
        assert!(!by("2", "3/2", steps, four));
        assert!(!by("2", "1", between("E4", "C5"), four));
        assert!(!by("2", "1", between("F4", "G4"), four));
        assert!(!by("2", "1", between("E4", "r"), four));
        // Half the bar is not brief.
        assert!(!by("2", "1", steps, time(1, 2, 2)));
        assert!(by("2", "2/3", steps, time(1, 2, 2)));
    }

    #[test]
    fn a_push_and_its_tail_belong_to_the_other_chord() {
        let alone = [None; 2];
        let push = note("5/2", "3/2");
        assert!(goes_by(&push, alone, time(1, 2, 4)));
        assert!(!goes_by(&push, alone, time(3, 2, 4)));
        let tail = note("2", "3/2");
        assert!(goes_by(&tail, alone, time(3, 2, 4)));
        assert!(!goes_by(&note("2", "2"), alone, time(3, 2, 4)));
    }

    #[test]
    fn half_a_bar_or_a_whole_chord_is_held() {
        assert!(is_held(&note("3", "2"), time(1, 4, 4)));
        assert!(!is_held(&note("3", "3/2"), time(1, 4, 4)));
        assert!(is_held(&note("2", "1"), time(2, 1, 4)));
        assert!(is_held(&note("1", "4"), time(4, 1, 4)));
        assert!(!is_held(&note("1", "3"), time(3, 2, 4)));
    }
}
