//! What a page shows, and on what paper.

/// The paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 210 by 297 mm.
    #[default]
    A4,
    /// 8.5 by 11 inches.
    Letter,
}

/// What stands on the page.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Content {
    /// The melody above, the left hand below, chord symbols over both. Without a melody, the left hand alone.
    #[default]
    Full,
    /// Melody and chord symbols.
    Lead,
    /// The left hand and chord symbols.
    Left,
    /// The note grid: keys against time, the melody as thin bars.
    Grid,
}

/// What stands under the notes of the left hand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Labels {
    /// Nothing.
    #[default]
    None,
    /// What each note is in its chord.
    Degrees,
    /// The name of each note.
    Names,
}

/// How a page is made.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PageOptions {
    /// The paper.
    pub paper: Paper,
    /// What stands on it.
    pub content: Content,
    /// What stands under the left hand.
    pub labels: Labels,
}

impl Paper {
    /// Width and height in micrometres.
    pub const fn size(self) -> (i32, i32) {
        match self {
            Paper::A4 => (210_000, 297_000),
            Paper::Letter => (215_900, 279_400),
        }
    }
}
