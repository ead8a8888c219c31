//! The head of the first page: title, style, tempo, author.

use super::drawing::Length;
use super::font::Face;
use super::pen::PagePen;
use crate::score::{Score, Tempo};

/// The head of a page.
#[derive(Debug)]
pub(super) struct Heading<'a> {
    score: &'a Score,
    /// The lines of the title with their sizes.
    lines: Vec<(String, Length)>,
    room: Length,
}

/// The title of a score.
pub(super) fn title(score: &Score) -> &str {
    score.title.as_deref().unwrap_or("untitled")
}

impl<'a> Heading<'a> {
    /// The head of a page that is so wide inside its margins.
    pub fn new(score: &'a Score, room: Length) -> Self {
        Self {
            score,
            lines: fitted(title(score), room),
            room,
        }
    }

    /// The height it takes.
    pub fn height(&self) -> Length {
        self.lines
            .iter()
            .map(|(_, size)| size + 900)
            .sum::<Length>()
            + 4200
    }

    /// Draws the title, and under it style and tempo on the left, the author or the band on the right.
    pub fn draw(&self, pen: &mut PagePen, left: Length, top: Length) {
        let mut y = top;
        for (line, size) in &self.lines {
            y += size * 8 / 10;
            pen.text_around(line, Face::Bold, *size, left + self.room / 2, y);
            y += size * 2 / 10 + 900;
        }
        y += 2000;
        let mut x = left;
        if let Some(style) = self.said(&["style", "feel"]) {
            x = pen.text(style, Face::Text, 2000, x, y) + 1200;
        }
        if let Some(tempo) = self.score.tempo {
            tempo_mark(pen, tempo, x, y);
        }
        if let Some(author) = self.said(&["composer", "by", "band"]) {
            pen.text_to(author, Face::Text, 2000, left + self.room, y);
        }
    }

    fn said(&self, names: &[&str]) -> Option<&str> {
        let found = self
            .score
            .remarks
            .iter()
            .find(|(name, _)| names.contains(&name.as_str()));
        found.map(|(_, value)| value.as_str())
    }
}

/// A note of the beat's length, and how many a minute; gives its right edge.
pub(super) fn tempo_mark(pen: &mut PagePen, tempo: Tempo, x: Length, y: Length) -> Length {
    let meter = tempo.meter;
    let sign = match (meter.is_compound(), meter.lower()) {
        (false, 2) => "metNoteHalfUp",
        (false, 8 | 16) => "metNote8thUp",
        _ => "metNoteQuarterUp",
    };
    pen.sized_sign(sign, x, y, 3000);
    if meter.is_compound() {
        pen.sized_sign("augmentationDot", x + 1200, y, 3000);
    }
    pen.text(
        &format!("= {}", tempo.beats),
        Face::Text,
        2000,
        x + if meter.is_compound() { 1800 } else { 1400 },
        y,
    )
}

/// A title in one line as large as fits, or in two smaller ones.
fn fitted(title: &str, room: Length) -> Vec<(String, Length)> {
    const LARGE: Length = 4600;
    const SMALL: Length = 3000;
    let wide = Face::Bold.font().width(title, LARGE).max(1);
    let size =
        (i64::from(LARGE) * i64::from(room) / i64::from(wide)).min(i64::from(LARGE)) as Length;
    if size >= SMALL {
        return vec![(title.to_owned(), size)];
    }
    let mut lines = vec![String::new()];
    for word in title.split_whitespace() {
        let longer = lines.last().map_or(String::new(), |line| {
            format!("{line} {word}").trim().to_owned()
        });
        let fits = Face::Bold.font().width(&longer, SMALL) <= room;
        match lines.last_mut() {
            Some(line) if fits || line.is_empty() => *line = longer,
            _ => lines.push(word.to_owned()),
        }
    }
    lines.truncate(3);
    lines
        .into_iter()
        .map(|line| (cut(&line, SMALL, room), SMALL))
        .collect()
}

/// A text cut off with an ellipsis where it is too wide.
pub(super) fn cut(text: &str, size: Length, room: Length) -> String {
    if Face::Bold.font().width(text, size) <= room {
        return text.to_owned();
    }
    let mut shorter = text.to_owned();
    while !shorter.is_empty() && Face::Bold.font().width(&shorter, size) + size > room {
        shorter.pop();
    }
    shorter + "…"
}
