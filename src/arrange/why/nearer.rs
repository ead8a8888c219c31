//! The voicing that would lie nearer to its neighbours, and what stands in its way.
//!
//! The neighbours are held as planned. A legal voicing that lay nearer to them would make a smoother
//! plan, so where the plan is the best one, whatever lies nearer breaks a limit.

use crate::arrange::Settings;
use crate::arrange::motion::row;
use crate::hand::{Breach, Sounding};
use crate::plan::{Row, step};
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
    /// Every rule it breaks, in the order of [`Rule::ALL`](crate::hand::Rule::ALL). Empty when no
    /// rule of the hand is broken and only a wish of the chart's or the settings' keeps it out.
    pub breaches: Vec<Breach>,
}

/// What sounds before and after a slot: the rows of its neighbours, once for each time.
pub(super) type Around = Vec<Row>;

/// The neighbours of each slot over the performance, itself left out.
pub(super) fn around(
    voicings: &[Option<&Voicing>],
    sounding: &[usize],
    looped: bool,
) -> Vec<Around> {
    let rows: Vec<Option<Row>> = voicings.iter().map(|v| v.and_then(row)).collect();
    let mut around = vec![Vec::new(); voicings.len()];
    let wrap = sounding.last().copied().zip(sounding.first().copied());
    let steps = sounding.windows(2).filter_map(|pair| match pair {
        [a, b] => Some((*a, *b)),
        _ => None,
    });
    for (a, b) in steps.chain(wrap.filter(|_| looped)) {
        for (one, other) in [(a, b), (b, a)] {
            let other = rows.get(other).cloned().flatten().filter(|_| a != b);
            if let Some(around) = around.get_mut(one) {
                around.extend(other);
            }
        }
    }
    around
}

/// The nearest voicing that is strictly nearer than the chosen one.
pub(super) fn nearer(
    ask: &Ask<'_>,
    chosen: &Voicing,
    around: &Around,
    settings: &Settings,
) -> Nearer {
    if around.is_empty() {
        return Nearer::NotSought;
    }
    let Some(now) = distance(chosen, around) else {
        return Nearer::NotSought;
    };
    let settings = &settings.voicing;
    let all = anywhere(
        ask,
        settings.colour,
        &wanted(chosen, settings.palette.shapes()),
    );
    let measured = all
        .into_iter()
        .filter_map(|voicing| Some((distance(&voicing, around)?, voicing)));
    // The first of equals: the lowest.
    match measured.min_by_key(|(distance, _)| *distance) {
        Some((distance, voicing)) if distance < now => Nearer::Barred(Barred {
            less: now - distance,
            breaches: settings
                .hand
                .judge(ask.chord, &sounding(&voicing), ask.melody),
            voicing,
        }),
        _ => Nearer::Nowhere,
    }
}

/// The shapes of the palette up to the one that was taken: those after it were never asked, and a
/// thinner voicing moves less for no better reason than its fewer notes.
fn wanted(chosen: &Voicing, palette: &[&'static Shape]) -> Vec<&'static Shape> {
    let taken = palette.iter().position(|shape| shape.name == chosen.shape);
    let count = taken.map_or(palette.len(), |at| at + 1);
    palette.iter().take(count).copied().collect()
}

fn distance(voicing: &Voicing, around: &Around) -> Option<u64> {
    let row = row(voicing)?;
    let steps = around
        .iter()
        .map(|other| step(other.entries(), row.entries()));
    Some(steps.map(|step| u64::from(step.motion)).sum())
}

fn sounding(voicing: &Voicing) -> Vec<Sounding> {
    let sounding = |note: &VoicedNote| Sounding {
        pitch: note.pitch,
        degree: note.degree,
    };
    voicing.notes.iter().map(sounding).collect()
}
