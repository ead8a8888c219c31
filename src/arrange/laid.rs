//! A chart laid out as it is written: what its `lh` line gives, what could legally stand there, and
//! plans that hold some of it.
//!
//! [`super::arrange`] has one question, with everything given held. Whoever checks a voiced chart has
//! several about the same slots, so the slots and their legal voicings are found once.

use std::sync::Arc;

use super::question::{Answer, Question, first_places};
use super::regions::slot_regions;
use super::wishes::candidates_as_wished;
use super::{Cache, Reason, Settings, Totals, Trouble};
use crate::chart::{Chart, Slot, Wish, Wishes};
use crate::harmony::Place;
use crate::pitch::{Key, Pitch};
use crate::voicing::{Ask, Voicing};

/// A chart laid out as it is written.
pub(crate) struct Laid {
    /// Its slots.
    pub slots: Vec<Slot>,
    /// The slots in played order.
    pub played: Vec<usize>,
    /// What the chart gives in each slot.
    pub given: Vec<Option<Voicing>>,
    /// For each slot the voicings a plan may take, as if the chart gave none: at least one, or none
    /// for silence; or why there is none.
    pub legal: Vec<Result<Arc<Vec<Voicing>>, Reason>>,
    /// The key each slot stands in.
    pub regions: Vec<Option<Key>>,
    places: Vec<Place>,
    settings: Settings,
}

/// What a plan may do in a slot.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Hold<'a> {
    /// Take any legal voicing; silence where there is none.
    Free,
    /// This one and no other.
    At(&'a Voicing),
    /// Nothing.
    Silent,
}

/// A plan over the laid-out slots.
pub(crate) struct Planned {
    /// What sounds in each slot.
    pub voicings: Vec<Option<Voicing>>,
    /// What it costs.
    pub totals: Totals,
}

impl Laid {
    /// Lays a chart out. `played` is its order of slots where that is known; otherwise the chart's
    /// repeats and jumps say.
    pub fn of(
        chart: &Chart,
        played: Option<&[usize]>,
        settings: &Settings,
        cache: &mut Cache,
    ) -> Result<Self, Trouble> {
        let slots = chart.slots();
        let played = match played {
            Some(played) => played.to_vec(),
            None => chart
                .play_order()
                .map_err(Trouble::PlayOrder)?
                .played_slots(&slots),
        };
        let regions = slot_regions(chart, &slots, &played, settings.looped);
        let places = first_places(&slots, &played, &regions, settings.looped);
        let legal = slots.iter().zip(&places);
        let legal = legal.map(|(slot, place)| legal_in(slot, *place, settings, cache));
        Ok(Self {
            legal: legal.collect(),
            given: slots.iter().map(|slot| given_in(slot, cache)).collect(),
            slots,
            played,
            places,
            regions,
            settings: settings.clone(),
        })
    }

    /// The tune notes that count in a slot.
    pub fn tune(&self, slot: usize) -> &[Pitch] {
        let slot = self.slots.get(slot);
        slot.map_or(&[], |slot| self.settings.tune(slot))
    }

    /// The legal voicings of a slot; none where there is none.
    pub fn choices(&self, slot: usize) -> &[Voicing] {
        let legal = self.legal.get(slot).and_then(|legal| legal.as_ref().ok());
        legal.map_or(&[], |voicings| voicings.as_slice())
    }

    /// The best plan that holds what it is told to hold, in the order in which plans are compared.
    ///
    /// With `bound` the wishes for the steps are kept wherever a step has a free end; without, no
    /// step is held to anything.
    pub fn plan<'a>(
        &'a self,
        hold: impl Fn(usize) -> Hold<'a>,
        bound: bool,
    ) -> Result<Planned, Trouble> {
        let (mut slots, mut candidates) = (self.slots.clone(), Vec::new());
        for slot in &mut slots {
            let index = slot.index;
            let (wish, found) = match hold(index) {
                Hold::Silent => (Wish::Silent, Arc::default()),
                // Only whether it is given matters from here on, not which notes.
                Hold::At(voicing) => (Wish::Given(Vec::new()), Arc::new(vec![voicing.clone()])),
                Hold::Free => (free(&slot.wish, bound), self.arc_of(index)),
            };
            slot.wish = wish;
            candidates.push(found);
        }
        let mut settings = self.settings.clone();
        if !bound {
            (settings.leap, settings.top) = (None, None);
        }
        let places = self.places.clone();
        let question = Question::laid(slots, places, candidates, self.played.clone(), &settings);
        let Answer { choice, totals, .. } = question.solve(0)?;
        Ok(Planned {
            voicings: question.voicings(&choice),
            totals,
        })
    }

    fn arc_of(&self, slot: usize) -> Arc<Vec<Voicing>> {
        let legal = self.legal.get(slot).and_then(|legal| legal.as_ref().ok());
        legal.map(Arc::clone).unwrap_or_default()
    }
}

/// The wish of a slot that is planned: what is wished for its voicing has been asked already.
fn free(wish: &Wish, bound: bool) -> Wish {
    match wish {
        Wish::Plan(wishes) if bound => Wish::Plan(wishes.clone()),
        _ => Wish::PLAN,
    }
}

fn given_in(slot: &Slot, cache: &mut Cache) -> Option<Voicing> {
    match (&slot.wish, slot.symbol.chord()) {
        (Wish::Given(notes), Some(chord)) => cache.given(chord, notes).first().cloned(),
        _ => None,
    }
}

fn legal_in(
    slot: &Slot,
    place: Place,
    settings: &Settings,
    cache: &mut Cache,
) -> Result<Arc<Vec<Voicing>>, Reason> {
    let Some(chord) = slot.symbol.chord() else {
        return Ok(Arc::default());
    };
    let melody = settings.tune(slot);
    let ask = Ask {
        chord,
        place,
        melody,
    };
    let legal = match &slot.wish {
        Wish::Silent => Ok(Arc::default()),
        Wish::Given(_) => candidates_as_wished(&ask, &Wishes::NONE, &settings.voicing, cache),
        Wish::Plan(wishes) => candidates_as_wished(&ask, wishes, &settings.voicing, cache),
    };
    legal.map_err(|why| why.in_slot(slot))
}
