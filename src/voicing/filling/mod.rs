//! Fillings: which tones stand around third and seventh in a four-note voicing.
//!
//! A rootless voicing has four places. Third and seventh are given by the chord; the *fifth place*
//! holds the 5 or what replaces it (b5 #5 11 #11 b13 13), the *ninth place* the 9, b9 or #9, or the
//! root itself where no ninth fits. Which of them, the [`Colour`] decides with the chord's
//! [`HarmonicContext`]: see [`pairs`]. What the symbol names always wins: colour only fills what the symbol
//! leaves open, and a tone it adds keeps clear of a slash bass.
//!
//! What the melody does to the fillings is in [`melody`], what may stand in their place in [`plain`]. None of
//! these files knows an order of notes or a keyboard: see [`super::shapes`].

mod frame;
mod melody;
mod pairs;
mod plain;

use crate::chord::Chord;
use crate::hand::{fourth_for_third, sixth_for_seventh};
use crate::harmony::HarmonicContext;
use crate::pitch::Pitch;

use super::Colour;
pub use frame::Filling;
use frame::Frame;
pub(super) use plain::TENSION;
use plain::without_thirteenth;

/// The usual fillings in this colour, in a fixed order; none where the chord lacks a third or a
/// seventh and the colour does not supply it.
///
/// The melody wins over the colour: a filling whose added tones lie a half step from a melody note is
/// dropped where another agrees with the melody, and a dominant then takes the melody's alteration.
///
/// ```
/// use compline::chord::Chord;
/// use compline::harmony::HarmonicContext;
/// use compline::voicing::{Colour, fillings};
///
/// let shown = |symbol, colour| -> Vec<String> {
///     let chord = Chord::read(symbol).unwrap();
///     let all = fillings(&chord, HarmonicContext::default(), colour, &[]);
///     all.iter().map(|f| f.degrees().map(|d| d.to_string()).join(" ")).collect()
/// };
/// assert_eq!(shown("Cmaj7", Colour::Natural), ["3 5 7 9"]);
/// assert_eq!(shown("Cmaj7", Colour::Written), ["3 5 7 1"]);
/// assert_eq!(shown("C", Colour::Natural), ["3 5 6 9"]);
/// ```
pub fn fillings(
    chord: &Chord,
    context: HarmonicContext,
    colour: Colour,
    melody: &[Pitch],
) -> Vec<Filling> {
    Fillings::of(chord, context, colour, melody, StandIn::None).usual
}

/// What the melody may put in the place of a tone of the chord.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum StandIn {
    /// Nothing.
    None,
    /// The 6 in the seventh's place.
    Sixth,
    /// The 4 in the third's place.
    Fourth,
}

/// The usual fillings, and the plainer ones each with the half tensions it leaves out.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Fillings {
    /// The usual ones for the place.
    pub usual: Vec<Filling>,
    /// The plainer ones, the least plain first.
    pub plainer: Vec<(u32, Filling)>,
}

impl Fillings {
    /// The fillings with what may stand in; none where the melody gives no cause for it, and where the
    /// chord has no third or seventh.
    pub fn of(
        chord: &Chord,
        context: HarmonicContext,
        colour: Colour,
        melody: &[Pitch],
        stand_in: StandIn,
    ) -> Self {
        let frame = Frame::of(chord, context, colour, melody);
        let frame = frame.and_then(|frame| match stand_in {
            StandIn::None => Some(frame),
            StandIn::Sixth => Some(frame.with_seventh(sixth_for_seventh(chord, melody)?)),
            StandIn::Fourth => Some(frame.with_third(fourth_for_third(chord, melody)?)),
        });
        let Some(frame) = frame else {
            return Self::default();
        };
        let usual = frame.fillings(context, colour, melody);
        let plainer = frame.plainer(&usual, context, colour, melody);
        let (usual, mut lesser) = match colour {
            Colour::Written => (usual, Vec::new()),
            // Where the 5 stays from the suspension on, it lacks nothing.
            _ if context.after_suspension => (usual, Vec::new()),
            _ => without_thirteenth(usual),
        };
        lesser.extend(plainer);
        Self {
            usual,
            plainer: lesser,
        }
    }
}
