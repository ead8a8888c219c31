//! The reharmonising techniques, one file each.
//!
//! A [`Technique`] says in words what it does, where it is taught and what it asks of the melody, and
//! has one function: it looks at a passage from one spot on, by the chords, the key of the region and
//! the neighbours, and returns its ideas. It judges no melody note and counts no bar line: that is done
//! once, for all of them, by [`proposals`](super::proposals).
//!
//! **A new technique** is one file with a `TECHNIQUE`, and one line in [`TECHNIQUES`]. Its example is
//! run in all twelve keys by a test, and so must hold.
//!
//! A source that was read is named; what is told from memory says so.

mod auxiliary_diminished;
mod backdoor;
mod bass_line;
mod borrowed;
mod constant_structure;
mod deceptive;
mod descending_bass;
mod diatonic;
mod displacement;
mod extended_dominants;
mod half_step_approach;
mod hybrid;
mod idea;
mod line_cliche;
mod minor_plagal;
mod moving_voice;
mod passing_diminished;
mod pedal;
mod related_ii;
mod resting_turnaround;
mod roman_numerals;
mod secondary_dominant;
mod sharp_four_diminished;
mod sus_delay;
#[cfg(test)]
mod tests;
mod thirds_cycle;
mod tritone;
mod turnaround;
mod two_five;
mod two_five_chain;

pub use idea::{Idea, Wanted};

use crate::harmony::Passage;

/// A way to put other chords under the same melody.
#[derive(Debug)]
pub struct Technique {
    /// What players call it, in the form used on the command line.
    pub name: &'static str,
    /// The rule, in one sentence.
    pub rule: &'static str,
    /// Where it is taught.
    pub taught: &'static str,
    /// What it asks of the melody, beyond the test every replacement must pass.
    pub melody: &'static str,
    /// It at work.
    pub example: Example,
    /// Its ideas for the passage that begin at a spot.
    pub find: fn(&Passage<'_>, usize) -> Vec<Idea>,
}

/// A passage before and after, in the chart language.
#[derive(Debug)]
pub struct Example {
    /// The key of the region.
    pub key: &'static str,
    /// The chords as written, with a melody where the technique needs one.
    pub before: &'static str,
    /// The chords afterwards.
    pub after: &'static str,
}

/// Every technique, in the order its proposals are listed.
pub const TECHNIQUES: [&Technique; 25] = [
    &tritone::TECHNIQUE,
    &related_ii::TECHNIQUE,
    &secondary_dominant::TECHNIQUE,
    &extended_dominants::TECHNIQUE,
    &half_step_approach::TECHNIQUE,
    &backdoor::TECHNIQUE,
    &passing_diminished::TECHNIQUE,
    &sharp_four_diminished::TECHNIQUE,
    &auxiliary_diminished::TECHNIQUE,
    &minor_plagal::TECHNIQUE,
    &borrowed::TECHNIQUE,
    &thirds_cycle::TECHNIQUE,
    &sus_delay::TECHNIQUE,
    &hybrid::TECHNIQUE,
    &diatonic::TECHNIQUE,
    &deceptive::TECHNIQUE,
    &displacement::TECHNIQUE,
    &constant_structure::TECHNIQUE,
    &line_cliche::TECHNIQUE,
    &bass_line::TECHNIQUE,
    &turnaround::TECHNIQUE,
    &resting_turnaround::TECHNIQUE,
    &two_five_chain::TECHNIQUE,
    &descending_bass::TECHNIQUE,
    &pedal::TECHNIQUE,
];

/// The technique of this name.
///
/// ```
/// use compline::reharm::techniques::named;
/// assert_eq!(named("tritone").unwrap().example.after, "| Dm7 | Db7 | Cmaj7 |");
/// ```
pub fn named(name: &str) -> Option<&'static Technique> {
    TECHNIQUES.into_iter().find(|way| way.name == name)
}
