//! The voicing that would lie nearer to its neighbours, and what stands in its way.
//!
//! The neighbours are held as planned. A legal voicing that lay nearer to them would make a smoother
//! plan, so where the plan is the best one, whatever lies nearer breaks a limit.

use crate::arrange::motion::row;
use crate::arrange::{Priced, Settings};
use crate::chart::Performance;
use crate::hand::{SoundingNote, Violation};
use crate::optimise::{Row, step};
use crate::voicing::{Ask, Shape, VoicedNote, Voicing, anywhere};

/// What there is nearer to the voicings around a slot than its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Nearer {
    /// Nothing was looked for: the slot is silent, its notes are given, or it has no neighbours.
    NotSought,
    /// No voicing of the slot's shape, or of those before it in the palette, lies nearer, even with
    /// no limits at all.
    Nowhere,
    /// The nearest one there is, and what it breaks.
    Barred(Barred),
}

/// A voicing that lies nearer but may not be played.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Barred {
    /// The voicing.
    pub voicing: Voicing,
    /// How many semitones less would move to and from its neighbours, over the whole performance.
    pub less: u64,
    /// Every rule it breaks, in the order of [`HandRule::ALL`](crate::hand::HandRule::ALL). Empty when no
    /// rule of the hand is broken and only a wish of the chart's or the settings' keeps it out.
    pub violations: Vec<Violation>,
}

/// The voicing nearest to what sounds before a slot, where that is not the one that is played.
///
/// It need not break anything: a plan looks ahead, and what saves a step here can cost more later.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Closer {
    /// The voicing.
    pub voicing: Voicing,
    /// How many semitones less would move into it, over the whole performance.
    pub less: u64,
    /// What the whole performance would pay for it in semitones; `None` where it may not be played.
    pub price: Option<u64>,
    /// Every rule it breaks; empty with no price when only a wish keeps it out.
    pub violations: Vec<Violation>,
}

/// What sounds around a slot: the rows of its neighbours, once for each time.
#[derive(Clone, Default)]
pub(super) struct Around {
    before: Vec<Row>,
    after: Vec<Row>,
}

/// The neighbours of each slot over the performance, itself left out.
pub(super) fn around(voicings: &[Option<&Voicing>], sounding: &Performance) -> Vec<Around> {
    let rows: Vec<Option<Row>> = voicings.iter().map(|v| v.and_then(row)).collect();
    let row = |at: usize| rows.get(at).cloned().flatten();
    let mut around = vec![Around::default(); voicings.len()];
    let steps = sounding.arrivals();
    let steps = steps.filter_map(|(from, to)| Some((from?, to)));
    for (from, to) in steps.filter(|(from, to)| from != to) {
        if let Some(first) = around.get_mut(from) {
            first.after.extend(row(to));
        }
        if let Some(second) = around.get_mut(to) {
            second.before.extend(row(from));
        }
    }
    around
}

/// A slot whose neighbourhood is searched.
pub(super) struct NeighbourSearch<'a> {
    ask: &'a Ask<'a>,
    chosen: &'a Voicing,
    around: &'a Around,
    settings: &'a Settings,
    /// Every layout in every octave, legal or not.
    all: Vec<Voicing>,
}

impl<'a> NeighbourSearch<'a> {
    pub(super) fn new(
        ask: &'a Ask<'a>,
        chosen: &'a Voicing,
        around: &'a Around,
        settings: &'a Settings,
    ) -> Self {
        let shapes = wanted(chosen, settings.voicing.palette.shapes());
        Self {
            all: anywhere(
                ask,
                settings.voicing.colour,
                settings.voicing.spelling(),
                &shapes,
            ),
            ask,
            chosen,
            around,
            settings,
        }
    }

    /// The nearest voicing to both sides that is strictly nearer than the chosen one.
    pub(super) fn nearer(&self) -> Nearer {
        let Around { before, after } = self.around;
        let both: Vec<&Row> = before.iter().chain(after).collect();
        if both.is_empty() {
            return Nearer::NotSought;
        }
        // What is legal lies nearer only where the plan moves for the sake of a surcharge: its price says so.
        match self.nearest(&both, |voicing| !self.violations(voicing).is_empty()) {
            None => Nearer::Nowhere,
            Some((voicing, less)) => Nearer::Barred(Barred {
                violations: self.violations(voicing),
                voicing: voicing.clone(),
                less,
            }),
        }
    }

    /// The nearest voicing to what sounds before, if it is strictly nearer than the chosen one.
    pub(super) fn closer(&self, options: &[Priced]) -> Option<Closer> {
        let before: Vec<&Row> = self.around.before.iter().collect();
        let priced = |voicing: &Voicing| {
            let mut options = options.iter();
            options.find(|priced| priced.voicing.by_pitches(voicing).is_eq())
        };
        let counts =
            |voicing: &Voicing| priced(voicing).is_some() || !self.violations(voicing).is_empty();
        let (voicing, less) = self.nearest(&before, counts)?;
        let legal = priced(voicing);
        Some(Closer {
            price: legal.map(|priced| priced.price),
            violations: self.violations(voicing),
            voicing: voicing.clone(),
            less,
        })
    }

    /// The nearest of those that count, the lowest of equals, with how much nearer it is than the chosen
    /// one.
    fn nearest(&self, rows: &[&Row], counts: impl Fn(&Voicing) -> bool) -> Option<(&Voicing, u64)> {
        let now = distance(self.chosen, rows)?;
        let all = self.all.iter();
        let measured = all.filter_map(|voicing| Some((distance(voicing, rows)?, voicing)));
        let nearer = measured.filter(|(distance, voicing)| *distance < now && counts(voicing));
        let (least, voicing) = nearer.min_by_key(|(distance, _)| *distance)?;
        Some((voicing, now - least))
    }

    fn violations(&self, voicing: &Voicing) -> Vec<Violation> {
        let hand = &self.settings.voicing.hand;
        hand.judge(self.ask.chord, &sounding(voicing), self.ask.melody.into())
    }
}

/// The shapes of the palette up to the one that was taken: those after it were never asked, and a
/// thinner voicing moves less for no better reason than its fewer notes.
fn wanted(chosen: &Voicing, palette: &[&'static Shape]) -> Vec<&'static Shape> {
    let own = |shape: &&&'static Shape| Some(**shape) == chosen.shape;
    if !chosen.thinned {
        // A plainer filling goes by the name of a block, and a triad has no thicker shape than that.
        let first = palette.iter().take(1);
        return first
            .chain(palette.iter().skip(1).find(own))
            .copied()
            .collect();
    }
    let taken = palette
        .iter()
        .position(|shape| Some(*shape) == chosen.shape);
    let count = taken.map_or(palette.len(), |at| at + 1);
    palette.iter().take(count).copied().collect()
}

fn distance(voicing: &Voicing, rows: &[&Row]) -> Option<u64> {
    let row = row(voicing)?;
    let steps = rows
        .iter()
        .map(|other| step(other.entries(), row.entries()));
    Some(steps.map(|step| u64::from(step.motion)).sum())
}

fn sounding(voicing: &Voicing) -> Vec<SoundingNote> {
    let sounding = |note: &VoicedNote| SoundingNote {
        pitch: note.pitch,
        degree: note.degree,
    };
    voicing.notes.iter().map(sounding).collect()
}
