//! A chart laid out for the planner, and what the planner makes of it.

use std::collections::HashMap;
use std::sync::Arc;

use super::making_way::makes_way;
use super::regions::{Keyed, at_first, chords_as_played, regions_as_played};
use super::steps::{self, Broken, Rules};
use super::uncarried::{gathered, uncarried_slots};
use super::wishes::candidates_as_wished;
use super::{Cache, Reason, Settings, Stuck, Totals, Trouble, Uncarried, Warning, motion, warning};
use crate::chart::{Chart, Slot, Wish};
use crate::harmony::{Place, places};
use crate::pitch::Key;
use crate::plan::{Budget, Chain, Cost, Graph, GraphPlan, GraphStep, Layer, Unsolvable};
use crate::voicing::{Ask, Voicing};

/// The slots of a chart with their candidates, and the order they are played in.
pub(crate) struct Question {
    pub slots: Vec<Slot>,
    pub places: Vec<Place>,
    pub candidates: Vec<Arc<Vec<Voicing>>>,
    /// The slots in played order, silent ones included.
    pub played: Vec<usize>,
    pub warnings: Vec<Warning>,
    /// The slots that sound, in written order: the planner's layers.
    sounding: Vec<usize>,
    /// What is wished for the steps between layers.
    rules: Rules,
    looped: bool,
    /// Lowest plus highest key of the range.
    centre: i32,
}

/// What the planner chose.
pub(crate) struct Answer {
    /// The candidate taken in each layer.
    pub choice: Vec<usize>,
    pub totals: Totals,
    pub alternatives: Vec<GraphPlan>,
}

impl Question {
    pub fn of(chart: &Chart, settings: &Settings, cache: &mut Cache) -> Result<Self, Trouble> {
        let Keyed {
            slots,
            played,
            regions,
        } = Keyed::of(chart, settings.looped)?;
        let places = first_places(&slots, &played, &regions, settings.looped);
        let uncarried = match settings.ignore_melody {
            true => Vec::new(),
            false => uncarried_slots(chart, &slots, &regions),
        };
        let candidates = all_choices(&slots, &places, settings, cache)
            .map_err(|stuck| Trouble::Stuck(beside_the_tune(stuck, &uncarried)))?;
        let mut warnings = warning::all(&slots, &places, &candidates, settings);
        let uncarried = gathered(uncarried).into_iter();
        warnings.extend(uncarried.map(Warning::Uncarried));
        let mut question = Self {
            warnings,
            ..Self::laid(slots, places, candidates, played, settings)
        };
        if !question.rules.is_free() {
            let steps = question.given_steps(settings);
            question.warnings.extend(steps);
        }
        Ok(question)
    }

    /// The question about slots whose candidates are known already, without warnings.
    pub fn laid(
        slots: Vec<Slot>,
        places: Vec<Place>,
        candidates: Vec<Arc<Vec<Voicing>>>,
        played: Vec<usize>,
        settings: &Settings,
    ) -> Self {
        let sounds = |at: &usize| candidates.get(*at).is_some_and(|found| !found.is_empty());
        let sounding: Vec<usize> = (0..slots.len()).filter(sounds).collect();
        let range = settings.voicing.hand.range;
        Self {
            warnings: Vec::new(),
            rules: Rules::of(sounding.iter().filter_map(|&at| slots.get(at)), settings),
            sounding,
            looped: settings.looped,
            centre: i32::from(range.low().midi()) + i32::from(range.high().midi()),
            places,
            candidates,
            played,
            slots,
        }
    }

    fn given_steps(&self, settings: &Settings) -> Vec<Warning> {
        let slots: Vec<&Slot> = self
            .sounding
            .iter()
            .filter_map(|&at| self.slots.get(at))
            .collect();
        steps::warnings(&self.walk(), &self.layers(), &slots, settings)
    }

    /// The best plan, and as many of the best as are asked for.
    pub fn solve(&self, alternatives: usize) -> Result<Answer, Trouble> {
        let layers = self.layers();
        let walk = self.walk();
        let plan = if is_straight(&walk, &layers) {
            self.chain(&layers)
                .solve()
                .map(|plan| proved(plan.choice, plan.cost))
        } else {
            self.graph(&layers, &walk).solve(Budget::default())
        };
        let best = match alternatives {
            0 => Ok(Vec::new()),
            count => self.graph(&layers, &walk).best(count, Budget::default()),
        };
        let plan = plan.map_err(|why| self.trouble(why, &layers, &walk))?;
        Ok(Answer {
            totals: Totals {
                cost: plan.cost,
                optimal: plan.optimal,
                lower_bound: plan.lower_bound,
                as_written: None,
                width: plan.width,
            },
            choice: plan.choice,
            alternatives: best.map_err(|why| self.trouble(why, &layers, &walk))?,
        })
    }

    /// For each slot, what the whole performance costs at best with each of its candidates.
    pub fn prices(&self) -> Result<Vec<Vec<Option<Cost>>>, Trouble> {
        let layers = self.layers();
        let walk = self.walk();
        let prices = if is_straight(&walk, &layers) {
            self.chain(&layers).prices()
        } else {
            self.graph(&layers, &walk).prices(Budget::default())
        };
        let prices = prices.map_err(|why| self.trouble(why, &layers, &walk))?;
        let mut all = vec![Vec::new(); self.slots.len()];
        for (&at, prices) in self.sounding.iter().zip(prices) {
            if let Some(of_slot) = all.get_mut(at) {
                *of_slot = prices;
            }
        }
        Ok(all)
    }

    /// The voicing of each slot under a choice of candidates.
    pub fn voicings(&self, choice: &[usize]) -> Vec<Option<Voicing>> {
        let mut voicings = vec![None; self.slots.len()];
        for (&at, &index) in self.sounding.iter().zip(choice) {
            if let Some(voicing) = voicings.get_mut(at) {
                *voicing = self.candidates.get(at).and_then(|c| c.get(index)).cloned();
            }
        }
        voicings
    }

    fn layers(&self) -> Vec<Layer> {
        let sounding = self.sounding.iter();
        // Slots that share their candidates share the layer.
        let mut known: HashMap<*const Vec<Voicing>, Layer> = HashMap::new();
        sounding
            .filter_map(|&at| self.candidates.get(at))
            .map(|voicings| {
                let layer = || voicings.iter().filter_map(motion::row).collect();
                let same = known.entry(Arc::as_ptr(voicings)).or_insert_with(layer);
                same.clone()
            })
            .collect()
    }

    /// The performance as the planner sees it: layers, without the silences between them.
    fn walk(&self) -> Vec<usize> {
        let played = self.played.iter();
        played
            .filter_map(|at| self.sounding.binary_search(at).ok())
            .collect()
    }

    fn chain<'a>(&self, layers: &'a [Layer]) -> Chain<'a> {
        let chain = Chain::new(layers, self.centre).looped(self.looped);
        if self.rules.is_free() {
            return chain;
        }
        (0..layers.len()).fold(chain, |chain, from| {
            let to = (from + 1) % layers.len();
            chain.rule(from, self.rules.rule(from, to))
        })
    }

    fn graph<'a>(&self, layers: &'a [Layer], walk: &[usize]) -> Graph<'a> {
        self.walked(layers, walk, self.looped)
    }

    fn walked<'a>(&self, layers: &'a [Layer], walk: &[usize], looped: bool) -> Graph<'a> {
        let graph = Graph::from_walk(layers, self.centre, walk, looped);
        if self.rules.is_free() {
            return graph;
        }
        let steps = graph.steps().iter().map(|step| GraphStep {
            rule: self.rules.rule(step.from, step.to),
            ..*step
        });
        let steps = steps.collect();
        Graph::new(layers, self.centre, graph.visits().to_vec(), steps)
    }

    /// What the musician is told when the planner finds no plan.
    fn trouble(&self, why: Unsolvable, layers: &[Layer], walk: &[usize]) -> Trouble {
        let broken = is_impossible(why).then(|| self.broken(layers, walk));
        broken.flatten().map_or(Trouble::NoPlan(why), |broken| {
            Trouble::Broken(Box::new(broken))
        })
    }

    /// The first step of the performance that can't be made, and the shortest way up to it on which
    /// it can't.
    fn broken(&self, layers: &[Layer], walk: &[usize]) -> Option<Broken> {
        let fails = |walk: &[usize]| {
            let plan = self.walked(layers, walk, false).solve(Budget::default());
            plan.is_err_and(is_impossible)
        };
        // Where only the way back can't be made, it is one more step, to the first slot.
        let round = walk.iter().chain(walk.first()).copied().collect();
        let walk: Vec<usize> = if fails(walk) { walk.to_vec() } else { round };
        let way = shortest_failing(&walk, fails)?;
        let slot = |layer: &usize| self.slots.get(*self.sounding.get(*layer)?);
        let (since, [.., from, to]) = (way.first()?, way) else {
            return None;
        };
        Some(Broken::new(
            [slot(since)?, slot(from)?, slot(to)?],
            self.rules.rule(*from, *to),
            layers.get(*from)?,
            layers.get(*to)?,
        ))
    }
}

/// The part of a walk that ends with the first step that can't be made, and begins as late as it
/// still can't. What fails goes on failing when it is made longer.
fn shortest_failing(walk: &[usize], fails: impl Fn(&[usize]) -> bool) -> Option<&[usize]> {
    let end = first(walk.len(), |end| walk.get(..=end).is_some_and(&fails))?;
    let way = walk.get(..=end)?;
    let tail = |back: usize| way.get(end.checked_sub(back + 1)?..);
    tail(first(end, |back| tail(back).is_some_and(&fails))?)
}

/// The first number below `end` for which `holds`, where it holds for every larger one too.
fn first(end: usize, holds: impl Fn(usize) -> bool) -> Option<usize> {
    let (mut low, mut high) = (0, end);
    while low < high {
        let middle = low + (high - low) / 2;
        if holds(middle) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    (low < end).then_some(low)
}

/// Whether this says that the rules leave no plan, rather than that none was looked for.
fn is_impossible(why: Unsolvable) -> bool {
    matches!(
        why,
        Unsolvable::NoPath { .. } | Unsolvable::NoRoundTrip | Unsolvable::NoAssignment
    )
}

/// Whether every layer is played once, in written order: then a chain does.
fn is_straight(walk: &[usize], layers: &[Layer]) -> bool {
    walk.len() == layers.len() && walk.iter().enumerate().all(|(at, &layer)| at == layer)
}

fn proved(choice: Vec<usize>, cost: Cost) -> GraphPlan {
    GraphPlan {
        choice,
        cost,
        lower_bound: cost,
        optimal: true,
        width: 1,
    }
}

/// Where each slot's chord goes the first time it is played. A slot that is never played stands
/// alone. `of_slots` are the keys the slots stand in.
pub(crate) fn first_places(
    slots: &[Slot],
    played: &[usize],
    of_slots: &[Option<Key>],
    looped: bool,
) -> Vec<Place> {
    let chords = chords_as_played(slots, played);
    let found = places(&chords, &regions_as_played(of_slots, played), looped);
    let first = at_first(slots.len(), played, found).into_iter();
    first.map(Option::unwrap_or_default).collect()
}

fn all_choices(
    slots: &[Slot],
    places: &[Place],
    settings: &Settings,
    cache: &mut Cache,
) -> Result<Vec<Arc<Vec<Voicing>>>, Vec<Stuck>> {
    let mut stuck = Vec::new();
    let mut all = Vec::with_capacity(slots.len());
    for (slot, place) in slots.iter().zip(places) {
        match choices(slot, *place, settings, cache) {
            Ok(found) => all.push(found),
            Err(_) if makes_way(slot, *place, settings, cache) => all.push(Arc::default()),
            Err(why) => stuck.push(Stuck {
                slot: slot.clone(),
                why,
                uncarried: None,
            }),
        }
    }
    if stuck.is_empty() {
        Ok(all)
    } else {
        Err(stuck)
    }
}

/// The slots without a voicing, each with what its chord can't carry of the tune.
fn beside_the_tune(mut stuck: Vec<Stuck>, uncarried: &[Uncarried]) -> Vec<Stuck> {
    for stuck in &mut stuck {
        let mut here = uncarried.iter();
        let here = here.find(|one| one.slots.contains(&stuck.slot.index));
        stuck.uncarried = here.cloned();
    }
    stuck
}

/// The voicings a slot may take: none for silence, one where the chart gives it.
pub(crate) fn choices(
    slot: &Slot,
    place: Place,
    settings: &Settings,
    cache: &mut Cache,
) -> Result<Arc<Vec<Voicing>>, Reason> {
    let Some(chord) = slot.symbol.chord() else {
        return Ok(Arc::default());
    };
    match &slot.wish {
        Wish::Silent => Ok(Arc::default()),
        Wish::Given(notes) => Ok(cache.given(chord, notes)),
        Wish::Plan(wishes) => {
            let melody = settings.tune(slot);
            let ask = Ask {
                chord,
                place,
                melody,
            };
            let legal = candidates_as_wished(&ask, wishes, &settings.voicing, cache);
            legal.map_err(|why| why.in_slot(slot))
        }
    }
}
