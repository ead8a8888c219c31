//! A chart made ready for the rules: laid out, its voicings judged, its motion measured.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;
use std::sync::Arc;

use super::left_hand::LeftHand;
use super::suppression::Suppressions;
use super::{FindingPlace, RuleSettings};
use crate::arrange::{
    Answer, Broken, Cache, Hold, Problem, Reason, Totals, Trouble, given, legal, plan_holding,
};
use crate::chart::{Chart, Performance, Wish};
use crate::chord::Chord;
use crate::hand::{SoundingNote, Violation};
use crate::voicing::{Voicing, classes_in_shapes};

/// What the rules look at.
pub(super) struct Context<'a> {
    pub chart: &'a Chart,
    /// The text the chart was read from; `None` where it was not read from text.
    pub source: Option<&'a str>,
    pub settings: &'a RuleSettings,
    pub voiced: ChartAsGiven<'a>,
    /// For each slot, what is wrong with the voicing the chart gives in it.
    pub judged: Vec<Vec<Violation>>,
    /// What sounds: what is given, and what is planned around it.
    pub hand: LeftHand,
    /// What that costs; `None` where nothing is given.
    pub as_given: Option<Totals>,
    /// A step that can't be made as the chart's wishes have it.
    pub broken: Option<Box<Broken>>,
    pub suppressions: Suppressions,
    /// For each symbol that was asked about, what [`classes_in_shapes`] found.
    in_shapes: RefCell<BTreeMap<String, Rc<BTreeSet<u8>>>>,
}

/// A chart made ready, with what it gives in each slot and what could legally stand there.
pub(super) struct ChartAsGiven<'a> {
    pub problem: Problem<'a>,
    /// What the chart gives in each slot.
    pub given: Vec<Option<Voicing>>,
    /// For each slot the voicings a plan may take, as if the chart gave none; or why there is none.
    pub legal: Vec<Result<Arc<Vec<Voicing>>, Reason>>,
}

impl<'a> ChartAsGiven<'a> {
    fn of(problem: Problem<'a>, cache: &mut Cache) -> Self {
        Self {
            given: given(&problem, cache),
            legal: legal(&problem, cache),
            problem,
        }
    }

    /// The legal voicings of a slot; none where there is none.
    pub fn choices(&self, slot: usize) -> &[Voicing] {
        let legal = self.legal.get(slot).and_then(|legal| legal.as_ref().ok());
        legal.map_or(&[], |voicings| voicings.as_slice())
    }

    /// The best plan that holds what it is told to hold, as [`plan_holding`] makes it.
    pub fn plan<'h>(
        &self,
        hold: impl Fn(usize) -> Hold<'h>,
        bound: bool,
    ) -> Result<Answer, Trouble> {
        let legal = |slot: usize| {
            let legal = self.legal.get(slot).and_then(|legal| legal.as_ref().ok());
            legal.map(Arc::clone).unwrap_or_default()
        };
        plan_holding(&self.problem, legal, hold, bound)
    }
}

/// A chart made ready; `played` is its order of slots where that is known, otherwise its repeats and
/// jumps say.
fn prepared<'a>(
    chart: &Chart,
    played: Option<&[usize]>,
    settings: &'a RuleSettings,
) -> Result<Problem<'a>, Trouble> {
    let settings = &settings.arrange;
    let Some(played) = played else {
        return Problem::of(chart, settings);
    };
    let slots = chart.slots();
    let performance = Performance::new(slots.len(), played.to_vec(), settings.looped);
    Ok(Problem::performed(chart, slots, performance, settings))
}

impl<'a> Context<'a> {
    pub fn of(
        chart: &'a Chart,
        source: Option<&'a str>,
        played: Option<&[usize]>,
        suppressions: Suppressions,
        settings: &'a RuleSettings,
        cache: &mut Cache,
    ) -> Result<Self, Trouble> {
        let voiced = ChartAsGiven::of(prepared(chart, played, settings)?, cache);
        let gives = voiced.given.iter().any(Option::is_some);
        let (voicings, as_given, broken) = as_given(&voiced, gives)?;
        let hand = LeftHand::of(&voiced.problem, voicings);
        let as_given = as_given.or_else(|| gives.then(|| measured(&hand)));
        Ok(Self {
            judged: judged(&voiced),
            suppressions,
            chart,
            source,
            settings,
            voiced,
            hand,
            as_given,
            broken,
            in_shapes: RefCell::default(),
        })
    }

    /// The place of the voicing in a slot.
    pub fn hand_place(&self, slot: usize) -> FindingPlace {
        self.place(slot, false)
    }

    /// The place of the symbol of a slot.
    pub fn symbol_place(&self, slot: usize) -> FindingPlace {
        self.place(slot, true)
    }

    fn place(&self, slot: usize, symbol: bool) -> FindingPlace {
        let slot = self.voiced.problem.slots.get(slot);
        slot.map_or_else(FindingPlace::default, |slot| {
            FindingPlace::of(slot, symbol, self.source.is_some())
        })
    }

    /// The suppressions of a rule that hold for a slot, or for the whole chart, by their places.
    pub fn suppressions_of<'b>(
        &'b self,
        rule: &'b str,
        slot: Option<usize>,
    ) -> impl Iterator<Item = usize> + 'b {
        let slot = slot.and_then(|slot| self.voiced.problem.slots.get(slot));
        self.suppressions.of(rule, slot)
    }

    /// Whether the voicing in a slot is to stay although it moves the hand.
    pub fn pins(&self, slot: usize) -> bool {
        let slot = self.voiced.problem.slots.get(slot);
        slot.is_some_and(|slot| self.suppressions.pins(slot))
    }

    /// Whether the chart suppresses what this rule finds in a slot.
    pub fn is_suppressed(&self, rule: &str, slot: Option<usize>) -> bool {
        self.suppressions_of(rule, slot).next().is_some()
    }

    /// The voicing that the chart gives in a slot.
    pub fn voicing(&self, slot: usize) -> Option<&Voicing> {
        self.voiced.given.get(slot)?.as_ref()
    }

    /// What is wrong with it.
    pub fn violations(&self, slot: usize) -> &[Violation] {
        self.judged.get(slot).map_or(&[], Vec::as_slice)
    }

    /// What some shape makes of a chord, in some colour and place, as semitones above its root: found once a
    /// symbol, since a chart has the same ones many times.
    pub fn classes_in_shapes(&self, chord: &Chord) -> Rc<BTreeSet<u8>> {
        let mut known = self.in_shapes.borrow_mut();
        if let Some(classes) = known.get(chord.symbol()) {
            return Rc::clone(classes);
        }
        let classes = Rc::new(classes_in_shapes(chord));
        known.insert(chord.symbol().to_owned(), Rc::clone(&classes));
        classes
    }

    /// The slots in which the chart gives a voicing, with it.
    pub fn given(&self) -> impl Iterator<Item = (usize, &Voicing)> {
        let all = self.voiced.given.iter().enumerate();
        all.filter_map(|(slot, voicing)| Some((slot, voicing.as_ref()?)))
    }
}

/// A plan and what it costs.
pub(super) type PlanAndTotals = (Vec<Option<Voicing>>, Totals);

type AsGiven = (Vec<Option<Voicing>>, Option<Totals>, Option<Box<Broken>>);

/// What sounds, with everything given held. The totals are left out where nothing had to be planned.
fn as_given(voiced: &ChartAsGiven<'_>, gives: bool) -> Result<AsGiven, Trouble> {
    let open = |slot: usize| {
        let wish = voiced.problem.slots.get(slot).map(|slot| &slot.wish);
        matches!(wish, Some(Wish::Plan(_))) && !voiced.choices(slot).is_empty()
    };
    if !gives || !(0..voiced.problem.slots.len()).any(open) {
        return Ok((voiced.given.clone(), None, None));
    }
    let hold = |slot: usize| match voiced.given.get(slot) {
        Some(Some(voicing)) => Hold::At(voicing),
        _ if open(slot) => Hold::Free,
        _ => Hold::Silent,
    };
    let (plan, broken) = match voiced.plan(hold, true) {
        Err(Trouble::Broken(broken)) => (voiced.plan(hold, false)?, Some(broken)),
        plan => (plan?, None),
    };
    Ok((plan.voicings, Some(plan.totals), broken))
}

/// What a performance costs in which nothing was left to plan: that is all it can cost.
fn measured(hand: &LeftHand) -> Totals {
    let cost = hand.cost();
    Totals {
        cost,
        surcharges: hand.surcharges(),
        optimal: true,
        lower_bound: cost,
        as_written: None,
        width: 1,
    }
}

/// So many judgements are remembered: more than a tune has, and few enough to be looked through.
const MOST_JUDGED: usize = 100;

fn judged(voiced: &ChartAsGiven<'_>) -> Vec<Vec<Violation>> {
    let hand = &voiced.problem.settings.voicing.hand;
    // A tune has the same voicing of the same chord many times.
    let mut known: Vec<(_, Vec<Violation>)> = Vec::new();
    let each = voiced.problem.slots.iter().zip(&voiced.given);
    each.map(|(slot, given)| {
        let Some((voicing, chord)) = given.as_ref().zip(slot.symbol.chord()) else {
            return Vec::new();
        };
        let melody = voiced.problem.melody(slot.index);
        // Chords that are written alike are equal.
        let asked = (chord.symbol(), voicing, melody);
        if let Some((_, violations)) = known.iter().find(|(before, _)| *before == asked) {
            return violations.clone();
        }
        let notes: Vec<SoundingNote> = voicing.notes.iter().map(Into::into).collect();
        let violations = hand.judge(chord, &notes, melody.into());
        if known.len() < MOST_JUDGED {
            known.push((asked, violations.clone()));
        }
        violations
    })
    .collect()
}
