//! The one path, from a chart to a voiced left hand: slots, candidates, plan, arrangement.
//!
//! [`arrange`] is what `compline voice` does with a chart; [`options`] is what `compline options` does.
//! Everything is decided elsewhere: what a chord can be in [`crate::voicing`], which of them is
//! smoothest in [`crate::plan`]. This module lays one's results before the other and keeps the
//! books. It writes nothing; the writers are in [`crate::write`].

mod cache;
mod compare;
mod options;
mod warning;

use std::sync::Arc;

use crate::chart::{Chart, Slot, Wish};
use crate::chord::{Chord, Symbol};
use crate::harmony::{Place, places};
use crate::pitch::Pitch;
use crate::plan::{Chain, Cost, Layer, Row, step};
use crate::voicing::{self, Ask, NoVoicing, Voicing, read_given};

pub use cache::Cache;
pub use compare::Compare;
pub use options::{OptionsOfSlot, Priced, options};
pub use warning::Warning;

/// Everything that decides an arrangement, besides the chart.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Settings {
    /// The hand, the shapes, the colour.
    pub voicing: voicing::Settings,
    /// Whether the step from the last slot back to the first counts.
    pub looped: bool,
    /// Whether the tune is left out of account.
    pub ignore_melody: bool,
}

/// A chart with its left hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Arrangement {
    /// The chart, as read.
    pub chart: Chart,
    /// What it was arranged under.
    pub settings: Settings,
    /// Every slot of the page, in written order.
    pub slots: Vec<Arranged>,
    /// The slots in played order, by their place in [`Arrangement::slots`].
    pub played: Vec<usize>,
    /// What the plan costs.
    pub totals: Totals,
    /// What the player should know.
    pub warnings: Vec<Warning>,
}

/// A slot with what the hand plays in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Arranged {
    /// The slot.
    pub slot: Slot,
    /// Where its chord stands.
    pub place: Place,
    /// What the hand plays; `None` is silence.
    pub voicing: Option<Voicing>,
    /// Whether the chart itself gave the voicing.
    pub given: bool,
    /// Every voicing the plan could have taken, in the order that decides between equal plans.
    pub candidates: Arc<Vec<Voicing>>,
    /// The motion, in semitones, from what the hand played before; `None` for the first voicing and
    /// for silence. In a loop the first voicing follows the last.
    pub motion: Option<u32>,
}

/// What a plan costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Totals {
    /// The cost, in the order in which plans are compared.
    pub cost: Cost,
    /// Whether no plan costs less: proved, not hoped.
    pub optimal: bool,
    /// No plan costs less than this.
    pub lower_bound: Cost,
}

/// A slot that no legal voicing fits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stuck {
    /// The slot.
    pub slot: Slot,
    /// Which limits threw the candidates out, and what would help.
    pub why: NoVoicing,
}

/// Plans the left hand of a chart.
///
/// The plan has the least total motion there is; among those, the least sum of largest steps; then
/// the least distance from the middle of the range; then the lowest notes, from the first slot on.
/// See [`Chain::solve`] for the proof.
///
/// ```
/// use compline::arrange::{Settings, arrange};
/// use compline::chart;
///
/// let chart = chart::read("title: ii-V-I\nkey: C\n| Dm7 | G7 | Cmaj7 |\n").unwrap();
/// let arrangement = arrange(chart, &Settings::default(), &mut Default::default()).unwrap();
/// let hand: Vec<String> = arrangement.slots.iter()
///     .map(|slot| slot.voicing.as_ref().unwrap().to_string())
///     .collect();
/// assert_eq!(hand, ["F3 A3 C4 E4", "F3 A3 B3 E4", "E3 G3 B3 D4"]);
/// assert_eq!(arrangement.totals.cost.motion, 6);
/// ```
///
/// # Errors
///
/// Every slot that no legal voicing fits, with the limits that threw its candidates out.
pub fn arrange(
    chart: Chart,
    settings: &Settings,
    cache: &mut Cache,
) -> Result<Arrangement, Vec<Stuck>> {
    let question = Question::of(&chart, settings, cache)?;
    let layers = question.layers();
    let plan = question.chain(&layers).solve().map_err(|_| Vec::new())?;
    Ok(question.answer(chart, settings, &plan.choice, plan.cost))
}

/// A chart laid out for the planner.
struct Question {
    slots: Vec<Slot>,
    places: Vec<Place>,
    candidates: Vec<Arc<Vec<Voicing>>>,
    /// The slots that sound, in played order: the planner's layers.
    sounding: Vec<usize>,
    looped: bool,
    /// Lowest plus highest key of the range.
    centre: i32,
    warnings: Vec<Warning>,
}

impl Question {
    fn of(chart: &Chart, settings: &Settings, cache: &mut Cache) -> Result<Self, Vec<Stuck>> {
        let slots = chart.slots();
        let chords: Vec<Option<&Chord>> = slots.iter().map(|slot| slot.symbol.chord()).collect();
        let places = places(&chords, chart.key(), settings.looped);
        let mut stuck = Vec::new();
        let mut candidates = Vec::with_capacity(slots.len());
        for (slot, place) in slots.iter().zip(&places) {
            match choices(slot, *place, settings, cache) {
                Ok(found) => candidates.push(found),
                Err(why) => stuck.push(Stuck {
                    slot: slot.clone(),
                    why,
                }),
            }
        }
        if !stuck.is_empty() {
            return Err(stuck);
        }
        let sounding = (0..slots.len())
            .filter(|&at| candidates.get(at).is_some_and(|c| !c.is_empty()))
            .collect();
        let range = settings.voicing.hand.range;
        Ok(Self {
            warnings: warning::all(chart, &slots, &candidates, settings),
            places,
            candidates,
            sounding,
            looped: settings.looped,
            centre: i32::from(range.low().midi()) + i32::from(range.high().midi()),
            slots,
        })
    }

    fn layers(&self) -> Vec<Layer> {
        let sounding = self.sounding.iter();
        sounding
            .filter_map(|&at| self.candidates.get(at))
            .map(|voicings| Layer::new(voicings.iter().filter_map(row).collect()))
            .collect()
    }

    fn chain<'a>(&self, layers: &'a [Layer]) -> Chain<'a> {
        Chain::new(layers, self.centre).looped(self.looped)
    }

    fn answer(
        self,
        chart: Chart,
        settings: &Settings,
        choice: &[usize],
        cost: Cost,
    ) -> Arrangement {
        let mut chosen = vec![None; self.slots.len()];
        for (&at, &index) in self.sounding.iter().zip(choice) {
            if let Some(place) = chosen.get_mut(at) {
                *place = self.candidates.get(at).and_then(|c| c.get(index)).cloned();
            }
        }
        let motions = motions(&chosen, self.looped);
        let played = (0..self.slots.len()).collect();
        let slots = self
            .slots
            .into_iter()
            .zip(self.places)
            .zip(self.candidates)
            .zip(chosen.into_iter().zip(motions))
            .map(
                |(((slot, place), candidates), (voicing, motion))| Arranged {
                    given: matches!(slot.wish, Wish::Given(_)),
                    slot,
                    place,
                    voicing,
                    candidates,
                    motion,
                },
            )
            .collect();
        Arrangement {
            chart,
            settings: settings.clone(),
            slots,
            played,
            totals: Totals {
                cost,
                optimal: true,
                lower_bound: cost,
            },
            warnings: self.warnings,
        }
    }
}

/// The voicings a slot may take: none for silence, one where the chart gives it.
fn choices(
    slot: &Slot,
    place: Place,
    settings: &Settings,
    cache: &mut Cache,
) -> Result<Arc<Vec<Voicing>>, NoVoicing> {
    let Symbol::Chord(chord) = &slot.symbol else {
        return Ok(Arc::default());
    };
    match &slot.wish {
        Wish::Silent => Ok(Arc::default()),
        Wish::Given(notes) => Ok(Arc::new(read_given(chord, notes).into_iter().collect())),
        Wish::Plan(_) => {
            let melody: &[Pitch] = if settings.ignore_melody {
                &[]
            } else {
                &slot.melody
            };
            let ask = Ask {
                chord,
                place,
                melody,
            };
            cache.candidates(&ask, &settings.voicing)
        }
    }
}

/// A voicing as the planner sees it: a row of keys. There always is one, since the notes of a voicing
/// are strictly rising.
fn row(voicing: &Voicing) -> Option<Row> {
    Row::new(
        voicing
            .pitches()
            .map(|pitch| i16::from(pitch.midi()))
            .collect(),
    )
}

/// The motion into each voicing from the one that sounded before it.
fn motions(chosen: &[Option<Voicing>], looped: bool) -> Vec<Option<u32>> {
    let last = chosen.iter().flatten().last().filter(|_| looped);
    let mut before = last.and_then(row);
    chosen
        .iter()
        .map(|voicing| {
            let now = row(voicing.as_ref()?)?;
            let motion = before
                .as_ref()
                .map(|before| step(before.entries(), now.entries()).motion);
            before = Some(now);
            motion
        })
        .collect()
}
