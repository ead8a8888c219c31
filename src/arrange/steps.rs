//! What is wished for the steps from voicing to voicing.

use super::settings::Settings;
use super::warning::Warning;
use crate::chart::{Performance, Slot, TopWish, Wish, Wishes};
use crate::optimise::{Row, StepRule, step};

/// The rules for the steps between layers.
#[derive(Debug, Default)]
pub(crate) struct Rules {
    /// For each layer, the rule for the steps that arrive there.
    into: Vec<StepRule>,
    /// For each layer, whether its voicing is held.
    held: Vec<bool>,
}

impl Rules {
    /// Those of layers that have each a rule for the steps that arrive there, and whether its voicing is
    /// held.
    pub fn of(layers: impl Iterator<Item = (StepRule, bool)>) -> Self {
        let (into, held) = layers.unzip();
        Self { into, held }
    }

    /// Whether every step is free.
    pub fn is_free(&self) -> bool {
        self.into.iter().all(StepRule::is_free)
    }

    /// The rule for a step. Between two voicings that are held there is none.
    pub fn rule(&self, from: usize, to: usize) -> StepRule {
        let is_held = |layer: usize| self.held.get(layer) == Some(&true);
        if is_held(from) && is_held(to) {
            return StepRule::FREE;
        }
        self.into.get(to).copied().unwrap_or(StepRule::FREE)
    }
}

/// The steps of a performance between two given voicings that are not as wished for the whole tune.
pub(super) fn warnings(
    performance: &Performance,
    row: impl Fn(usize) -> Option<Row>,
    slots: &[&Slot],
    settings: &Settings,
) -> Vec<Warning> {
    let is_given = |slot: &Slot| matches!(slot.wish, Wish::Given(_));
    let broken = performance.transitions().iter().filter_map(|step_taken| {
        let (from, to) = (step_taken.from, step_taken.to);
        let (before, slot) = (slots.get(from)?, slots.get(to)?);
        if !is_given(before) || !is_given(slot) {
            return None;
        }
        let (a, b) = (row(from)?, row(to)?);
        let measured = step(a.entries(), b.entries());
        let kept = into(slot, settings).allows(a.entries(), b.entries(), measured);
        (!kept).then(|| Warning::GivenStep {
            from: named(before),
            to: named(slot),
            wished: wished(settings),
        })
    });
    broken.collect()
}

fn named(slot: &Slot) -> (usize, String) {
    (slot.bar, slot.symbol.text().to_owned())
}

/// What is wished for every step, as it is typed.
fn wished(settings: &Settings) -> String {
    let wishes = Wishes {
        top: settings.top,
        leap: settings.leap,
        ..Wishes::default()
    };
    wishes.to_string()
}

/// The rule for the steps into a slot: its own wishes come before those for the whole tune.
pub(crate) fn into(slot: &Slot, settings: &Settings) -> StepRule {
    let (mut top, mut leap) = (settings.top, settings.leap);
    if let Wish::Plan(wishes) = &slot.wish {
        top = wishes.top.or(top);
        leap = wishes.leap.or(leap);
    }
    rule(top, leap)
}

/// The rule for the steps into a slot that wishes for nothing itself.
pub(super) fn everywhere(settings: &Settings) -> StepRule {
    rule(settings.top, settings.leap)
}

fn rule(top: Option<TopWish>, leap: Option<u8>) -> StepRule {
    StepRule {
        max_entry_step: leap.map(u16::from),
        max_top_step: top.and_then(|top| top.semitones()).map(u16::from),
    }
}
