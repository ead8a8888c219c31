//! A drawing: what stands where on the pages. One list under both formats, SVG and PDF, and under every view.
//!
//! Lengths are whole thousandths of a staff space, the distance between two lines of a staff; x points right, y down, from
//! the upper left corner of the paper. A staff space measures [`DrawnPage::space`] micrometres.

use super::font::Face;

/// Milli of a staff space.
pub type Length = i32;

/// A place on the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Point {
    /// From the left edge.
    pub x: Length,
    /// From the upper edge.
    pub y: Length,
}

/// One thing that is drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Item {
    /// A text in one face and size, its first letter's origin on the baseline at `at`. A sign of music is a text of one
    /// character in [`Face::Signs`]; those are drawn at size 4000, four staff spaces, unless they are smaller.
    Text {
        /// Where the first letter begins, on the baseline.
        at: Point,
        /// The font.
        face: Face,
        /// The size of the font.
        size: Length,
        /// What is written.
        text: String,
    },
    /// A black rectangle.
    Rectangle {
        /// The upper left corner.
        at: Point,
        /// To the right.
        width: Length,
        /// Downwards.
        height: Length,
        /// How dark: 1000 is black, 0 is white.
        ink: i32,
    },
    /// A closed black shape.
    Path {
        /// Where it starts.
        start: Point,
        /// The way round.
        segments: Vec<Segment>,
    },
}

/// One side of a path.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Segment {
    /// A straight line to a point.
    Line(Point),
    /// A cubic curve: two control points, and the end.
    Curve(Point, Point, Point),
}

/// One page: its marks, and how large they are.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DrawnPage {
    /// One staff space in micrometres.
    pub space: i32,
    /// The marks, in the order they are drawn in.
    pub marks: Vec<Item>,
}

/// The pages of a document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drawing {
    /// The title in the document's properties.
    pub title: String,
    /// Width and height of the paper in micrometres.
    pub paper: (i32, i32),
    /// The pages.
    pub pages: Vec<DrawnPage>,
}

impl DrawnPage {
    /// A length in micrometres in thousandths of a staff space.
    pub fn scaled(&self, micrometres: i32) -> Length {
        (i64::from(micrometres) * 1000 / i64::from(self.space.max(1))) as Length
    }
}
