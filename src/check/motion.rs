//! How the hand moves once the voicings that break a rule are replaced: what the rules about motion look
//! at.
//!
//! A voicing that can't be played moves the hand as well. Its finding says so once; so the rules about
//! motion look at the hand with every such voicing replaced, and no fault is found twice.

use std::collections::{BTreeMap, BTreeSet};

use super::context::{Context, PlanAndTotals};
use super::detour::{Detour, detours};
use super::left_hand::LeftHand;
use super::repair::repair;
use super::step_repair::{StepRepair, repaired_steps};
use crate::arrange::{Hold, Trouble};
use crate::chart::TopWish;
use crate::voicing::Voicing;

/// What the rules about motion look at.
pub(super) struct Motion<'a> {
    pub context: &'a Context<'a>,
    /// What the chart gives, faulty voicings replaced by what would mend them.
    pub given: Vec<Option<Voicing>>,
    /// How it moves, with what is planned around it; in the end with all that is found taken as mended.
    pub hand: LeftHand,
    /// The effort of the hand with what is meant taken as mended too: so nobody is asked to move sound
    /// voicings nearer to one that leaps on purpose.
    pub calmed: u64,
    /// What takes the place of faulty voicings: planned together, with all else held.
    pub repair: BTreeMap<usize, Voicing>,
    /// The slots whose voicing is to stay, since it is suppressed or known.
    pub meant: &'a BTreeSet<usize>,
    /// These, and those whose voicing another finding replaces already.
    pub fixed: BTreeSet<usize>,
    /// The voicings whose notes leap further than is wished.
    pub leaps: Vec<StepRepair>,
    /// Those whose top note moves further than is wished.
    pub top_moves: Vec<StepRepair>,
    /// Where the hand goes out of its way, and what it would play instead.
    pub detours: Vec<Detour>,
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
        let mut motion = Self {
            best: best(context, meant)?,
            fixed: meant.iter().chain(repair.keys()).copied().collect(),
            meant,
            context,
            given,
            hand,
            repair,
            calmed: 0,
            leaps: Vec::new(),
            top_moves: Vec::new(),
            detours: Vec::new(),
        };
        motion.calm();
        Ok(motion)
    }

    /// Finds what is wrong with the motion, one thing after the other, each taken as mended for the next.
    fn calm(&mut self) {
        let wished = &self.context.settings.arrange;
        let (leap, top) = (wished.leap, wished.top.and_then(TopWish::semitones));
        self.leaps = repaired_steps(self, leap, |step| step.taken.largest);
        self.take(
            self.leaps
                .iter()
                .flat_map(|leap| leap.voicings.clone())
                .collect(),
        );
        self.top_moves = repaired_steps(self, top, |step| step.top);
        let tops = self.top_moves.iter().flat_map(|top| top.voicings.clone());
        self.take(tops.collect());
        self.detours = detours(self);
        self.give_to_steps();
        let mut calmed = self.hand.clone();
        for (slot, voicing) in self.detours.iter().flat_map(|detour| &detour.voicings) {
            calmed.set(*slot, voicing);
        }
        self.calmed = calmed.cost().effort;
        // A voicing that is meant stays, and is not found again under another name; its neighbours were
        // judged as if it were mended.
        let context = self.context;
        let meant = |slot: usize| self.meant.contains(&slot);
        self.detours
            .retain(|detour| !meant(detour.slot) || context.pins(detour.slot));
        let mended = self.detours.iter().filter(|detour| !meant(detour.slot));
        let mended = mended.flat_map(|detour| detour.voicings.clone());
        self.take(mended.collect());
    }

    /// What a few voicings in a row mend that no one or two can: it is the same fault, so the wide step
    /// is found and the detour is not.
    fn give_to_steps(&mut self) {
        let steps = self.leaps.iter_mut().chain(&mut self.top_moves);
        for repair in steps.filter(|repair| repair.voicings.is_empty()) {
            let pinned = self.context.pins(repair.at);
            let around = |detour: &Detour| (detour.slot..=detour.last).contains(&repair.at);
            let found = self
                .detours
                .iter()
                .position(|detour| around(detour) && !pinned);
            if let Some(at) = found {
                let detour = self.detours.remove(at);
                for (slot, voicing) in &detour.voicings {
                    self.hand.set(*slot, voicing);
                    self.fixed.insert(*slot);
                }
                repair.voicings = detour.voicings;
            }
        }
    }

    /// Takes voicings as mended.
    fn take(&mut self, voicings: Vec<(usize, Voicing)>) {
        for (slot, voicing) in voicings {
            self.hand.set(slot, &voicing);
            self.fixed.insert(slot);
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
