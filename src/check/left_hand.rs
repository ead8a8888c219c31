//! A left hand as it moves: which slot follows which how often, and what another voicing in one of
//! them would cost the whole performance.
//!
//! With everything else held, a voicing is felt only in the steps into and out of its slot. So the
//! difference it makes is exact without planning anything, however long the chart.

use crate::arrange::{Problem, charged, row, step_rule};
use crate::chart::{Performance, Transition};
use crate::optimise::{Cost, Row, StepRule, step};
use crate::voicing::{TotalSurcharges, Voicing};

/// A step of the performance, as one of its ends sees it.
#[derive(Debug, Clone, Copy)]
struct StepEnd {
    /// The slot at the other end.
    other: usize,
    /// How often it is taken, in either direction.
    times: u64,
    /// What is wished for it; the stricter where both directions are taken.
    rule: StepRule,
}

/// Two slots that sound next to each other, in either order.
#[derive(Debug, Clone, Copy)]
pub(super) struct SoundingPair {
    pub from: usize,
    pub to: usize,
    /// How often the hand goes from one to the other.
    pub times: u64,
    /// What is wished for that step.
    pub rule: StepRule,
}

/// A left hand as it moves.
#[derive(Debug, Clone)]
pub(super) struct LeftHand {
    /// What sounds in each slot.
    voicings: Vec<Option<Voicing>>,
    rows: Vec<Option<Row>>,
    edges: Vec<Vec<StepEnd>>,
    /// The performance of the slots that sound.
    performance: Performance,
    centre: i32,
}

impl LeftHand {
    /// The left hand that plays these voicings.
    pub fn of(problem: &Problem<'_>, voicings: Vec<Option<Voicing>>) -> Self {
        let rows: Vec<Option<Row>> = voicings.iter().map(|v| v.as_ref().and_then(row)).collect();
        let sounds = |at: usize| rows.get(at).is_some_and(Option::is_some);
        let performance = problem.performance.sounding(sounds);
        let range = problem.settings.voicing.hand.range;
        let mut hand = Self {
            edges: vec![Vec::new(); rows.len()],
            centre: range.doubled_middle(),
            voicings,
            rows,
            performance,
        };
        for Transition { from, to, times } in hand.performance.transitions().to_vec() {
            let slot = problem.slots.get(to);
            let rule = slot.map(|slot| step_rule(slot, problem.settings));
            hand.link(from, to, times, rule.unwrap_or(StepRule::FREE));
        }
        hand
    }

    fn link(&mut self, from: usize, to: usize, times: u64, rule: StepRule) {
        if from == to {
            return;
        }
        for (end, other) in [(from, to), (to, from)] {
            let Some(edges) = self.edges.get_mut(end) else {
                continue;
            };
            match edges.iter_mut().find(|edge| edge.other == other) {
                Some(edge) => {
                    edge.times += times;
                    edge.rule = edge.rule.and(rule);
                }
                None => edges.push(StepEnd { other, times, rule }),
            }
        }
    }

    /// What sounds in a slot.
    pub fn voicing(&self, slot: usize) -> Option<&Voicing> {
        self.voicings.get(slot)?.as_ref()
    }

    /// Every step between two sounding slots, in the order it is first taken.
    pub fn steps(&self) -> impl Iterator<Item = (usize, usize)> + '_ {
        let steps = self.performance.transitions().iter();
        steps.map(|step| (step.from, step.to))
    }

    /// The slots that sound next to this one.
    pub fn neighbours(&self, slot: usize) -> impl Iterator<Item = usize> + '_ {
        let edges = self.edges.get(slot).into_iter().flatten();
        edges.map(|edge| edge.other)
    }

    /// Every pair of slots that sound next to each other, once.
    pub fn links(&self) -> impl Iterator<Item = SoundingPair> + '_ {
        let all = self.edges.iter().enumerate();
        let each = all.flat_map(|(from, edges)| edges.iter().map(move |edge| (from, edge)));
        each.filter(|(from, edge)| *from < edge.other)
            .map(|(from, edge)| SoundingPair {
                from,
                to: edge.other,
                times: edge.times,
                rule: edge.rule,
            })
    }

    /// How often a slot sounds.
    pub fn visits(&self, slot: usize) -> u64 {
        self.performance.times(slot)
    }

    /// The lowest and the highest key of the range, added up.
    pub fn centre(&self) -> i32 {
        self.centre
    }

    /// Puts another voicing into a slot that sounds.
    pub fn set(&mut self, slot: usize, voicing: &Voicing) {
        if let (Some(old), Some(rows)) = (self.voicings.get_mut(slot), self.rows.get_mut(slot)) {
            *rows = row(voicing);
            *old = Some(voicing.clone());
        }
    }

    /// What the whole performance costs.
    pub fn cost(&self) -> Cost {
        let each = (0..self.rows.len()).filter_map(|slot| {
            let (row, voicing) = (self.rows.get(slot)?.as_ref()?, self.voicing(slot)?);
            let after = |edge: &&StepEnd| edge.other > slot;
            let edges = self.edges.get(slot)?.iter().filter(after);
            let steps = edges.filter_map(|edge| self.edge_cost(row, edge));
            Some(steps.fold(self.own_cost(slot, row, voicing), |sum, cost| sum + cost))
        });
        each.fold(Cost::default(), |sum, cost| sum + cost)
    }

    /// What the voicings are charged besides motion, each as often as it is struck.
    pub fn surcharges(&self) -> TotalSurcharges {
        charged(&self.voicings, &self.performance)
    }

    /// What the steps around a slot and the voicing itself cost with this voicing in it.
    pub fn cost_around(&self, slot: usize, voicing: &Voicing) -> Cost {
        let Some(row) = row(voicing) else {
            return Cost::default();
        };
        let edges = self.edges.get(slot).into_iter().flatten();
        let steps = edges.filter_map(|edge| self.edge_cost(&row, edge));
        steps.fold(self.own_cost(slot, &row, voicing), |sum, cost| sum + cost)
    }

    /// [`Self::cost_around`] a slot as it is.
    pub fn cost_here(&self, slot: usize) -> Cost {
        let voicing = self.voicing(slot);
        voicing.map_or_else(Cost::default, |voicing| self.cost_around(slot, voicing))
    }

    fn own_cost(&self, slot: usize, row: &Row, voicing: &Voicing) -> Cost {
        Cost {
            effort: u64::from(voicing.surcharges.sum()) * self.visits(slot),
            off_centre: row.off_centre(self.centre) * self.visits(slot),
            ..Cost::default()
        }
    }

    fn edge_cost(&self, row: &Row, edge: &StepEnd) -> Option<Cost> {
        let other = self.rows.get(edge.other)?.as_ref()?;
        Some(step_cost(row, other, edge))
    }

    /// What a voicing in a slot costs by itself and in the steps to all sounding neighbours but these.
    pub fn cost_beside(&self, slot: usize, voicing: &Voicing, but: &[usize]) -> Cost {
        let Some(row) = row(voicing) else {
            return Cost::default();
        };
        let edges = self.edges.get(slot).into_iter().flatten();
        let edges = edges.filter(|edge| !but.contains(&edge.other));
        let steps = edges.filter_map(|edge| self.edge_cost(&row, edge));
        steps.fold(self.own_cost(slot, &row, voicing), |sum, cost| sum + cost)
    }

    /// What the steps between two slots would cost with these voicings in them.
    pub fn step_cost(&self, (from, a): (usize, &Voicing), (to, b): (usize, &Voicing)) -> Cost {
        let edge = self.edges.get(from).into_iter().flatten();
        let edge = edge.into_iter().find(|edge| edge.other == to);
        let cost = edge.and_then(|edge| Some(step_cost(&row(a)?, &row(b)?, edge)));
        cost.unwrap_or_default()
    }

    /// What these voicings in these slots cost, with every step into, between and out of them.
    pub fn stretch(&self, slots: &[usize], voicings: &[&Voicing]) -> SlotsCost {
        let rows: Vec<Option<Row>> = voicings.iter().map(|voicing| row(voicing)).collect();
        let mut sum = SlotsCost::default();
        for ((slot, voicing), row) in slots.iter().zip(voicings).zip(&rows) {
            let own = row.as_ref().map(|row| self.own_cost(*slot, row, voicing));
            sum.cost = sum.cost + own.unwrap_or_default();
        }
        for (_, here, there, edge) in self.steps_of(slots, &rows) {
            let cost = step_cost(here, there, edge);
            sum.motion += cost.effort;
            sum.cost = sum.cost + cost;
        }
        sum
    }

    /// Whether these voicings in these slots would break a wish for a step that is kept now.
    pub fn stretch_breaks(&self, slots: &[usize], voicings: &[&Voicing]) -> bool {
        let rows: Vec<Option<Row>> = voicings.iter().map(|voicing| row(voicing)).collect();
        let mut steps = self.steps_of(slots, &rows);
        steps.any(|(slot, here, there, edge)| self.is_kept(slot, edge) && !keeps(here, there, edge))
    }

    /// Every step into, between and out of these slots once, with these rows in them.
    fn steps_of<'b>(
        &'b self,
        slots: &'b [usize],
        rows: &'b [Option<Row>],
    ) -> impl Iterator<Item = (usize, &'b Row, &'b Row, &'b StepEnd)> {
        let each = slots.iter().zip(rows);
        each.flat_map(move |(slot, here)| {
            let edges = self.edges.get(*slot).into_iter().flatten();
            edges.filter_map(move |edge| {
                let inside = slots.iter().position(|other| *other == edge.other);
                let there = match inside {
                    Some(_) if edge.other < *slot => return None,
                    Some(at) => rows.get(at)?,
                    None => self.rows.get(edge.other)?,
                };
                Some((*slot, here.as_ref()?, there.as_ref()?, edge))
            })
        })
    }

    /// Whether the step between two slots is as wished.
    pub fn keeps_step(&self, from: usize, to: usize) -> bool {
        let edges = self.edges.get(from).into_iter().flatten();
        let mut edges = edges.filter(|edge| edge.other == to);
        edges.all(|edge| self.is_kept(from, edge))
    }

    /// Whether this row in a slot would break a wish for a step that is kept now. The step between the
    /// slot and `mended` must be kept even where it is broken now.
    pub fn breaks_but(&self, slot: usize, row: &Row, mended: Option<usize>) -> bool {
        let edges = self.edges.get(slot).into_iter().flatten();
        edges.into_iter().any(|edge| {
            let must = mended == Some(edge.other) || self.is_kept(slot, edge);
            must && !self.keeps(row, edge)
        })
    }

    /// Whether it would break such a wish anywhere but in the step between the slot and `other`.
    pub fn breaks_except(&self, slot: usize, row: &Row, other: usize) -> bool {
        let mut edges = self.edges.get(slot).into_iter().flatten();
        edges.any(|edge| edge.other != other && self.is_kept(slot, edge) && !self.keeps(row, edge))
    }

    fn is_kept(&self, slot: usize, edge: &StepEnd) -> bool {
        let now = self.rows.get(slot).and_then(Option::as_ref);
        now.is_none_or(|now| self.keeps(now, edge))
    }

    fn keeps(&self, row: &Row, edge: &StepEnd) -> bool {
        let Some(other) = self.rows.get(edge.other).and_then(Option::as_ref) else {
            return true;
        };
        keeps(row, other, edge)
    }
}

/// What some slots in a row cost.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct SlotsCost {
    /// All of it.
    pub cost: Cost,
    /// The motion alone, in semitones.
    pub motion: u64,
}

fn step_cost(one: &Row, other: &Row, edge: &StepEnd) -> Cost {
    let step = step(one.entries(), other.entries());
    Cost {
        effort: u64::from(step.motion) * edge.times,
        largest: u64::from(step.largest) * edge.times,
        off_centre: 0,
    }
}

fn keeps(row: &Row, other: &Row, edge: &StepEnd) -> bool {
    edge.rule.is_free() || {
        let taken = step(row.entries(), other.entries());
        edge.rule.allows(row.entries(), other.entries(), taken)
    }
}
