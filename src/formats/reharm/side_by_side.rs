//! Pages beside each other, bar by bar.

use std::fmt::Write;

use unicode_width::UnicodeWidthStr;

use crate::chart::bar_sharing::slashes;
use crate::chart::{Beats, Chart, Slot};

/// Between two columns.
const GAP: &str = "  ";

/// The narrowest a column of chords is made.
const NARROWEST: usize = 8;

/// What stands where a bar is as it was, as in a `was` row.
const SAME: &str = "-";

/// Pages of one form beside each other.
pub(super) struct SideBySide {
    /// What stands over each column of chords.
    heads: Vec<String>,
    /// The bars in order.
    bars: Vec<ComparedBar>,
}

struct ComparedBar {
    /// The section that begins with it, if one does.
    section: Option<String>,
    number: usize,
    /// For each page what stands in it: symbols and slashes.
    cells: Vec<Vec<String>>,
}

impl SideBySide {
    /// A page and others made of it, each under its head.
    pub fn of(pages: &[(String, &Chart)]) -> Self {
        let slots: Vec<Vec<Slot>> = pages.iter().map(|(_, page)| page.slots()).collect();
        let first = slots.first().map(Vec::as_slice).unwrap_or_default();
        let mut bars: Vec<ComparedBar> = Vec::new();
        let mut place = None;
        for slot in first {
            if bars.last().is_some_and(|bar| bar.number == slot.bar) {
                continue;
            }
            let begins = place != Some(slot.place.section);
            place = Some(slot.place.section);
            bars.push(ComparedBar {
                section: Some(slot.section.to_string()).filter(|name| begins && !name.is_empty()),
                number: slot.bar,
                cells: cells(&slots, slot.bar),
            });
        }
        Self {
            heads: pages.iter().map(|(head, _)| head.clone()).collect(),
            bars,
        }
    }

    /// As text no wider than this, where the symbols allow.
    pub fn text(&self, width: usize) -> String {
        let widths = self.widths(width);
        let mut text = String::new();
        self.line(&mut text, "bar", &self.heads, &widths);
        for bar in &self.bars {
            if let Some(section) = &bar.section {
                let _ = writeln!(text, "[{section}]");
            }
            let cells = bar.cells.iter().zip(&widths);
            let cells: Vec<Vec<String>> =
                cells.map(|(cell, width)| wrapped(cell, *width)).collect();
            let height = cells.iter().map(Vec::len).max().unwrap_or(0);
            for at in 0..height {
                let number = if at == 0 {
                    bar.number.to_string()
                } else {
                    String::new()
                };
                let row = cells
                    .iter()
                    .map(|lines| lines.get(at).cloned().unwrap_or_default());
                self.line(&mut text, &number, &row.collect::<Vec<_>>(), &widths);
            }
        }
        text
    }

    fn line(&self, text: &mut String, number: &str, cells: &[String], widths: &[usize]) {
        let mut line = format!("{number:>3}");
        for (cell, width) in cells.iter().zip(widths) {
            let space = width.saturating_sub(cell.width());
            let _ = write!(line, "{GAP}{cell}{}", " ".repeat(space));
        }
        let _ = writeln!(text, "{}", line.trim_end());
    }

    /// Each column as wide as its longest bar, or where that is too much no wider than its share.
    fn widths(&self, width: usize) -> Vec<usize> {
        let columns = 0..self.heads.len();
        let longest = columns.map(|column| {
            let cell = |bar: &ComparedBar| {
                bar.cells
                    .get(column)
                    .map_or(0, |cell| cell.join(" ").width())
            };
            let head = self.heads.get(column).map_or(0, |head| head.width());
            self.bars.iter().map(cell).chain([head]).max().unwrap_or(0)
        });
        let longest: Vec<usize> = longest.collect();
        let room = width.saturating_sub(3 + GAP.len() * longest.len());
        if longest.iter().sum::<usize>() <= room {
            return longest;
        }
        let share = (room / longest.len().max(1)).max(NARROWEST);
        longest.iter().map(|wide| *wide.min(&share)).collect()
    }
}

/// What stands in a bar of each page; in all but the first what is as it was is only marked.
fn cells(pages: &[Vec<Slot>], number: usize) -> Vec<Vec<String>> {
    let mut cells: Vec<Vec<String>> = Vec::new();
    for slots in pages {
        let here: Vec<&Slot> = slots.iter().filter(|slot| slot.bar == number).collect();
        let cell = bar(&here);
        let same = cells.first() == Some(&cell);
        cells.push(if same { vec![SAME.to_owned()] } else { cell });
    }
    cells
}

/// The symbols of a bar, a slash for every beat more where they don't share it equally.
fn bar(slots: &[&Slot]) -> Vec<String> {
    let lengths: Vec<Beats> = slots.iter().map(|slot| slot.beats).collect();
    let beats = lengths.iter().copied().sum::<Beats>().numerator();
    let slashes = u8::try_from(beats)
        .ok()
        .and_then(|beats| slashes(&lengths, beats));
    debug_assert!(slashes.is_some(), "a page's bars are written: {lengths:?}");
    let slashes = slashes.into_iter().flatten().chain(std::iter::repeat(0));
    let mut words = Vec::new();
    for (slot, slashes) in slots.iter().zip(slashes) {
        words.push(slot.symbol.text().to_owned());
        words.extend(vec!["/".to_owned(); slashes.into()]);
    }
    words
}

/// Words in lines of at most so many columns; one that is longer stands alone.
fn wrapped(words: &[String], width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words {
        match lines.last_mut() {
            Some(line) if line.width() + 1 + word.width() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.clone()),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::read;

    fn page() -> SideBySide {
        let one = read("[A]\n| Dm7 | G7 / / Db7 |\n[B]\n| C6 |").unwrap();
        let other = read("[A]\n| Dm7 | Abm7 Db7 |\n[B]\n| C6 Am7b5 |").unwrap();
        SideBySide::of(&[
            ("as written".to_owned(), &one),
            ("1 bold".to_owned(), &other),
        ])
    }

    #[test]
    fn bars_stand_beside_each_other_and_what_stays_is_marked() {
        let wanted = "bar  as written  1 bold\n[A]\n  1  Dm7         -\n  2  G7 / / Db7  Abm7 Db7\n[B]\n  3  C6          C6 Am7b5\n";
        assert_eq!(page().text(80), wanted);
    }

    #[test]
    fn narrow_pages_break_their_bars() {
        let text = page().text(24);
        assert!(text.lines().all(|line| line.width() <= 24), "{text}");
        assert!(
            text.contains("  2  G7 / /    Abm7 Db7\n     Db7\n"),
            "{text}"
        );
    }
}
