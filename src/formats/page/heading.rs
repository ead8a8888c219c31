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
    /// Whether style and author stand on lines of their own, having no room beside each other.
    parts: bool,
    room: Length,
}

/// The names under which charts say the style and the author.
const STYLE: &[&str] = &["style", "feel"];
const AUTHOR: &[&str] = &["composer", "by", "band"];
/// Room for a tempo, and from one line to the next: the stem of the tempo's note stays below the words above.
const TEMPO: Length = 9000;
const NEXT: Length = 3400;

/// The title of a score.
pub(super) fn title(score: &Score) -> &str {
    score.title.as_deref().unwrap_or("untitled")
}

impl<'a> Heading<'a> {
    /// The head of a page that is so wide inside its margins.
    pub fn new(score: &'a Score, room: Length) -> Self {
        let wide = |names: &[&str]| {
            let text = said(score, names).unwrap_or_default();
            Face::Text.font().width(text, 2000)
        };
        Self {
            score,
            lines: fitted(title(score), room),
            parts: wide(STYLE) + TEMPO + wide(AUTHOR) > room,
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
            + if self.parts { NEXT } else { 0 }
    }

    /// Draws the title, and under it style and tempo on the left, the author or the band on the right.
    pub fn draw(&self, pen: &mut PagePen, left: Length, top: Length) {
        let mut y = top;
        for (line, size) in &self.lines {
            y += size * 8 / 10;
            pen.text_around(line, Face::Bold, *size, left + self.room / 2, y);
            y += size * 2 / 10 + 900;
        }
        if let Some(author) = self.said(AUTHOR) {
            let author = cut(author, 2000, self.room);
            pen.text_to(&author, Face::Text, 2000, left + self.room, y + 2000);
        }
        y += 2000 + if self.parts { NEXT } else { 0 };
        let mut x = left;
        if let Some(style) = self.said(STYLE) {
            let style = cut(style, 2000, self.room - TEMPO);
            x = pen.text(&style, Face::Text, 2000, x, y) + 1200;
        }
        if let Some(tempo) = self.score.tempo {
            tempo_mark(pen, tempo, x, y);
        }
    }

    fn said(&self, names: &[&str]) -> Option<&str> {
        said(self.score, names)
    }
}

/// What the chart says under one of these names.
fn said<'a>(score: &'a Score, names: &[&str]) -> Option<&'a str> {
    let mut remarks = score.remarks.iter();
    let found = remarks.find(|(name, _)| names.contains(&name.as_str()));
    found.map(|(_, value)| value.as_str())
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
    let at = x + tempo_sign_width(tempo);
    pen.text(&format!("= {}", tempo.beats), Face::Text, 2000, at, y)
}

/// How wide the mark of a tempo is.
pub(super) fn tempo_width(tempo: Tempo) -> Length {
    let beats = format!("= {}", tempo.beats);
    tempo_sign_width(tempo) + Face::Text.font().width(&beats, 2000)
}

const fn tempo_sign_width(tempo: Tempo) -> Length {
    if tempo.meter.is_compound() {
        1800
    } else {
        1400
    }
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
