//! An arrangement in the format that is asked for.

use anyhow::{Result, bail};
use compline::arrange::Arrangement;
use compline::chart::sizes::MOST_DRAWN_NOTES;
use compline::formats::page::{self, Drawing, PageOptions};
use compline::formats::{Style, Write, Writer};

use super::outcome::Notice;

/// The bytes of it. Pages are looked through for what their fonts lack.
///
/// # Errors
///
/// A sound that would last too long, pages of too many notes.
pub fn written(
    arrangement: &Arrangement,
    writer: &Writer,
    style: &Style,
) -> Result<(Vec<u8>, Vec<Notice>)> {
    Ok(match writer.write {
        Write::Plain(write) => (write(arrangement, style), Vec::new()),
        Write::Heard(write) => (write(arrangement, style)?, Vec::new()),
        Write::Drawn(write) => {
            let (drawing, notices) = drawing(arrangement, &style.page)?;
            (write(&drawing), notices)
        }
    })
}

/// The drawing of its pages, and what their fonts lack.
///
/// # Errors
///
/// Too many notes.
pub fn drawing(arrangement: &Arrangement, options: &PageOptions) -> Result<(Drawing, Vec<Notice>)> {
    let bars = arrangement.chart.bars();
    let notes: usize = bars
        .map(|bar| bar.melody.as_ref().map_or(0, Vec::len))
        .sum();
    if notes > MOST_DRAWN_NOTES {
        bail!("the melody has {notes} notes, and pages are drawn for up to {MOST_DRAWN_NOTES}");
    }
    let drawing = page::draw(arrangement, options);
    let notices = replaced(&drawing);
    Ok((drawing, notices))
}

/// A notice about the characters that the fonts of the page lack.
fn replaced(drawing: &Drawing) -> Vec<Notice> {
    let lacking: Vec<String> = page::lacking(drawing).iter().map(char::to_string).collect();
    if lacking.is_empty() {
        return Vec::new();
    }
    let what = format!(
        "the fonts of the page lack {}: `?` is printed",
        lacking.join(" ")
    );
    vec![Notice::About {
        kind: "the fonts of the page lack some characters",
        message: what,
        help: None,
    }]
}
