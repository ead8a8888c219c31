//! A dominant whose third comes late, or not at all.

use super::idea::{Idea, WantedKind, on, same, shared, whole};
use super::{Example, Technique};
use crate::chart::MelodyNote;
use crate::chord::{Chord, Family};
use crate::harmony::passage::{Passage, Spot, is_dominant, up};
use crate::harmony::{MelodyFit, melody_fit};
use crate::pitch::Degree;

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "sus-delay",
    rule: "A dominant seventh is suspended in the first half of its time, or in its first bar, or throughout; not the I7 or IV7 of a blues, nor one that steps down a half tone or has a #11. A major chord whose melody holds the 11 is suspended throughout.",
    taught: "\"Chord substitution\" handout (docslib 7593323); throughout, and a major chord, from memory",
    melody: "not the third while the fourth sounds",
    example: Example {
        key: "C",
        before: "| Dm7 | G7 | Cmaj7 |",
        after: "| Dm7 | G7sus G7 | Cmaj7 |",
    },
    find,
};

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    ideas(passage, at).unwrap_or_default()
}

fn ideas(passage: &Passage<'_>, at: usize) -> Option<Vec<Idea>> {
    let spot = passage.spot(at)?;
    let run = Some(passage.run(at)).filter(|_| passage.begins(at))?;
    let on_root = |kind| on(spot.chord.root(), kind, spot.key, spot.beats);
    if holds_eleventh(spot) {
        let idea = whole(passage, run, on_root(WantedKind::Text("sus")));
        let reason = format!(
            "the melody holds the 11 of {}, which takes the place of its third",
            spot.chord
        );
        return Some(vec![idea.because(reason)]);
    }
    let next = passage.after(run.end - 1);
    // A dominant that steps down a half tone has the #11: a fourth is no sound of its.
    let steps_down = next.is_some_and(|next| up(spot.chord, next) == 11);
    let mut sung = passage.spots.get(run.clone())?.iter();
    let raised = has_raised_eleventh(spot.chord) || sung.any(sounds_raised_eleventh);
    let takes_fourth = is_dominant(spot.chord) && !raised;
    if !takes_fourth || passage.is_blues(at) || steps_down {
        return None;
    }
    let sus = || on_root(WantedKind::Suspended);
    let stays = same(spot.chord, spot.beats);
    let late = match run.len() {
        1 => shared(passage, run.clone(), sus(), stays),
        _ => Some(whole(passage, at..at + 1, sus())),
    };
    let late =
        late.map(|idea| idea.because(format!("the fourth holds back the third of {}", spot.chord)));
    let never = whole(passage, run, sus()).because(format!(
        "the fourth takes the place of the third of {}",
        spot.chord
    ));
    Some(late.into_iter().chain([never]).collect())
}

/// Whether a dominant names the #11, whose place the fourth would take, or leaves its alterations to the player.
fn has_raised_eleventh(chord: &Chord) -> bool {
    let mut tones = chord.tones().iter();
    chord.is_altered() || tones.any(|tone| tone.degree.class() == 6)
}

/// Whether the melody has the #11, which a fourth before or under it would contradict.
fn sounds_raised_eleventh(spot: &Spot<'_>) -> bool {
    let above = |note: &MelodyNote| spot.chord.root().class().up_to(note.note.name().class()).0;
    spot.melody_notes.iter().any(|note| above(note) == 6)
}

/// Whether the melody holds the 11 of a major chord, which the chord has no place for.
fn holds_eleventh(spot: &Spot<'_>) -> bool {
    let major = spot.chord.family() == Family::Major && spot.chord.bass().is_none();
    let misfit = |one: &MelodyFit| one.is_misfit() && one.before == Degree::ELEVENTH;
    major && melody_fit(spot).iter().any(misfit)
}
