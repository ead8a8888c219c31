//! Bar lines and repeat signs, through all staves of a system.

use super::drawing::Length;
use super::pen::{PagePen, width};
use crate::chart::Stroke;
use crate::score::BarSigns;

/// Thin and thick lines, and the gap between them: `engravingDefaults` of the music font's metadata.
const THIN: Length = 160;
const THICK: Length = 500;
const GAP: Length = 400;

/// The staves a line runs through: the upper edge of each; the last one is the lowest.
#[derive(Clone, Copy, Debug)]
pub(super) struct Through<'a> {
    pub tops: &'a [Length],
}

impl Through<'_> {
    fn upper(&self) -> Length {
        self.tops.first().copied().unwrap_or(0)
    }

    /// From the upper line of the first staff to the lower line of the last.
    pub fn height(&self) -> Length {
        self.tops.last().copied().unwrap_or(0) + 4000 - self.upper()
    }

    fn bar(&self, pen: &mut PagePen, x: Length, thickness: Length) {
        pen.rectangle(x, self.upper(), thickness, self.height());
    }

    fn dots(&self, pen: &mut PagePen, x: Length) {
        for top in self.tops {
            pen.sign("repeatDot", x, top + 1500);
            pen.sign("repeatDot", x, top + 2500);
        }
    }

    /// The thin line in front of a system.
    pub fn front(&self, pen: &mut PagePen, x: Length) {
        self.bar(pen, x, THIN);
    }

    /// A repeat that begins at `x`.
    pub fn open(&self, pen: &mut PagePen, x: Length) {
        self.bar(pen, x, THICK);
        self.bar(pen, x + THICK + GAP / 2, THIN);
        self.dots(pen, x + THICK + GAP + THIN);
    }

    /// The line at the end of a bar, its right edge at `x`.
    pub fn close(&self, pen: &mut PagePen, signs: &BarSigns, last: bool, x: Length) {
        if signs.closes_repeat.is_some() {
            self.bar(pen, x - THICK, THICK);
            self.bar(pen, x - THICK - GAP / 2 - THIN, THIN);
            self.dots(pen, x - THICK - GAP - THIN - width("repeatDot"));
        } else if last || signs.stroke == Stroke::Final {
            self.bar(pen, x - THICK, THICK);
            self.bar(pen, x - THICK - GAP - THIN, THIN);
        } else if signs.stroke == Stroke::Double {
            self.bar(pen, x - THIN, THIN);
            self.bar(pen, x - 2 * THIN - GAP / 2, THIN);
        } else {
            self.bar(pen, x - THIN, THIN);
        }
    }
}
