//! A bar of the score: its signs, and what stands on its two staves.

use std::sync::Arc;

use super::{Quarters, Tempo, Written};
use crate::chart::{Bar, Chart, Jump, LineChanges, Meter, Stroke, Times};
use crate::chord::Symbol;
use crate::pitch::Key;

/// A bar as it is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScoreBar {
    /// The written bar of the chart, from 1. An order of sections that is not the page's is written
    /// out, and then a bar may come again.
    pub number: usize,
    /// The section that begins with it.
    pub section: Option<String>,
    /// Whether a line of the chart begins with it.
    pub begins_line: bool,
    /// Its meter.
    pub meter: Meter,
    /// The key it is in, if the chart says.
    pub key: Option<Key>,
    /// The tempo there, if the chart says.
    pub tempo: Option<Tempo>,
    /// What a player follows.
    pub signs: BarSigns,
    /// The chord symbols and where they stand.
    pub chords: Vec<(Quarters, Arc<Symbol>)>,
    /// The upper staff: the melody.
    pub melody: Vec<Written>,
    /// The lower staff: the left hand.
    pub hand: Vec<Written>,
}

/// What a player follows in a bar: repeats, endings, jumps.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct BarSigns {
    /// A repeat starts with it.
    pub opens_repeat: bool,
    /// An ending starts with it, for these passes.
    pub endings: Vec<u8>,
    /// An ending stops with it.
    pub ending_stop: Option<EndingStop>,
    /// A repeat ends with it: how often it is played in all.
    pub closes_repeat: Option<Times>,
    /// How heavy its right bar line is.
    pub stroke: Stroke,
    /// The jumps.
    pub jumps: Vec<Jump>,
}

/// How an ending stops.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EndingStop {
    /// The passes it was for.
    pub endings: Vec<u8>,
    /// Whether it goes back; else the music goes on and its bracket stays open.
    pub goes_back: bool,
}

/// A bar of the page with what it takes from its surroundings.
#[derive(Debug, Clone, Copy)]
pub(super) struct PageBar<'a> {
    pub bar: &'a Bar,
    pub section: usize,
    /// Whether a section begins with it.
    pub heads: bool,
    /// Whether a line of the chart begins with it.
    pub begins_line: bool,
    pub meter: Meter,
    pub key: Option<Key>,
    pub tempo: Option<Tempo>,
}

/// Every bar of the page.
pub(super) fn page(chart: &Chart) -> Vec<PageBar<'_>> {
    let mut held = chart.at_first();
    let mut tempo = tempo(held);
    let mut page = Vec::new();
    for (number, section) in chart.sections().iter().enumerate() {
        let mut heads = true;
        for line in &section.lines {
            held = line.changes.after(held);
            if line.changes.tempo.is_some() {
                tempo = self::tempo(held);
            }
            for (at, bar) in line.bars.iter().enumerate() {
                page.push(PageBar {
                    bar,
                    section: number,
                    heads,
                    begins_line: at == 0,
                    meter: bar.meter.or(held.meter).unwrap_or(Meter::COMMON),
                    key: held.key,
                    tempo,
                });
                heads = false;
            }
        }
    }
    page
}

/// The tempo that holds, in beats of the meter that holds.
fn tempo(held: LineChanges) -> Option<Tempo> {
    let (beats, meter) = (held.tempo?, held.meter.unwrap_or(Meter::COMMON));
    Some(Tempo { beats, meter })
}

/// The signs of bars that are written one after the other. Jumps mean nothing where `play` has said
/// where to go.
pub(super) fn signs(bars: &[PageBar<'_>], jumps: bool) -> Vec<BarSigns> {
    let mut all: Vec<BarSigns> = bars.iter().map(|page| of(page.bar, jumps)).collect();
    let mut open: Option<Vec<u8>> = None;
    for at in 0..all.len() {
        let next = bars.get(at + 1);
        let over = next.is_none_or(|next| {
            next.heads || !next.bar.opens.endings.is_empty() || next.bar.opens.repeat
        });
        let Some(signs) = all.get_mut(at) else { break };
        if !signs.endings.is_empty() {
            open = Some(signs.endings.clone());
        }
        let goes_back = signs.closes_repeat.is_some();
        if over || goes_back || signs.stroke != Stroke::Single {
            signs.ending_stop = open.take().map(|endings| EndingStop { endings, goes_back });
        }
    }
    all
}

fn of(bar: &Bar, jumps: bool) -> BarSigns {
    let words = bar.jumps.iter().filter(|_| jumps);
    BarSigns {
        opens_repeat: bar.opens.repeat,
        endings: bar.opens.endings.clone(),
        ending_stop: None,
        closes_repeat: bar.closes.repeat,
        stroke: bar.closes.stroke,
        jumps: words.map(|marked| marked.jump).collect(),
    }
}
