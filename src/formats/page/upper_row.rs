//! The upper row over a bar: its section's letter in a box, segno and coda, a new tempo, the bracket of its ending, and how
//! often its repeat is played where the chart says it (`3x` at the end of the bar, common practice, no source).

use super::drawing::Length;
use super::font::Face;
use super::heading::{tempo_mark, tempo_width};
use super::pen::PagePen;
use super::signs::{boxed, boxed_width, ending, ending_width, targets, targets_width};
use crate::chart::Times;
use crate::score::{ScoreBar, Tempo};

/// What follows a box, a tempo, and the last sign of the row.
const BEHIND_BOX: Length = 600;
const BEHIND_TEMPO: Length = 700;
/// The count of a repeat: its size, and how far left of the bar line it ends.
const COUNT_SIZE: Length = 1900;
const COUNT_END: Length = 700;
/// No bar is made wider than this for its upper row: the name of a section may be as long as a line.
const WIDEST: Length = 40_000;

/// What stands in the upper row of a bar.
#[derive(Clone, Copy, Debug)]
pub(super) struct UpperRow<'a> {
    pub bar: &'a ScoreBar,
    /// The tempo, where it is printed here.
    pub tempo: Option<Tempo>,
}

impl UpperRow<'_> {
    /// Whether anything stands in it, apart from an ending that goes on from the bar before.
    pub fn is_used(self) -> bool {
        let signs = &self.bar.signs;
        self.bar.section.is_some()
            || !signs.endings.is_empty()
            || signs.jumps.iter().any(|jump| jump.is_target())
            || self.tempo.is_some()
            || self.count().is_some()
    }

    /// How often the repeat that ends here is played, where the chart says it.
    fn count(self) -> Option<String> {
        match self.bar.signs.closes_repeat? {
            Times::AsUsual => None,
            Times::Count(times) => Some(format!("{times}x")),
        }
    }

    /// How wide the bar has to be, so that its row doesn't run into the next one.
    pub fn width(self) -> Length {
        let section = self.bar.section.as_ref();
        let boxed = section.map_or(0, |name| boxed_width(name) + BEHIND_BOX);
        let tempo = self
            .tempo
            .map_or(0, |tempo| tempo_width(tempo) + BEHIND_TEMPO);
        let count = self.count().map_or(0, |count| {
            Face::Bold.font().width(&count, COUNT_SIZE) + COUNT_END + BEHIND_BOX
        });
        let signs = &self.bar.signs;
        let wide = boxed + targets_width(&signs.jumps) + tempo + ending_width(signs) + count;
        wide.min(WIDEST)
    }

    /// Draws it over a bar from `left` to `right`; says whether an ending is open behind the bar.
    pub fn draw(
        self,
        pen: &mut PagePen,
        (left, right): (Length, Length),
        row: Length,
        in_ending: bool,
    ) -> bool {
        let mut x = left;
        if let Some(name) = &self.bar.section {
            x = boxed(pen, name, x, row) + BEHIND_BOX;
        }
        x = targets(pen, &self.bar.signs.jumps, x, row);
        if let Some(tempo) = self.tempo {
            x = tempo_mark(pen, tempo, x, row) + BEHIND_TEMPO;
        }
        if let Some(count) = self.count() {
            pen.text_to(&count, Face::Bold, COUNT_SIZE, right - COUNT_END, row + 300);
        }
        ending(pen, &self.bar.signs, (x, left, right), row, in_ending)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart;
    use crate::score::Score;

    fn widths(source: &str) -> Vec<(bool, Length)> {
        let arrangement = crate::arrange::arrange(
            chart::read(source).unwrap(),
            &crate::arrange::Settings::default(),
            &mut crate::arrange::Cache::default(),
        );
        let score = Score::of(&arrangement.unwrap());
        let rows = score.bars.iter().map(|bar| UpperRow { bar, tempo: None });
        rows.map(|row| (row.is_used(), row.width())).collect()
    }

    #[test]
    fn a_count_takes_room_and_a_plain_repeat_takes_none() {
        let rows = widths("key: C\n|: C | G :|x3 C | F :|\n");
        assert_eq!(rows[0], (false, 0));
        assert!(rows[1].0 && rows[1].1 > 2000, "{rows:?}");
        assert_eq!(rows[3], (false, 0));
    }

    #[test]
    fn a_long_name_takes_more_than_a_letter_and_not_more_than_all() {
        let rows = widths("key: C\n[A]\n| C |\n[interlude]\n| F |\n");
        assert!(rows[0].1 < rows[1].1 && rows[1].1 < WIDEST, "{rows:?}");
        let name = "x".repeat(200);
        assert_eq!(widths(&format!("key: C\n[{name}]\n| C |\n"))[0].1, WIDEST);
    }
}
