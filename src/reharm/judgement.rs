//! What is judged of a proposal in its page, all in one.

use super::idle::{is_bass_only, is_idle};
use super::in_place::InPlace;
use super::leads_on::leads_on;
use super::strain::Strain;

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
}

impl Judgement {
    /// That of a proposal in its page.
    pub fn of(proposal: &InPlace<'_>) -> Self {
        Self {
            strain: Strain::of(proposal),
            leads_on: leads_on(proposal),
            idle: is_idle(proposal),
            bass_only: is_bass_only(proposal),
        }
    }
}
