//! Proposals that are harmless and bring little: a chord of the key for another.
//!
//! Such a swap was mostly marked tolerable where it led on to nothing. One for a dominant leads nowhere the
//! dominant didn't: its tones are those that a hand without roots plays for the dominant itself (Bm7b5 and
//! G9), and the root that fell a fifth is lost (common practice, no source).

use super::in_place::InPlace;
use crate::chord::{Chord, Family};
use crate::harmony::passage::{is_diatonic, is_tonic};

/// Whether chords of the key that are no dominants change places with others, and nothing more leads on than
/// before, or a dominant has gone, or the tonic comes.
pub(super) fn is_dull(proposal: &InPlace<'_>, leads_on: i32) -> bool {
    let mut old = proposal.changes().map(|meeting| meeting.spot.chord);
    let lost = old.any(|chord| chord.family() == Family::Dominant);
    is_plain_swap(proposal) && (leads_on <= 0 || lost || comes_home(proposal))
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
