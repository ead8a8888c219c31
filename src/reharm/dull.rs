//! Proposals that are harmless and bring little: a chord of the key for another, or a hybrid
//! that takes what the next chord needs or is but a voicing.
//!
//! Such a swap was mostly marked tolerable where it led on to nothing. One for a dominant leads nowhere the
//! dominant didn't: its tones are those that a hand without roots plays for the dominant itself (Bm7b5 and
//! G9), and the root that fell a fifth is lost; a minor one for the major chord that opens a section takes its lift
//! (arrangers marked IV that became ii there tolerable, and vi that became IV good). G/C for Cmaj7 is but a way to
//! voice its 9, and Am/D for Dm7 takes the third that becomes the seventh of G7; a suspended V waits for none (common
//! practice, no source).

use super::idle::is_hybrid;
use super::in_place::InPlace;
use crate::chord::{Chord, Family};
use crate::harmony::chord_kind::ground;
use crate::harmony::passage::{is_diatonic, is_tonic};
use crate::pitch::Degree;

/// Whether chords of the key that are no dominants change places with others, and nothing more leads on than
/// before, or a dominant has gone, or the tonic comes.
pub(super) fn is_dull(proposal: &InPlace<'_>, leads_on: i32) -> bool {
    let mut old = proposal.changes().map(|meeting| meeting.spot.chord);
    let lost = old.any(|chord| chord.family() == Family::Dominant);
    let swapped = leads_on <= 0 || lost || comes_home(proposal) || darkens_opening(proposal);
    is_plain_swap(proposal) && swapped || is_open_major(proposal) || is_open_two(proposal)
}

/// Whether a section that opens on a major chord opens on a minor one.
fn darkens_opening(proposal: &InPlace<'_>) -> bool {
    let first = proposal.changes().next();
    first.is_some_and(|meeting| {
        let families = (meeting.spot.chord.family(), meeting.new.chord.family());
        proposal.opens && families == (Family::Major, Family::Minor)
    })
}

/// Whether the ii of a dominant that has its third becomes a hybrid over the same bass.
fn is_open_two(proposal: &InPlace<'_>) -> bool {
    let Some((new, old)) = proposal.last() else {
        return false;
    };
    let mut after = proposal.after.iter();
    let prepares = after.any(|five| {
        let dominant = five.family() == Family::Dominant && five.third() == Some(Degree::THIRD);
        dominant && ground(old.chord).up_to(ground(five)).0 == 5
    });
    let bass = old.chord.lowest().class() == new.chord.lowest().class();
    prepares && bass && old.chord.family() == Family::Minor && is_hybrid(&new.chord)
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
