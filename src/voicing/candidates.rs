//! The legal voicings of a slot, or why it has none.

use super::VoicingSettings;
use super::ask::Ask;
use super::candidate_search::{CandidateSearch, Candidates, first_shape};
use super::no_voicing::NoVoicing;
use super::tiers::tiers;

/// Every legal voicing of the slot in the first shape of the palette that has one; where the melody
/// leaves none of them room, in two notes.
///
/// Where two layouts have the same keys the earlier layout names the degrees. The work is the same
/// for the same chord, place, melody and settings, so callers may keep results.
///
/// # Errors
///
/// [`NoVoicing`] when no shape has one: what threw the candidates out, and what would help.
pub fn candidates(ask: &Ask<'_>, settings: &VoicingSettings) -> Result<Candidates, NoVoicing> {
    first_shape(ask, settings).ok_or_else(|| NoVoicing::explain(ask, settings))
}

/// The same without the way out of two notes: of the palette or nothing.
///
/// # Errors
///
/// [`NoVoicing`], as [`candidates`] gives it.
pub fn of_palette(ask: &Ask<'_>, settings: &VoicingSettings) -> Result<Candidates, NoVoicing> {
    let found = CandidateSearch::new(ask, settings).of_tiers(&tiers(ask, settings.colour));
    found.ok_or_else(|| NoVoicing::explain(ask, settings))
}
