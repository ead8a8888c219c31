//! The table of the formats an arrangement can be written in.

use super::{Style, grid, json, midi, musicxml, page, sound, text};
use crate::arrange::Arrangement;
use crate::score::{Score, Timeline};

/// A format an arrangement can be written in.
#[derive(Debug, Clone, Copy)]
pub struct Writer {
    /// The name it is asked for by.
    pub name: &'static str,
    /// The ending of its files.
    pub ending: &'static str,
    /// How its bytes come about; text ends in a line feed.
    pub write: Write,
}

/// How the bytes of a format come about.
#[derive(Debug, Clone, Copy)]
pub enum Write {
    /// From the arrangement.
    Plain(fn(&Arrangement, &Style) -> Vec<u8>),
    /// From the drawing of its pages.
    Drawn(fn(&page::Drawing) -> Vec<u8>),
    /// As it sounds, unless that would take too long.
    Heard(fn(&Arrangement, &Style) -> Result<Vec<u8>, sound::TooLong>),
}

/// A chart with the left hand under the symbols.
pub static TEXT: Writer = Writer {
    name: "text",
    ending: "chart",
    write: Write::Plain(|arrangement, style| text(arrangement, style).into()),
};

/// One JSON object a chart.
pub static JSON: Writer = Writer {
    name: "json",
    ending: "json",
    write: Write::Plain(|arrangement, style| json(arrangement, style).into()),
};

/// Pitches against time, to be printed.
pub static GRID: Writer = Writer {
    name: "grid",
    ending: "txt",
    write: Write::Plain(|arrangement, style| grid(arrangement, style).into()),
};

/// A score for notation programs (MusicXML 4.0).
pub static MUSICXML: Writer = Writer {
    name: "musicxml",
    ending: "musicxml",
    write: Write::Plain(|arrangement, _| musicxml::musicxml(&Score::of(arrangement)).into()),
};

/// The performance for sequencers (Standard MIDI File).
pub static MIDI: Writer = Writer {
    name: "midi",
    ending: "mid",
    write: Write::Plain(|arrangement, style| midi::midi(arrangement, &style.performing)),
};

/// The page in staff notation, as a picture.
pub static SVG: Writer = Writer {
    name: "svg",
    ending: "svg",
    write: Write::Drawn(|drawing| page::svg(drawing).into()),
};

/// The page in staff notation, to be printed.
pub static PDF: Writer = Writer {
    name: "pdf",
    ending: "pdf",
    write: Write::Drawn(page::pdf),
};

/// The performance as sound.
pub static WAV: Writer = Writer {
    name: "wav",
    ending: "wav",
    write: Write::Heard(|arrangement, style| {
        sound::wav(&Timeline::of(arrangement, &style.performing), style.sound)
    }),
};

/// Every format.
pub static WRITERS: [&Writer; 8] = [&TEXT, &JSON, &GRID, &MUSICXML, &MIDI, &SVG, &PDF, &WAV];

#[cfg(test)]
mod tests {
    use super::WRITERS;

    #[test]
    fn names_and_endings_are_told_apart() {
        for (at, one) in WRITERS.iter().enumerate() {
            for other in &WRITERS[at + 1..] {
                assert_ne!(one.name, other.name);
                assert_ne!(one.ending, other.ending);
            }
        }
    }
}
