//! The chords of a bar as the chart language can write them.

use std::sync::Arc;

use num_rational::Ratio;

use super::super::report::{CROWDED_CHORDS, LossReport, MOVED_CHORDS};
use crate::chart::bar_sharing::{equal_share, slashes_of};
use crate::chart::sizes::MOST_CHORDS_IN_A_BAR;
use crate::chart::{Beats, Cell, Span};
use crate::chord::Symbol;

/// A chord and the beat of the bar it starts on, from 0.
pub(super) type PlacedSymbol = (Ratio<i64>, Arc<Symbol>);

/// The most chords a bar can have.
const MOST: i64 = MOST_CHORDS_IN_A_BAR as i64;

/// The cells of a bar of `beats` beats; the first chord starts on beat 0, the others rise.
///
/// Equal shares where they are equal, else slashes where every chord is on a beat. A chord off the beat
/// is moved to the nearest beat where that one is free; else the bar is divided as finely as its chords
/// are, and each chord is written as often as its time has parts.
pub(super) fn cells(
    chords: &[PlacedSymbol],
    beats: u8,
    report: &mut LossReport,
    place: &str,
) -> Vec<Cell> {
    if let Some(cells) = equal(chords, beats).or_else(|| slashed(chords, beats)) {
        return cells;
    }
    let moved = moved(chords, beats);
    if let Some(cells) = slashed(&moved, beats) {
        let off = chords.iter().filter(|(at, _)| *at.denom() > 1).count();
        report.add_many(MOVED_CHORDS, off, place);
        return cells;
    }
    if let Some(cells) = divided(chords, beats) {
        return cells;
    }
    let mut kept: Vec<PlacedSymbol> = Vec::new();
    for (at, symbol) in moved {
        match kept.last() {
            Some((before, _)) if *before >= at => report.add(CROWDED_CHORDS, place),
            _ => kept.push((at, symbol)),
        }
    }
    slashed(&kept, beats).unwrap_or_default()
}

fn cell(symbol: &Arc<Symbol>, slashes: u8, beats: Beats) -> Cell {
    Cell {
        symbol: Arc::clone(symbol),
        slashes,
        beats,
        held: false,
        span: Span::default(),
    }
}

fn equal(chords: &[PlacedSymbol], beats: u8) -> Option<Vec<Cell>> {
    let share = equal_share(chords.len(), beats)?;
    let even = (0..)
        .zip(chords)
        .all(|(number, (at, _))| *at == share.ratio() * number);
    let cells = chords.iter().map(|(_, symbol)| cell(symbol, 0, share));
    even.then(|| cells.collect())
}

/// Where every chord is on a beat of its own.
fn slashed(chords: &[PlacedSymbol], beats: u8) -> Option<Vec<Cell>> {
    let ends = chords.iter().skip(1).map(|(at, _)| *at);
    let ends = ends.chain([Ratio::from(i64::from(beats))]);
    let cells = chords.iter().zip(ends).map(|((at, symbol), end)| {
        let long = end - at;
        let long = Beats::new(*long.numer(), *long.denom())?;
        Some(cell(symbol, slashes_of(long)?, long))
    });
    cells.collect()
}

fn moved(chords: &[PlacedSymbol], beats: u8) -> Vec<PlacedSymbol> {
    let last = Ratio::from(i64::from(beats) - 1);
    let to_beat = |(at, symbol): &PlacedSymbol| (at.round().min(last), Arc::clone(symbol));
    chords.iter().map(to_beat).collect()
}

/// The bar in parts fine enough for every chord, each written in all its parts.
fn divided(chords: &[PlacedSymbol], beats: u8) -> Option<Vec<Cell>> {
    let beats = i64::from(beats);
    let fine = |parts: &i64| {
        let share = Ratio::new(beats, *parts);
        chords.iter().all(|(at, _)| *(at / share).denom() == 1)
    };
    let parts = (1..=MOST / beats).map(|times| times * beats).find(fine)?;
    let share = Beats::new(beats, parts)?;
    let sounding = (0..parts).map(|part| {
        let at = share.ratio() * part;
        let (_, symbol) = chords.iter().rev().find(|(start, _)| *start <= at)?;
        Some(cell(symbol, 0, share))
    });
    sounding.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(chords: &[(i64, i64)], beats: u8) -> String {
        let symbols = ["C", "D", "E", "F", "G"];
        let chords: Vec<PlacedSymbol> = chords
            .iter()
            .zip(symbols)
            .map(|((n, d), s)| (Ratio::new(*n, *d), Arc::new(Symbol::read(s).unwrap())))
            .collect();
        let mut report = LossReport::default();
        let cells = cells(&chords, beats, &mut report, "measure 1");
        let shown = cells
            .iter()
            .map(|cell| format!("{}{}", cell.symbol, "/".repeat(usize::from(cell.slashes))));
        let shown: Vec<String> = shown.collect();
        let sum: Beats = cells.iter().map(|cell| cell.beats).sum();
        assert_eq!(sum, Beats::whole(beats.into()));
        shown.join(" ")
            + &report
                .items()
                .iter()
                .map(|i| format!(" {}", i.kind))
                .collect::<String>()
    }

    #[test]
    fn chords_stand_as_plainly_as_they_can() {
        assert_eq!(shown(&[(0, 1), (2, 1)], 4), "C D");
        assert_eq!(shown(&[(0, 1), (3, 1)], 4), "C// D");
        assert_eq!(shown(&[(0, 1), (1, 1), (2, 1)], 3), "C D E");
        assert_eq!(shown(&[(0, 1), (5, 2)], 4), "C// D moved-chords");
        assert_eq!(shown(&[(0, 1), (1, 2), (1, 1)], 2), "C D E E");
        assert_eq!(shown(&[(0, 1), (7, 2)], 4), "C// D moved-chords");
        assert_eq!(shown(&[(0, 1), (1, 99), (1, 1)], 2), "C E crowded-chords");
    }
}
