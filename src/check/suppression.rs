//! Which findings the suppressions of a chart hold for. How they are written is said in [`super::waivers`].

use std::ops::RangeInclusive;

use super::unknown_rule::UnknownRule;
use crate::chart::{Slot, Span};

/// What a suppression holds for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Scope {
    /// Everything.
    Chart,
    /// These written bars.
    Bars(RangeInclusive<usize>),
    /// A chord of a bar, both from 1.
    Chord(usize, usize),
}

/// A suppression that can be used: one rule of a comment.
#[derive(Debug, Clone)]
pub(super) struct Suppression {
    /// The name of the rule it suppresses.
    pub rule: &'static str,
    /// Whether that is a rule about motion.
    pub moves: bool,
    /// Why.
    pub reason: String,
    /// The comment in the source.
    pub span: Span,
    /// What it holds for.
    pub scope: Scope,
}

/// Why a comment that starts like a suppression suppresses nothing, or less than it says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Mistake {
    /// It names no rule.
    NoRule,
    /// It names a rule there is none of.
    Unknown(UnknownRule),
    /// It gives no reason.
    NoReason,
    /// Its `in` names no bar of the chart.
    NoSuchBar(String),
}

/// The suppressions of a chart.
#[derive(Debug, Clone, Default)]
pub(super) struct Suppressions {
    /// Those that can be used, in their order.
    pub good: Vec<Suppression>,
    /// What is wrong with the others, with their comments in the source.
    pub bad: Vec<(Mistake, Span)>,
}

impl Suppressions {
    /// Whether the voicing in this slot is to stay although it moves the hand: a rule about motion is
    /// suppressed for just these bars, or this chord.
    pub fn pins(&self, slot: &Slot) -> bool {
        let mut good = self.good.iter();
        good.any(|suppression| {
            suppression.moves
                && suppression.scope != Scope::Chart
                && suppression.holds_for(Some(slot))
        })
    }

    /// Every suppression of a rule that holds for a slot, or for the whole chart, by its place among the
    /// good ones.
    pub fn of<'a>(
        &'a self,
        rule: &'a str,
        slot: Option<&'a Slot>,
    ) -> impl Iterator<Item = usize> + 'a {
        let all = self.good.iter().enumerate();
        all.filter(move |(_, suppression)| suppression.rule == rule && suppression.holds_for(slot))
            .map(|(at, _)| at)
    }
}

impl Suppression {
    fn holds_for(&self, slot: Option<&Slot>) -> bool {
        match &self.scope {
            Scope::Chart => true,
            Scope::Bars(bars) => slot.is_some_and(|slot| bars.contains(&slot.bar)),
            Scope::Chord(bar, chord) => {
                slot.is_some_and(|slot| slot.bar == *bar && slot.place.chord + 1 == *chord)
            }
        }
    }
}
