//! What the hand may play in one slot.

use std::sync::Arc;

use super::cache::Cache;
use super::on_page::OnPage;
use super::problem::Problem;
use super::settings::Settings;
use super::trouble::Reason;
use super::wishes::candidates_as_wished;
use crate::chart::{Slot, Wish, Wishes};
use crate::harmony::{HarmonicContext, Melody};
use crate::pitch::Note;
use crate::voicing::{Ask, Voicing, charged};

/// The voicings a slot may take where its chord has this context: none for silence, one where the chart
/// gives it.
///
/// # Errors
///
/// Why there is none.
pub(crate) fn choices(
    slot: &Slot,
    context: HarmonicContext,
    settings: &Settings,
    cache: &mut Cache,
) -> Result<Arc<Vec<Voicing>>, Reason> {
    let Some(chord) = slot.symbol.chord() else {
        return Ok(Arc::default());
    };
    let melody = &settings.melody(slot);
    let ask = Ask {
        chord,
        context,
        melody,
    };
    match &slot.wish {
        Wish::Silent => Ok(Arc::default()),
        Wish::Given(notes) => Ok(Arc::new(
            as_given(&ask, notes, settings, cache).into_iter().collect(),
        )),
        Wish::Plan(wishes) => as_wished(slot, &ask, wishes, settings, cache),
    }
}

/// Whether it is the melody that leaves no room for the hand where there is no legal voicing.
pub(super) fn is_in_the_way(ask: &Ask<'_>, settings: &Settings, cache: &mut Cache) -> bool {
    let alone = Ask {
        melody: &Melody::NONE,
        ..*ask
    };
    !ask.melody.held.is_empty() && cache.candidates(&alone, &settings.voicing).is_ok()
}

/// For each slot the voicings a plan may take, as if the chart gave none: at least one, or none for
/// silence and where the melody leaves no room; or why there is none.
pub(crate) fn legal(
    problem: &Problem<'_>,
    cache: &mut Cache,
) -> Vec<Result<Arc<Vec<Voicing>>, Reason>> {
    static PLAN: Wish = Wish::PLAN;
    let mut on_page = OnPage::of(problem);
    let slots = problem.slots.iter();
    let legal = slots.map(|slot| {
        let wish = match &slot.wish {
            Wish::Given(_) => &PLAN,
            wish => wish,
        };
        on_page.get(slot, wish, || legal_in_slot(problem, slot, wish, cache))
    });
    legal.collect()
}

fn legal_in_slot(
    problem: &Problem<'_>,
    slot: &Slot,
    wish: &Wish,
    cache: &mut Cache,
) -> Result<Arc<Vec<Voicing>>, Reason> {
    let (Wish::Plan(wishes), Some(ask)) = (wish, problem.ask(slot.index)) else {
        return Ok(Arc::default());
    };
    match as_wished(slot, &ask, wishes, problem.settings, cache) {
        Err(Reason::Limits(_)) if is_in_the_way(&ask, problem.settings, cache) => {
            Ok(Arc::default())
        }
        legal => legal,
    }
}

/// What the chart gives in each slot.
pub(crate) fn given(problem: &Problem<'_>, cache: &mut Cache) -> Vec<Option<Voicing>> {
    let mut on_page = OnPage::of(problem);
    let slots = problem.slots.iter();
    let given = slots.map(|slot| match (&slot.wish, problem.ask(slot.index)) {
        (wish @ Wish::Given(notes), Some(ask)) => {
            let find = || as_given(&ask, notes, problem.settings, cache).ok_or(());
            on_page.get(slot, wish, find).ok()
        }
        _ => None,
    });
    given.collect()
}

/// A voicing that the chart gives, charged like one of the program's own.
fn as_given(
    ask: &Ask<'_>,
    notes: &[Note],
    settings: &Settings,
    cache: &mut Cache,
) -> Option<Voicing> {
    let voicing = cache.given(ask.chord, notes).first().cloned()?;
    let known = cache.candidates(ask, &settings.voicing).ok();
    let mut known = known.iter().flat_map(|known| known.iter());
    let same = known.find(|known| known.by_pitches(&voicing).is_eq());
    let surcharges = match same {
        Some(known) => known.surcharges,
        None => charged(&voicing, ask, &settings.voicing),
    };
    Some(Voicing {
        surcharges,
        ..voicing
    })
}

fn as_wished(
    slot: &Slot,
    ask: &Ask<'_>,
    wishes: &Wishes,
    settings: &Settings,
    cache: &mut Cache,
) -> Result<Arc<Vec<Voicing>>, Reason> {
    let found = candidates_as_wished(ask, wishes, &settings.voicing, cache);
    found.map_err(|why| why.in_slot(slot))
}
