//! Proposals that are harmless and bring little: a chord of the key for another, or a hybrid
//! that takes what the next chord needs or is but a voicing.
//!
//! Such a swap was mostly marked tolerable where it led on to nothing. One for a dominant leads nowhere the
//! dominant didn't: its tones are those that a hand without roots plays for the dominant itself (Bm7b5 and
//! G9), and the root that fell a fifth is lost; a minor one for the major chord that opens a section takes its lift
//! (arrangers marked IV that became ii there tolerable, and vi that became IV good). G/C for Cmaj7 is but a way to
//! voice its 9, and Am/D for Dm7 takes the third that becomes the seventh of G7; a suspended V waits for none, and in
//! a song in triads the open sound is welcome (common practice, no source).

use super::idle::is_hybrid;
use super::in_place::InPlace;
use crate::chord::{Chord, Family};
use crate::harmony::chord_kind::ground;
use crate::harmony::passage::{above_tonic, is_diatonic, is_tonic};
use crate::pitch::Degree;
use crate::reharm::language::TriadShare;

/// Whether chords of the key that are no dominants change places with others, and nothing more leads on than
/// before, or a dominant has gone, or the tonic comes.
pub(super) fn is_dull(proposal: &InPlace<'_>, leads_on: i32) -> bool {
    let mut old = proposal.changes().map(|meeting| meeting.spot.chord);
    let lost = old.any(|chord| chord.family() == Family::Dominant);
    let swapped = leads_on <= 0 || lost || comes_home(proposal) || darkens_opening(proposal);
    is_plain_swap(proposal) && swapped
        || is_open_major(proposal)
        || is_open_minor(proposal)
        || turns_in_place(proposal)
        || softens_blues(proposal)
}

/// Whether a section that opens on a major chord opens on a minor one.
fn darkens_opening(proposal: &InPlace<'_>) -> bool {
    let first = proposal.changes().next();
    first.is_some_and(|meeting| {
        let families = (meeting.spot.chord.family(), meeting.new.chord.family());
        proposal.opens && families == (Family::Major, Family::Minor)
    })
}

/// Whether the IV7 of a blues turns minor on its way to I7, which is sentimental for it (an arranger's marks).
fn softens_blues(proposal: &InPlace<'_>) -> bool {
    let dominant = |chord: &Chord| chord.family() == Family::Dominant;
    proposal.last().is_some_and(|(new, old)| {
        let same = new.chord.root().class() == old.chord.root().class();
        let key = old.key.filter(|key| above_tonic(*key, old.chord) == 5);
        let is_one = |next: &&Chord| key.is_some_and(|key| above_tonic(key, next) == 0);
        let mut after = proposal.after.iter();
        let home = !proposal.after.is_empty() && after.all(|next| dominant(next) && is_one(next));
        same && home && dominant(old.chord) && new.chord.family() == Family::Minor
    })
}

/// Whether a song in triads goes from I by ii-V to I: a jazz turnaround where the phrase has come to rest (arrangers'
/// marks).
fn turns_in_place(proposal: &InPlace<'_>) -> bool {
    let [one, ii, five] = proposal.new else {
        return false;
    };
    let key = proposal.old.first().and_then(|spot| spot.key);
    let degree = |chord: &Chord| key.map(|key| above_tonic(key, chord));
    let row = [&one.chord, &ii.chord, &five.chord].map(degree);
    let home = proposal.after.iter().all(|next| degree(next) == Some(0));
    let plain = proposal.language.triads == TriadShare::Most;
    plain && home && row == [0, 2, 7].map(Some)
}

/// Whether a minor chord becomes a hybrid over the same bass in a tune of sevenths, or as the ii of a dominant that has
/// its third.
fn is_open_minor(proposal: &InPlace<'_>) -> bool {
    let Some((new, old)) = proposal.last() else {
        return false;
    };
    let mut after = proposal.after.iter();
    let of_sevenths = proposal.language.triads == TriadShare::Few;
    let prepares = after.any(|five| {
        let dominant = five.family() == Family::Dominant && five.third() == Some(Degree::THIRD);
        dominant && ground(old.chord).up_to(ground(five)).0 == 5
    });
    let bass = old.chord.lowest().class() == new.chord.lowest().class();
    (of_sevenths || prepares)
        && bass
        && old.chord.family() == Family::Minor
        && is_hybrid(&new.chord)
}

/// Whether all that comes is a hybrid for a major chord over the same bass.
fn is_open_major(proposal: &InPlace<'_>) -> bool {
    let mut changes = proposal.changes().peekable();
    changes.peek().is_some()
        && changes.all(|meeting| {
            let (old, new) = (meeting.spot.chord, &meeting.new.chord);
            let bass = old.lowest().class() == new.lowest().class();
            bass && old.family() == Family::Major && is_hybrid(new)
        })
}

/// Whether the tonic comes in for another chord of the key: home is given away where the tune was on its way.
fn comes_home(proposal: &InPlace<'_>) -> bool {
    let mut changes = proposal.changes();
    changes.any(|meeting| {
        let key = meeting.spot.key;
        key.is_some_and(|key| is_tonic(key, &meeting.new.chord))
    })
}

fn is_plain_swap(proposal: &InPlace<'_>) -> bool {
    let key = proposal.old.first().and_then(|spot| spot.key);
    let at_home = |chord: &Chord| {
        let plain = chord.family() != Family::Dominant && chord.bass().is_none();
        plain && key.is_some_and(|key| chord.classes().all(|class| is_diatonic(key, class)))
    };
    let mut changes = proposal.changes();
    proposal.new.len() <= proposal.old.len() && changes.all(|meeting| at_home(&meeting.new.chord))
}
