//! Chord by chord inside a bar: what belongs to a chord stands under it.

use unicode_width::UnicodeWidthStr;

use super::strip::{BarWords, Strip, padded};

/// Pads the words of a line's rows so that the rows with the same number of them in a bar stand in
/// columns. Rows with another number (one `?` for all chords, a `%`) stay as they are.
pub(super) fn align(strips: &mut [Strip]) {
    let bars = strips
        .iter()
        .map(|strip| strip.bars.len())
        .max()
        .unwrap_or(0);
    for bar in 0..bars {
        let mut words: Vec<&mut BarWords> = strips
            .iter_mut()
            .filter_map(|strip| Some(&mut strip.bars.get_mut(bar)?.words))
            .filter(|words| !words.each.is_empty())
            .collect();
        words.sort_by_key(|words| words.each.len());
        for rows in words.chunk_by_mut(|a, b| a.each.len() == b.each.len()) {
            align_rows(rows);
        }
    }
}

fn align_rows(rows: &mut [&mut BarWords]) {
    let before = rows.iter().map(|row| row.before.width()).max().unwrap_or(0);
    let count = rows.first().map_or(0, |row| row.each.len());
    for row in rows.iter_mut() {
        pad(&mut row.before, before);
    }
    for at in 0..count {
        let widths = rows.iter().filter_map(|row| row.each.get(at));
        let width = widths.map(|word| word.width()).max().unwrap_or(0);
        for row in rows.iter_mut() {
            let last = at + 1 == count;
            if let Some(word) = row.each.get_mut(at).filter(|_| !last) {
                pad(word, width);
            }
        }
    }
}

/// Pads the words of a bar so that they stand under those of the row above that has as many, the lowest
/// such row.
pub(super) fn stand_under(words: &mut BarWords, bar: usize, strips: &[Strip]) {
    let rows = strips.iter().rev().filter_map(|strip| strip.bars.get(bar));
    let mut alike = rows.filter(|above| above.words.each.len() == words.each.len());
    let Some(above) = alike.next().map(|above| &above.words) else {
        return;
    };
    pad(&mut words.before, above.before.width());
    let last = words.each.len().saturating_sub(1);
    for (word, above) in words.each.iter_mut().zip(&above.each).take(last) {
        pad(word, above.width());
    }
}

fn pad(word: &mut String, width: usize) {
    let text = std::mem::take(word);
    padded(&text, width, word);
}
