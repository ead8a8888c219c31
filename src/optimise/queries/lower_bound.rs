//! What can be said about a model too entangled to be solved exactly: a bound that no plan can beat, and
//! a good plan, with nothing claimed beyond.
//!
//! **The bound.** Costs are never negative. Leaving edges out until elimination succeeds, and counting
//! each of them with the least cost that any pair of its rows has, gives a least total that no plan can
//! go below. What is impossible without them is impossible.
//!
//! **The plan.** Some variables are held so that the rest can be solved exactly, then others are held
//! instead, until nothing improves.

use super::exact::too_entangled;
use super::plan::Plan;
use super::plans_by_weight::ByWeight;
use crate::optimise::elimination::tables::Tables;
use crate::optimise::elimination_order::adjacency::Adjacency;
use crate::optimise::elimination_order::budget::Budget;
use crate::optimise::elimination_order::min_degree;
use crate::optimise::elimination_order::order::Order;
use crate::optimise::factor_graph::cost::Cost;
use crate::optimise::factor_graph::model::Model;
use crate::optimise::factor_graph::unsolvable::Unsolvable;
use crate::optimise::minimum::ends::pair;
use crate::optimise::minimum::key::NEVER;
use crate::optimise::minimum::key_layout::KeyLayout;
use crate::optimise::minimum::rows::Rows;
use std::cmp::Reverse;

/// So many variables in a row are decided anew at the most.
const WINDOW: usize = 32;

/// Each of these decisions costs so much work at the most: many small ones do more than a few large ones.
const WINDOW_WORK: u64 = 1 << 18;

/// Never more decisions than this.
const ROUNDS: usize = 64;

/// The best plan found, and a bound for all.
pub(in crate::optimise) fn solve(
    model: &Model,
    rows: &Rows,
    width: usize,
    budget: Budget,
) -> Result<Plan, Unsolvable> {
    let relaxed = WithoutEdges::of(model, rows, None, budget)?;
    let bound = relaxed.bounds.first().copied().flatten();
    let bound = bound.ok_or(Unsolvable::Impossible)?;
    let best = relaxed.improved(rows, budget)?;
    let (choice, cost) = best
        .into_iter()
        .flatten()
        .next()
        .ok_or(Unsolvable::NoneFound)?;
    Ok(plan(choice, cost, bound, width))
}

/// The best plan of each weight that was found, and a bound for all.
pub(in crate::optimise) fn by_weight(
    model: &Model,
    rows: &Rows,
    most: usize,
    width: usize,
    budget: Budget,
) -> Result<ByWeight, Unsolvable> {
    let relaxed = WithoutEdges::of(model, rows, Some(most), budget)?;
    let best = relaxed.improved(rows, budget)?.into_iter();
    let both = best.zip(&relaxed.bounds);
    let plans = both.map(|(found, bound)| {
        let (choice, cost) = found?;
        Some(plan(choice, cost, (*bound)?, width))
    });
    let plans = plans.collect();
    Ok(ByWeight::bounded(plans, relaxed.bounds))
}

fn plan(choice: Vec<usize>, cost: Cost, lower_bound: Cost, width: usize) -> Plan {
    Plan {
        choice,
        cost,
        lower_bound,
        // The bound can meet the plan: then it is proved after all.
        optimal: lower_bound == cost,
        width,
    }
}

/// A choice and what it costs.
type Attempt = (Vec<usize>, Cost);

/// A model without some of its edges.
struct WithoutEdges<'m> {
    model: &'m Model,
    /// The greatest weight told apart; nothing if weights don't matter.
    most: Option<usize>,
    /// For every weight what a plan costs at least; `None` if there is none.
    bounds: Vec<Option<Cost>>,
    /// The best choices without the edges left out.
    guesses: Vec<Vec<usize>>,
}

impl<'m> WithoutEdges<'m> {
    fn of(
        model: &'m Model,
        rows: &Rows,
        most: Option<usize>,
        budget: Budget,
    ) -> Result<WithoutEdges<'m>, Unsolvable> {
        let (kept, order) = most_kept(model, rows, most, budget)?;
        let layout =
            KeyLayout::of(model, order.width, most.is_some()).ok_or(Unsolvable::TooLarge)?;
        let tables = Tables::new(model, &order, rows, layout, most);
        let left_out = (0..kept.len()).filter(|&edge| !kept[edge]);
        let more: Option<u128> = left_out.map(|edge| least(model, rows, layout, edge)).sum();
        let totals = tables.totals();
        let bound = |total: &Option<u128>| Some(layout.cost((*total)? + more?));
        let mut bounds: Vec<Option<Cost>> = totals.iter().map(bound).collect();
        bounds.resize(most.unwrap_or(0) + 1, None);
        let possible = totals
            .iter()
            .enumerate()
            .filter(|(_, total)| total.is_some());
        let guesses = possible.map(|(weight, _)| {
            let mut choice = vec![0; model.variables().len()];
            match most {
                Some(_) => tables.decide_weight(weight, &mut choice),
                None => tables.decide(&mut choice, 0),
            }
            rows.places(&choice)
        });
        Ok(WithoutEdges {
            guesses: guesses.collect(),
            model,
            most,
            bounds,
        })
    }

    /// The best choice found of each weight.
    fn improved(&self, rows: &Rows, budget: Budget) -> Result<Vec<Option<Attempt>>, Unsolvable> {
        let mut best = vec![None; self.bounds.len()];
        for guess in &self.guesses {
            self.take(&mut best, guess.clone());
        }
        let variables = self.model.variables().len();
        let (mut window, mut from) = (WINDOW.min(variables), 0);
        for round in 0..ROUNDS {
            let known: Vec<&Attempt> = best.iter().flatten().collect();
            let seed = match known.len() {
                0 => self.guesses.get(round % self.guesses.len().max(1)),
                count => Some(&known[round % count].0),
            };
            let Some(seed) = seed.cloned() else {
                break;
            };
            match self.anew(rows, &seed, from..from + window, budget)? {
                Some(choices) => choices.into_iter().for_each(|c| self.take(&mut best, c)),
                None if window > 1 => window /= 2,
                None => break,
            }
            from = (from + window.div_ceil(2)) % variables;
        }
        Ok(best)
    }

    /// Keeps a choice if it is possible, and the best of its weight so far.
    fn take(&self, best: &mut [Option<Attempt>], choice: Vec<usize>) {
        let weight = self.most.map_or(0, |_| self.model.weight(&choice));
        if let (Some(cost), Some(best)) = (self.model.cost(&choice), best.get_mut(weight))
            && best.as_ref().is_none_or(|(_, known)| cost < *known)
        {
            *best = Some((choice, cost));
        }
    }

    /// The best choices that differ from this one only in a window, which may go on from the last
    /// variable to the first; `None` if that is too much work.
    fn anew(
        &self,
        rows: &Rows,
        choice: &[usize],
        window: std::ops::Range<usize>,
        budget: Budget,
    ) -> Result<Option<Vec<Vec<usize>>>, Unsolvable> {
        let variables = choice.len();
        let mut held = Rows::none(variables);
        for variable in 0..variables {
            let all = rows.places_of(variable as u32);
            let open = window.contains(&variable) || window.contains(&(variable + variables));
            match open {
                true => held.push(self.model, all.iter().copied()),
                false => held.push(self.model, [all[choice[variable]]]),
            }
        }
        let small = Budget {
            work: budget.work.min(WINDOW_WORK),
            ..budget
        };
        let weights = self.most.map_or(1, |most| most + 1);
        let Ok(order) = self.model.order(&held, weights, small) else {
            return Ok(None);
        };
        let found = match self.most {
            Some(most) => {
                let each: Vec<Vec<usize>> = (0..=most).map(|weight| vec![weight]).collect();
                self.model.exact_of_weights(&order, &held, most, &each)?
            }
            None => vec![self.model.exact(&order, &held)?.map(|(choice, _)| choice)],
        };
        Ok(Some(found.into_iter().flatten().collect()))
    }
}

/// What an edge costs at least, over all pairs of rows; `None` if none may meet.
fn least(model: &Model, rows: &Rows, layout: KeyLayout, edge: usize) -> Option<u128> {
    let edge = &model.edges()[edge];
    let link = Adjacency::onward_to(edge.to as u32, edge);
    let (from, to) = (
        rows.of(model, edge.from as u32),
        rows.of(model, edge.to as u32),
    );
    let pairs = from.iter().flat_map(|a| to.iter().map(move |b| (a, b)));
    let least = pairs.map(|(a, b)| pair(model, layout, &link, a, b)).min()?;
    (least < NEVER).then_some(least.into())
}

/// Which edges can be kept within the budget, found by halving, those of a spanning forest in any case.
/// More might be possible; what is returned is.
fn most_kept<'m>(
    model: &'m Model,
    rows: &Rows,
    most: Option<usize>,
    budget: Budget,
) -> Result<(Vec<bool>, Order<'m>), Unsolvable> {
    let (ranked, forest) = forest_first(model);
    let weights = most.map_or(1, |most| most.saturating_add(1));
    let attempt = |count: usize| {
        let mut kept = vec![true; model.edges().len()];
        ranked[count..].iter().for_each(|&edge| kept[edge] = false);
        let size = |variable| rows.size(variable);
        let order = min_degree::order(model, size, |edge| kept[edge], weights, budget);
        order.map(|order| (kept, order))
    };
    let mut best = attempt(forest).map_err(too_entangled)?;
    let (mut enough, mut too_many) = (forest, ranked.len());
    while enough + 1 < too_many {
        let middle = enough + (too_many - enough) / 2;
        match attempt(middle) {
            Ok(found) => (best, enough) = (found, middle),
            Err(_) => too_many = middle,
        }
    }
    Ok(best)
}

/// The edges between different variables, those of a spanning forest first, the bounded ones and those
/// most often taken before the others; and how many belong to the forest.
fn forest_first(model: &Model) -> (Vec<usize>, usize) {
    let edges = model.edges();
    let between = |edge: &usize| edges[*edge].from != edges[*edge].to;
    let mut ranked: Vec<usize> = (0..edges.len()).filter(between).collect();
    ranked.sort_by_key(|&edge| Reverse((edges[edge].bounded, edges[edge].count)));
    let mut group: Vec<usize> = (0..model.variables().len()).collect();
    let (forest, others): (Vec<usize>, Vec<usize>) = ranked.into_iter().partition(|&edge| {
        let [a, b] = [edges[edge].from, edges[edge].to].map(|end| root(&mut group, end));
        group[a] = b;
        a != b
    });
    let count = forest.len();
    (forest.into_iter().chain(others).collect(), count)
}

fn root(group: &mut [usize], mut member: usize) -> usize {
    while group[member] != member {
        group[member] = group[group[member]];
        member = group[member];
    }
    member
}
