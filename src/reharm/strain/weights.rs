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

/// The same where a chord tone that lasts so long becomes the #9 of a dominant.
pub const SHARP_NINTH: u32 = 2;

/// The same where the melody stays so long on a tone foreign to a diminished chord, which rubs the chord's next
/// tone a half step above it: a pianist marked such chords wrong.
pub const FOREIGN_TO_DIMINISHED: u32 = 2;

/// Points for what a tune hasn't got and its player wouldn't play: in a tune with triads a dominant or minor seventh on
/// a root outside the key, as a tritone substitute and its ii are, or a raised fifth; in a tune of triads a major
/// seventh on such a root; in a dance any note outside the key; a written chord that is cut too short. Of those marked
/// by arrangers none was good in a song of triads, nor in a reel or a jig, and none of the cut ones. So such a
/// proposal comes after all others, and is chosen only where its strain is asked for.
pub const OUT_OF_STYLE: u32 = 3;

/// Points in a tune of triads for another bent dominant or a half-diminished seventh: a colour it hasn't got.
pub const BENT_IN_TRIADS: u32 = 1;

/// Points in a tune that has triads and sevenths for a major seventh on a root outside the key.
pub const FAR_IN_MIXED: u32 = 1;

/// The most points for what is foreign to the tune.
pub const MOST_STYLE: u32 = 4;

/// Points for more than two chords a bar where the bar has not so many, under a running tune: a walk in a reel is
/// not heard.
pub const CROWDED: u32 = 2;

/// A chord of which more than so many go into a minute is hurried: it lasts less than 0.44 s. An arranger called a
/// chord that was cut to one beat fussy at 138 and faster, and good at 134 and slower.
pub const HURRIED: i64 = 136;

/// The same of a chord that only holds back the one on its root: one beat was good at 76 and pointless at 152.
pub const HELD_BACK: i64 = 100;

/// The same of a chord inside a line on one root, one of several small steps: good at 144, cramped at 184.
pub const HURRIED_LINE: i64 = 150;

/// So many notes a beat is a running tune.
pub const RUNNING: i64 = 2;

/// Points where half of what the melody sings over a dominant that slides is its b9 or b13, which its scale has not got.
pub const BENT_SLIDE: u32 = 4;

/// Points where a note of [`WEIGHTY`] or more falls by two classes or more, from a chord tone to a #9.
pub const FALL: u32 = 1;

/// By how many classes such a note falls at the least.
pub const DEEP: u32 = 2;

/// How long a b9 lasts that is more than a passing note.
pub const LONG: Beats = Beats::whole(2);

/// How long a note lasts that has a degree of its own to the listener.
pub const WEIGHTY: Beats = Beats::whole(1);
