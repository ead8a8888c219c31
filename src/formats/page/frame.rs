//! The frame of a page: the room inside its margins, and the line at its foot.

use super::drawing::Length;
use super::font::Face;
use super::heading::{cut, title};
use super::page_options::Paper;
use super::pen::{PagePen, SPACE};
use crate::score::Score;

/// The margin of the paper in micrometres.
pub(super) const MARGIN: i32 = 13_000;
const FOOTER: Length = 2000;

/// The room inside the margins of a paper on which a staff space has some size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct PageFrame {
    /// One staff space in micrometres.
    pub space: i32,
    /// Width and height inside the margins.
    pub room: (Length, Length),
    /// How far right and down the room begins.
    pub corner: Length,
}

impl PageFrame {
    /// The frame on a paper.
    pub fn of(paper: Paper, space: i32) -> Self {
        let scaled =
            |length: i32| (i64::from(length) * i64::from(SPACE) / i64::from(space)) as Length;
        let (wide, high) = paper.size();
        let room = (scaled(wide - 2 * MARGIN), scaled(high - 2 * MARGIN));
        Self {
            space,
            room,
            corner: scaled(MARGIN),
        }
    }

    /// How far down music may reach.
    pub const fn bottom(&self) -> Length {
        self.corner + self.room.1 - FOOTER
    }

    /// The title, and which page of how many it is.
    pub fn foot(&self, pen: &mut PagePen, score: &Score, (number, count): (usize, usize)) {
        let title = cut(title(score), 1600, self.room.0 - 14_000);
        let words = format!("{title}  {number}/{count}");
        let middle = self.corner + self.room.0 / 2;
        let y = self.corner + self.room.1 + 500;
        pen.text_around(&words, Face::Text, 1600, middle, y);
    }

    /// Words below the foot.
    pub fn below_foot(&self, pen: &mut PagePen, words: &str) {
        let middle = self.corner + self.room.0 / 2;
        let y = self.corner + self.room.1 + 2200;
        let wide = Face::Text.font().width(words, 1300).max(1);
        let size = (i64::from(self.room.0) * 1300 / i64::from(wide)).min(1300) as Length;
        pen.text_around(words, Face::Text, size, middle, y);
    }
}
