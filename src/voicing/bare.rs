//! A bare triad as players read it: the seventh or sixth it is given.
//!
//! A slash bass that is itself a seventh or a sixth says which: Am/G# is Am(maj7), Am/G is Am7 and
//! Am/F# is Am6, the sound of F#m7b5; C/B is Cmaj7, C/Bb is C7, C/A is C6 (common practice, no
//! source). Over any other bass a major triad is a six-nine, a minor one a minor ninth or, at rest, a
//! minor six-nine, as long as what is added keeps a half step clear of that bass. A major triad that
//! is the dominant of a minor chord (E before Am) is its seventh chord: the 6 and the 9 of a six-nine
//! would be foreign to where it goes.

use crate::chord::{Chord, Family};
use crate::hand::rubs_bass;
use crate::harmony::Place;
use crate::pitch::Degree;

use super::available::is_dark;

/// What stands in the seventh's place of a bare triad; `None` where the triad stays one.
pub(super) fn seventh(chord: &Chord, place: Place) -> Option<Degree> {
    let usual: &[Degree] = match chord.family() {
        Family::Major if is_dark(place.scale) => &[Degree::FLAT_SEVENTH],
        Family::Major => &[Degree::SIXTH],
        Family::Minor if place.tonic => &[Degree::SIXTH, Degree::FLAT_SEVENTH],
        Family::Minor => &[Degree::FLAT_SEVENTH, Degree::SIXTH],
        _ => return None,
    };
    in_the_bass(chord).or_else(|| {
        let mut usual = usual.iter().copied();
        usual.find(|degree| !rubs_bass(chord, *degree))
    })
}

/// The seventh or sixth that the slash bass is.
fn in_the_bass(chord: &Chord) -> Option<Degree> {
    let above_root = chord.root().class().up_to(chord.bass()?.class()).0;
    let mut all = [Degree::SEVENTH, Degree::FLAT_SEVENTH, Degree::SIXTH].into_iter();
    all.find(|degree| i32::from(degree.class()) == above_root)
}
