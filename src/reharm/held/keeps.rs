//! What a proposal keeps of a held place.

use super::HeldBy;
use crate::chord::{Chord, Family};
use crate::harmony::chord_kind::{RootAndKind, ground};
use crate::reharm::in_place::{InPlace, Meeting};

/// Whether a proposal keeps what a hold asks for at one of the chords it replaces.
pub(super) fn keeps(hold: HeldBy, proposal: &InPlace<'_>, at: usize) -> bool {
    let here = || proposal.meetings_of(at);
    match hold {
        HeldBy::Marked | HeldBy::Asked | HeldBy::Line | HeldBy::WalkingBass | HeldBy::Pedal => {
            here().all(|meeting| !meeting.differs())
        }
        HeldBy::LineEnd => here().next().is_some_and(|meeting| !meeting.differs()),
        HeldBy::First => here()
            .next()
            .is_some_and(|meeting| rests(&meeting.new.chord, meeting.spot.chord)),
        HeldBy::LastTonic => here().last().is_some_and(|meeting| {
            let (new, old) = (&meeting.new.chord, meeting.spot.chord);
            // A line that ends on a raised fifth goes on, and a tune doesn't end there.
            rests(new, old) && (new.family() == old.family() || new.family() != Family::Augmented)
        }),
        HeldBy::Arrival => arrives(proposal, at).is_some(),
        HeldBy::Dominant => is_led_home(proposal, at),
        HeldBy::SixFour => {
            let joint = |meeting: &Meeting<'_>| match meeting.spot.chord.bass() {
                Some(_) => here().last().map(|last| last.new),
                None => here().next().map(|first| first.new),
            };
            let bass = |chord: &Chord| chord.lowest().class();
            let first = here().next();
            first.is_some_and(|meeting| {
                joint(&meeting).is_some_and(|new| bass(&new.chord) == bass(meeting.spot.chord))
            })
        }
    }
}

/// Whether two chords have one root, in the bass, and one third.
fn alike(new: &Chord, old: &Chord) -> bool {
    let on_root = new
        .bass()
        .is_none_or(|bass| bass.class() == new.root().class());
    let bass = on_root || new.bass() == old.bass();
    bass && new.root().class() == old.root().class() && new.third() == old.third()
}

/// Whether a chord stands where another stood and does what that did: a tonic is still at rest, no dominant
/// on its root.
fn rests(new: &Chord, old: &Chord) -> bool {
    let is_dominant = |chord: &Chord| chord.family() == Family::Dominant;
    alike(new, old) && is_dominant(new) == is_dominant(old)
}

/// The new chord that is the arrival, from its time on.
fn arrives(proposal: &InPlace<'_>, at: usize) -> Option<usize> {
    let old = proposal.old.get(at)?;
    let mut new = proposal.new.iter().enumerate();
    let due = |bar, end| bar > old.bar || bar == old.bar && end > old.beat;
    let arrived =
        new.find(|(_, new)| due(new.bar, new.beat + new.beats) && rests(&new.chord, old.chord));
    arrived.map(|(place, _)| place)
}

/// Whether a dominant still leads into what follows the dominant at a place: into the new chord that
/// stands for the tonic, or into the chord after the proposal.
fn is_led_home(proposal: &InPlace<'_>, at: usize) -> bool {
    let dominant = proposal.old.get(at).map(|spot| spot.chord.symbol());
    let mut rest = proposal.old.get(at..).unwrap_or_default().iter();
    let tonic = rest.find(|spot| Some(spot.chord.symbol()) != dominant);
    let tonics = match tonic {
        Some(spot) => vec![spot.chord],
        None => proposal.after.to_vec(),
    };
    tonics.iter().all(|tonic| {
        let comes = |new: &&crate::chart::NewChord| !rests(&new.chord, tonic);
        let led = proposal.new.iter().take_while(comes).last();
        led.is_some_and(|new| leads_home(&new.chord, tonic))
    })
}

/// Whether a chord is a dominant of another: a dominant, suspended or over its root, a fifth above or a
/// half step above it, or on its b7; or the diminished or half-diminished chord on its leading tone.
pub(super) fn leads_home(dominant: &Chord, tonic: &Chord) -> bool {
    let up = ground(dominant).up_to(ground(tonic)).0;
    let is_dominant = RootAndKind::of(dominant).over_bass(dominant).is_dominant();
    let suspended = dominant.family() == Family::Suspended && up == 5;
    let triad = dominant.family() == Family::Major && dominant.seventh().is_none() && up == 5;
    match dominant.family() {
        Family::Diminished => up % 3 == 1,
        Family::HalfDiminished => up == 1,
        _ => is_dominant && matches!(up, 2 | 5 | 11) || suspended || triad,
    }
}

#[cfg(test)]
mod tests {
    use super::{HeldBy, keeps, leads_home};
    use crate::chord::Chord;
    use crate::reharm::in_place::one_for_one;

    /// What opens a tune may be coloured, and does what it did: a I is no V7 of IV, and the I7 of a blues
    /// stays one.
    #[test]
    fn what_opens_the_tune_keeps_its_function() {
        for tonic in [
            "C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B",
        ] {
            let kept = |old: &str, new: &str| {
                let (old, new) = (format!("{tonic}{old}"), format!("{tonic}{new}"));
                one_for_one(&old, &new, |proposal| keeps(HeldBy::First, proposal, 0))
            };
            assert!(
                kept("", "maj7") && kept("6", "maj9") && kept("7", "13"),
                "{tonic}"
            );
            assert!(
                !kept("", "7") && !kept("maj7", "7") && !kept("m7", "7"),
                "{tonic}"
            );
        }
    }

    /// Dominants on the fifth, a half step above and on the b7, the fifth's triad and suspension, and what
    /// stands on the leading tone.
    #[test]
    fn what_leads_home_is_a_dominant_of_it() {
        let home = Chord::read("Cmaj7").unwrap();
        let leads = |symbol: &&str| leads_home(&Chord::read(symbol).unwrap(), &home);
        let does = [
            "G7", "Db7", "Bb7", "G7sus", "Gsus", "G", "Bdim7", "Ddim7", "Fdim7", "Abdim7", "Bm7b5",
            "F/G", "Dm7/G",
        ];
        let does_not = [
            "D7", "F7", "A7", "Fsus", "F#sus", "Dsus", "F", "D", "Gmaj7", "Gm7", "Dm7b5", "Cdim7",
            "C#dim7", "Dm7",
        ];
        assert!(does.iter().all(leads));
        assert_eq!(does_not.iter().filter(|symbol| leads(symbol)).count(), 0);
    }
}
