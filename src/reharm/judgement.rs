//! What is judged of a proposal in its page, all in one.

use super::dull::is_dull;
use super::idle::{is_bass_only, is_idle};
use super::in_place::InPlace;
use super::leads_on::leads_on;
use super::poorer::is_poorer;
use super::strain::{Strain, weights};

/// What a musician would say of a proposal before hearing it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Judgement {
    /// How far it bends the tune.
    pub strain: Strain,
    /// How many more links than written lead on, -2 to 3.
    pub leads_on: i32,
    /// Whether it brings nothing new.
    pub idle: bool,
    /// Whether only the bass moves, which a hand without roots doesn't play.
    pub bass_only: bool,
    /// Whether it only puts one chord of the key for another, and nothing more leads on.
    pub dull: bool,
    /// Whether one of its chords has fewer tones than the one in whose time it stands.
    pub poorer: bool,
}

impl Judgement {
    /// That of a proposal in its page.
    pub fn of(proposal: &InPlace<'_>) -> Self {
        let leads_on = leads_on(proposal);
        Self {
            strain: Strain::of(proposal),
            leads_on,
            idle: is_idle(proposal),
            bass_only: is_bass_only(proposal),
            dull: is_dull(proposal, leads_on),
            poorer: is_poorer(proposal),
        }
    }

    /// Whether it is not what a player of such a tune would play: it comes after all that is, and is chosen only
    /// where its strain is asked for.
    pub fn is_out_of_style(&self) -> bool {
        self.strain.style >= weights::OUT_OF_STYLE
    }
}
