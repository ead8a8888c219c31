//! Why a slot sounds as it does: the facts behind each voicing of a plan.
//!
//! [`why`] is what `compline why` does with a chart. Everything here is found out after the plan is
//! made and changes nothing in it: the tones left out and added in `tones`, the moves in `arrivals`,
//! what would lie nearer in `nearer`. The sentences are in `words`.

mod arrivals;
pub(crate) mod named;
mod nearer;
pub(crate) mod plainer;
mod tones;
pub(crate) mod words;

use crate::arrange::voicing_options::priced;
use crate::arrange::{Arranged, Arrangement, Cache, OptionsOfSlot, Priced, Settings, Trouble};
use crate::chart::{Chart, Slot};
use crate::harmony::HarmonicContext;
use crate::optimise::Cost;
use crate::voicing::{Ask, Grounding, NoVoicing, Palette, Voicing, of_palette};

pub use arrivals::{Arrival, Move};
pub use nearer::{Barred, Closer, Nearer};
pub use plainer::Plainer;
pub use tones::{Added, Addition, LeftOut, Omission};

/// Why one slot sounds as it does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Why {
    /// The slot.
    pub slot: Slot,
    /// Where its chord goes the first time it is played.
    pub context: HarmonicContext,
    /// What the hand plays; `None` is silence, and then nothing below says anything.
    pub voicing: Option<Voicing>,
    /// Whether the chart itself gave the voicing: then nothing was weighed.
    pub given: bool,
    /// The tones of the symbol that are silent.
    pub left_out: Vec<LeftOut>,
    /// The tones that the symbol does not ask for.
    pub added: Vec<Added>,
    /// The plain tones that stand where usual tensions would.
    pub plainer: Vec<Plainer>,
    /// The ways the performance comes here; none for a slot that is never played.
    pub arrivals: Vec<Arrival>,
    /// The slots that sound after it, by index, each once, in the order the performance first
    /// reaches them.
    pub leads_to: Vec<usize>,
    /// The cheapest other legal voicing; `None` where there is no other.
    pub next_best: Option<NextBest>,
    /// Where the slot had to be thinned out: why the shapes before its own had nothing.
    pub thinned: Option<NoVoicing>,
    /// What would lie nearer to the voicings around it.
    pub nearer: Nearer,
    /// What would lie nearer to the voicings before it alone.
    pub closer: Option<Closer>,
    /// What its notes would be taken for, and what to touch so that they are not.
    pub grounding: Option<Grounding>,
}

/// The cheapest other voicing of a slot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NextBest {
    /// It, with its exact price for the whole performance.
    pub priced: Priced,
    /// In what it is worse than the one that is played.
    pub decided: Decided,
}

/// The first thing in which a voicing costs more, in the order plans are compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Decided {
    /// The performance would be so many semitones more of effort, motion and surcharges together.
    Effort(u64),
    /// No more effort, but the largest steps of single notes add up to so many semitones more.
    LargestSteps(u64),
    /// Nor larger steps, but so many half semitones more from the middle of the range.
    OffCentre(u64),
    /// Nothing at all: the fixed order of the candidates decided.
    Order,
}

/// Says for each slot why it sounds as it does.
///
/// ```
/// use compline::arrange::Settings;
/// use compline::chart;
/// use compline::explain::why::why;
///
/// let chart = chart::read("key: C\n| Dm7 | G7 | Cmaj7 |\n").unwrap();
/// let all = why(chart, &Settings::default(), &mut Default::default()).unwrap();
/// let one = &all[1];
/// assert_eq!(one.left_out[0].name.to_string(), "G");
/// assert_eq!(one.added.iter().map(|a| a.degree.to_string()).collect::<Vec<_>>(), ["9", "13"]);
/// assert_eq!(one.arrivals[0].motion(), 1);
/// ```
///
/// # Errors
///
/// Those of [`options`](crate::arrange::options()): a next best voicing needs every price.
pub fn why(chart: Chart, settings: &Settings, cache: &mut Cache) -> Result<Vec<Why>, Trouble> {
    let (arrangement, options) = priced(chart, settings, cache)?;
    let slots = &arrangement.slots;
    let voicings: Vec<Option<&Voicing>> = slots.iter().map(|s| s.voicing.as_ref()).collect();
    let sounds = |slot: usize| voicings.get(slot).is_some_and(Option::is_some);
    let sounding = arrangement.performance.sounding(sounds);
    let arrivals = arrivals::arrivals(&voicings, &sounding);
    let mut onward = arrivals::onward(&arrivals, &sounding);
    let around = nearer::around(&voicings, &sounding);
    let slots = slots
        .iter()
        .zip(options)
        .zip(arrivals.into_iter().zip(around))
        .zip(arrangement.groundings());
    Ok(slots
        .map(
            |(((arranged, options), (arrivals, around)), grounding)| Why {
                leads_to: onward.remove(&arranged.slot.index).unwrap_or_default(),
                arrivals,
                grounding,
                ..of_slot(arranged, &options, &around, &arrangement)
            },
        )
        .collect())
}

/// Everything but the arrivals.
fn of_slot(
    arranged: &Arranged,
    options: &OptionsOfSlot,
    around: &nearer::Around,
    arrangement: &Arrangement,
) -> Why {
    let mut why = silent(arranged);
    let (Some(chord), Some(voicing)) = (arranged.slot.symbol.chord(), &arranged.voicing) else {
        return why;
    };
    let settings = &arrangement.settings;
    let ask = Ask {
        chord,
        context: arranged.context,
        melody: &settings.melody(&arranged.slot),
    };
    let spelling = settings.voicing.spelling();
    why.added = tones::added(&ask, &settings.voicing, voicing, arranged.given);
    if arranged.given {
        why.left_out = tones::not_given(&ask, spelling, voicing);
    } else {
        why.next_best = next_best(options, arrangement.totals.cost);
        why.plainer = plainer::plainer(&ask, settings.voicing.colour, voicing, &arranged.slot);
        why.thinned = thinned(&ask, voicing, settings).map(|none| none.in_slot(&arranged.slot));
        why.left_out = tones::left_out(&ask, &settings.voicing, voicing, why.thinned.as_ref());
        for out in &mut why.left_out {
            let plainer = why.plainer.iter();
            let instead = plainer.map(|plainer| (plainer.tension, plainer.note.degree));
            out.give_way(instead);
        }
        let search = nearer::NeighbourSearch::new(&ask, voicing, around, settings);
        why.nearer = search.nearer();
        why.closer = search.closer(&options.voicings);
    }
    why
}

fn silent(arranged: &Arranged) -> Why {
    Why {
        slot: arranged.slot.clone(),
        context: arranged.context,
        voicing: arranged.voicing.clone(),
        given: arranged.given,
        left_out: Vec::new(),
        added: Vec::new(),
        plainer: Vec::new(),
        arrivals: Vec::new(),
        leads_to: Vec::new(),
        next_best: None,
        thinned: None,
        nearer: Nearer::NotSought,
        closer: None,
        grounding: None,
    }
}

/// The options are sorted by cost already.
fn next_best(options: &OptionsOfSlot, best: Cost) -> Option<NextBest> {
    let priced = options.voicings.iter().find(|priced| !priced.planned)?;
    Some(NextBest {
        priced: priced.clone(),
        decided: decided(best, priced.total),
    })
}

fn decided(best: Cost, other: Cost) -> Decided {
    let more = |best: u64, other: u64| other.checked_sub(best).filter(|more| *more > 0);
    if let Some(more) = more(best.effort, other.effort) {
        return Decided::Effort(more);
    }
    if let Some(more) = more(best.largest, other.largest) {
        return Decided::LargestSteps(more);
    }
    more(best.off_centre, other.off_centre).map_or(Decided::Order, Decided::OffCentre)
}

/// Why the shapes before the voicing's own had nothing.
fn thinned(ask: &Ask<'_>, voicing: &Voicing, settings: &Settings) -> Option<NoVoicing> {
    let shapes = settings.voicing.palette.shapes().iter();
    let before = shapes.take_while(|shape| Some(**shape) != voicing.shape);
    let palette = Palette::of(before.copied().collect())?;
    let mut wanted = settings.voicing.clone();
    wanted.palette = palette;
    let none = of_palette(ask, &wanted).err()?;
    Some(match voicing.thinned {
        true => none,
        // Nothing was thinned out: the chord has no such shape.
        false => NoVoicing {
            tally: Vec::new(),
            last: None,
            loosening: None,
            ..none
        },
    })
}

#[cfg(test)]
mod tests;
