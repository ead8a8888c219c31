//! What each part of the strain counts, and what it is there for.
//!
//! A pianist marked 503 proposals over 15 tunes good, tolerable or wrong, without seeing any figure. Each
//! number is there for a reading of those marks, given beside it; change one only with marks that say so.

use crate::chart::Beats;

/// Points for the time in which another chord sounds, in bars: up to so long, so many. A half bar is a
/// passing colour; from two bars on the listener has lost the page and hears a new one.
pub const LENGTHS: [((i64, i64), u32); 3] = [((1, 2), 0), ((1, 1), 2), ((2, 1), 4)];

/// Points for what lasts longer than all of [`LENGTHS`].
pub const LONGER: u32 = 6;

/// The most points for tones that are lost, of which one held through a bar is one point. A chord that
/// keeps its neighbours' tones is heard as a colour of what was there.
pub const MOST_TONES: u32 = 3;

/// Points where the last new chord goes on by a motion that leads nowhere: a chord that only stands
/// there is dull, and mostly marked tolerable.
pub const ASTRAY: u32 = 2;

/// Points where it goes on by a tritone, which is heard as a mistake.
pub const TRITONE: u32 = 4;

/// The most points for notes outside the key, one each. One is a colour, two are another key; more than
/// two were not marked worse.
pub const MOST_OUTSIDE: u32 = 2;

/// Points where the melody stays on a b9 for [`LONG`] or more: a colour one has to be sure of.
pub const FLAT_NINTH: u32 = 2;

/// Points where a note of [`WEIGHTY`] or more falls by two classes or more, from a chord tone to a #9.
pub const FALL: u32 = 1;

/// By how many classes such a note falls at the least.
pub const DEEP: u32 = 2;

/// How long a b9 lasts that is more than a passing note.
pub const LONG: Beats = Beats::whole(2);

/// How long a note lasts that has a degree of its own to the listener.
pub const WEIGHTY: Beats = Beats::whole(1);

/// What a point of strain weighs in a list, in semitones of the hand's motion. The price alone ranks no
/// better than chance (area under the curve 0.40), the strain alone 0.90.
pub const RANK_STRAIN: i64 = 2;

/// The most that a price counts in a list, either way. It ranks no better than chance, so it parts what strain
/// and links leave together, and outweighs no more than a band of strain.
pub const RANK_PRICE: i64 = 3 * RANK_STRAIN;

/// What a link that leads on weighs in a list: a proposal that leads somewhere was marked better than a
/// gentler one that does not.
pub const RANK_LEADS_ON: i64 = 4;

/// What a dull swap, a chord of the key for another, is set back in a list: as much as a band of strain, three
/// points. Mostly marked tolerable: harmless, and dull.
pub const PLAIN_SWAP: i64 = 3 * RANK_STRAIN;

/// So many bars are a passage: what texts print for one, a chain of ii-V's or a row of dominants, is another
/// idea than the same technique at one place.
pub const PASSAGE: usize = 3;

/// How many that replace the same chords come before other places have had as many.
pub const AT_A_PLACE: usize = 2;
