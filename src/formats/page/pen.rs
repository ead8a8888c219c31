//! The pen: the few strokes that every part of a page is drawn with.

use super::drawing::{Item, Length, Point, Segment};
use super::font::{Face, Glyph};

/// One staff space, the distance between two lines of a staff.
pub(super) const SPACE: Length = 1000;

/// The size of signs: an em of the music font is four staff spaces, as SMuFL says.
pub(super) const SIGN_SIZE: Length = 4 * SPACE;

/// Collects the marks of a page.
#[derive(Debug, Default)]
pub(super) struct PagePen {
    /// What has been drawn.
    pub marks: Vec<Item>,
}

impl PagePen {
    /// A sign by its SMuFL name at its usual size.
    pub fn sign(&mut self, name: &str, x: Length, y: Length) {
        self.sized_sign(name, x, y, SIGN_SIZE);
    }

    /// A sign in another size.
    pub fn sized_sign(&mut self, name: &str, x: Length, y: Length, size: Length) {
        if let Some(code) = Face::Signs.font().named(name) {
            let (at, text) = (Point { x, y }, code.to_string());
            self.marks.push(Item::Text {
                at,
                face: Face::Signs,
                size,
                text,
            });
        }
    }

    /// A text that begins at `x`; gives the place behind it.
    pub fn text(&mut self, text: &str, face: Face, size: Length, x: Length, y: Length) -> Length {
        if !text.is_empty() {
            let at = Point { x, y };
            self.marks.push(Item::Text {
                at,
                face,
                size,
                text: text.to_owned(),
            });
        }
        x + face.font().width(text, size)
    }

    /// A text that ends at `x`.
    pub fn text_to(&mut self, text: &str, face: Face, size: Length, x: Length, y: Length) {
        self.text(text, face, size, x - face.font().width(text, size), y);
    }

    /// A text with its middle at `x`.
    pub fn text_around(&mut self, text: &str, face: Face, size: Length, x: Length, y: Length) {
        self.text(text, face, size, x - face.font().width(text, size) / 2, y);
    }

    /// A black rectangle.
    pub fn rectangle(&mut self, x: Length, y: Length, width: Length, height: Length) {
        let at = Point { x, y };
        self.marks.push(Item::Rectangle {
            at,
            width,
            height,
            ink: 1000,
        });
    }

    /// A closed shape of straight sides.
    pub fn polygon(&mut self, corners: &[Point]) {
        if let [start, rest @ ..] = corners {
            let segments = rest.iter().map(|corner| Segment::Line(*corner)).collect();
            self.marks.push(Item::Path {
                start: *start,
                segments,
            });
        }
    }

    /// A closed shape.
    pub fn shape(&mut self, start: Point, segments: Vec<Segment>) {
        self.marks.push(Item::Path { start, segments });
    }
}

/// The glyph of a sign.
pub(super) fn sign(name: &str) -> Option<&'static Glyph> {
    let font = Face::Signs.font();
    font.named(name).and_then(|code| font.glyph(code))
}

/// How wide a sign is at its usual size.
pub(super) fn width(name: &str) -> Length {
    sign(name).map_or(SPACE, |glyph| glyph.advance * SIGN_SIZE / 1000)
}

/// How far a sign reaches below and above its baseline, both counted upwards.
pub(super) fn reach(name: &str) -> (Length, Length) {
    let scaled = |units: i32| units * SIGN_SIZE / 1000;
    sign(name).map_or((0, SPACE), |glyph| {
        (scaled(glyph.bounds[1]), scaled(glyph.bounds[3]))
    })
}
