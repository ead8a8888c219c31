//! A chart made ready for the rules: laid out, its voicings judged, its motion measured.

use super::performance::Performance;
use super::waiver::Waivers;
use super::{Place, Settings};
use crate::arrange::{Broken, Cache, Hold, Laid, Totals, Trouble};
use crate::chart::{Chart, Wish};
use crate::hand::{Breach, Sounding};
use crate::voicing::Voicing;

/// What the rules look at.
pub(super) struct Subject<'a> {
    pub chart: &'a Chart,
    /// The text the chart was read from; `None` where it was not read from text.
    pub source: Option<&'a str>,
    pub settings: &'a Settings,
    pub laid: Laid,
    /// For each slot, what is wrong with the voicing the chart gives in it.
    pub judged: Vec<Vec<Breach>>,
    /// What sounds: what is given, and what is planned around it.
    pub performance: Performance,
    /// What that costs; `None` where nothing is given.
    pub as_given: Option<Totals>,
    /// The best plan and what it costs; `None` where nothing is given, and where no plan is as wished.
    pub best: Option<Whole>,
    /// A step that can't be made as the chart's wishes have it.
    pub broken: Option<Box<Broken>>,
    pub waivers: Waivers,
}

impl<'a> Subject<'a> {
    pub fn of(
        chart: &'a Chart,
        source: Option<&'a str>,
        played: Option<&[usize]>,
        settings: &'a Settings,
        cache: &mut Cache,
    ) -> Result<Self, Trouble> {
        let laid = Laid::of(chart, played, &settings.arrange, cache)?;
        let gives = laid.given.iter().any(Option::is_some);
        let (voicings, as_given, broken) = as_given(&laid, gives)?;
        let performance = Performance::of(&laid, voicings, &settings.arrange);
        let as_given = as_given.or_else(|| gives.then(|| measured(&performance)));
        Ok(Self {
            judged: judged(&laid, settings),
            best: if gives { best(&laid)? } else { None },
            waivers: source.map_or_else(Waivers::default, |text| Waivers::read(chart, text)),
            chart,
            source,
            settings,
            laid,
            performance,
            as_given,
            broken,
        })
    }

    /// The place of the voicing in a slot.
    pub fn hand_place(&self, slot: usize) -> Place {
        self.place(slot, false)
    }

    /// The place of the symbol of a slot.
    pub fn symbol_place(&self, slot: usize) -> Place {
        self.place(slot, true)
    }

    fn place(&self, slot: usize, symbol: bool) -> Place {
        let slot = self.laid.slots.get(slot);
        slot.map_or_else(Place::default, |slot| {
            Place::of(slot, symbol, self.source.is_some())
        })
    }

    /// The slots in which the chart gives a voicing, with it.
    pub fn given(&self) -> impl Iterator<Item = (usize, &Voicing)> {
        let all = self.laid.given.iter().enumerate();
        all.filter_map(|(slot, voicing)| Some((slot, voicing.as_ref()?)))
    }

    /// Whether a voicing that breaks a rule is meant as it is: then it is not to change for the sake of
    /// the others.
    pub fn is_meant(&self, slot: usize) -> bool {
        let breaks = self
            .judged
            .get(slot)
            .is_some_and(|broken| !broken.is_empty());
        let slot = self.laid.slots.get(slot).filter(|_| breaks);
        slot.is_some_and(|slot| self.waivers.any_for(slot))
    }

    /// Whether the chart gives the voicing of a slot.
    pub fn is_given(&self, slot: usize) -> bool {
        self.laid.given.get(slot).is_some_and(Option::is_some)
    }
}

/// A plan and what it costs.
type Whole = (Vec<Option<Voicing>>, Totals);

type AsGiven = (Vec<Option<Voicing>>, Option<Totals>, Option<Box<Broken>>);

/// What sounds, with everything given held. The totals are left out where nothing had to be planned.
fn as_given(laid: &Laid, gives: bool) -> Result<AsGiven, Trouble> {
    let open = |slot: usize| {
        let wish = laid.slots.get(slot).map(|slot| &slot.wish);
        matches!(wish, Some(Wish::Plan(_))) && !laid.choices(slot).is_empty()
    };
    if !gives || !(0..laid.slots.len()).any(open) {
        return Ok((laid.given.clone(), None, None));
    }
    let hold = |slot: usize| match laid.given.get(slot) {
        Some(Some(voicing)) => Hold::At(voicing),
        _ if open(slot) => Hold::Free,
        _ => Hold::Silent,
    };
    let (plan, broken) = match laid.plan(hold, true) {
        Err(Trouble::Broken(broken)) => (laid.plan(hold, false)?, Some(broken)),
        plan => (plan?, None),
    };
    Ok((plan.voicings, Some(plan.totals), broken))
}

/// What a performance costs in which nothing was left to plan: that is all it can cost.
fn measured(performance: &Performance) -> Totals {
    let cost = performance.cost();
    Totals {
        cost,
        optimal: true,
        lower_bound: cost,
        as_written: None,
        width: 1,
    }
}

/// The best plan with everything freed that has a legal voicing.
fn best(laid: &Laid) -> Result<Option<Whole>, Trouble> {
    let hold = |slot: usize| match laid.given.get(slot) {
        Some(Some(voicing)) if laid.choices(slot).is_empty() => Hold::At(voicing),
        _ => Hold::Free,
    };
    match laid.plan(hold, true) {
        Err(Trouble::Broken(_)) => Ok(None),
        plan => plan.map(|plan| Some((plan.voicings, plan.totals))),
    }
}

fn judged(laid: &Laid, settings: &Settings) -> Vec<Vec<Breach>> {
    let hand = &settings.arrange.voicing.hand;
    let each = laid.slots.iter().zip(&laid.given);
    each.map(|(slot, given)| {
        let Some((voicing, chord)) = given.as_ref().zip(slot.symbol.chord()) else {
            return Vec::new();
        };
        let notes: Vec<Sounding> = voicing.notes.iter().map(Into::into).collect();
        hand.judge(chord, &notes, laid.tune(slot.index))
    })
    .collect()
}
