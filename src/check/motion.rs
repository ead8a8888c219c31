//! How the hand moves once the voicings that break a rule are replaced.
//!
//! A voicing that can't be played moves the hand as well. Its finding says so once; so the rules about
//! motion look at the hand with every such voicing replaced, and no fault is found twice.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use super::context::{Context, PlanAndTotals};
use super::left_hand::LeftHand;
use super::repair::repair;
use crate::arrange::{Hold, Trouble};
use crate::voicing::Voicing;

/// A hand in which the voicings that break a rule are replaced.
pub(super) struct Motion<'a> {
    pub context: &'a Context<'a>,
    /// What the chart gives, faulty voicings replaced by what would mend them.
    pub given: Vec<Option<Voicing>>,
    /// How it moves, with what is planned around it; in the end with all that is found taken as mended.
    pub hand: Cow<'a, LeftHand>,
    /// What takes the place of faulty voicings: planned together, with all else held.
    pub repair: BTreeMap<usize, Voicing>,
    /// The slots whose voicing is to stay, since it is suppressed or known.
    pub meant: &'a BTreeSet<usize>,
    /// These, and those whose voicing another finding replaces already.
    pub fixed: BTreeSet<usize>,
    /// The best plan with what is meant held, and what it costs; `None` where nothing is given, and
    /// where no plan is as wished.
    pub best: Option<PlanAndTotals>,
}

impl<'a> Motion<'a> {
    /// `faulty` are the slots whose voicing is to be replaced, `meant` those that are to stay.
    pub fn of(
        context: &'a Context<'a>,
        faulty: &BTreeSet<usize>,
        meant: &'a BTreeSet<usize>,
    ) -> Result<Self, Trouble> {
        let (repair, hand) = repair(context, faulty)?;
        let mut given = context.voiced.given.clone();
        for (slot, voicing) in &repair {
            if let Some(given) = given.get_mut(*slot) {
                *given = Some(voicing.clone());
            }
        }
        Ok(Self {
            best: best(context, meant)?,
            fixed: meant.iter().chain(repair.keys()).copied().collect(),
            meant,
            context,
            given,
            hand,
            repair,
        })
    }

    /// Takes voicings as mended.
    pub fn take<'b>(&mut self, voicings: impl Iterator<Item = &'b (usize, Voicing)>) {
        for (slot, voicing) in voicings {
            self.hand.to_mut().set(*slot, voicing);
            self.fixed.insert(*slot);
        }
    }

    /// The voicings that may take the place of a slot's: none where it is to stay.
    pub fn choices(&self, slot: usize) -> &[Voicing] {
        match self.fixed.contains(&slot) {
            true => &[],
            false => self.context.voiced.choices(slot),
        }
    }

    /// The voicings that a slot is priced against: a voicing that is meant has a price as well.
    pub fn alternatives(&self, slot: usize) -> &[Voicing] {
        match self.meant.contains(&slot) {
            true => self.context.voiced.choices(slot),
            false => self.choices(slot),
        }
    }

    /// The slots in which there is a given voicing.
    pub fn given_slots(&self) -> impl Iterator<Item = usize> + '_ {
        let all = self.given.iter().enumerate();
        all.filter(|(_, given)| given.is_some())
            .map(|(slot, _)| slot)
    }
}

/// The best plan with everything freed that has a legal voicing and isn't meant as it is.
fn best(context: &Context<'_>, meant: &BTreeSet<usize>) -> Result<Option<PlanAndTotals>, Trouble> {
    let voiced = &context.voiced;
    if !voiced.given.iter().any(Option::is_some) {
        return Ok(None);
    }
    let hold = |slot: usize| match voiced.given.get(slot) {
        Some(Some(voicing)) if meant.contains(&slot) || voiced.choices(slot).is_empty() => {
            Hold::At(voicing)
        }
        _ => Hold::Free,
    };
    match voiced.plan(hold, true) {
        Err(Trouble::Broken(_)) => Ok(None),
        plan => plan.map(|plan| Some((plan.voicings, plan.totals))),
    }
}
