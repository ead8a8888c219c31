//! A note of MusicXML, its elements gone through once.

use super::tree::Element;
use crate::pitch::{Letter, Name, Note};
use crate::score::Quarters;

/// What a note's elements say.
#[derive(Debug, Default)]
pub(super) struct ReadNote {
    pub grace: bool,
    pub cue: bool,
    pub unpitched: bool,
    /// Whether it sounds together with the one before.
    pub chord: bool,
    /// Whether it is a rest for the whole measure.
    pub whole_rest: bool,
    /// Whether it is tied to the one before.
    pub tied: bool,
    /// Whether it is tied to the one behind.
    pub ties_on: bool,
    /// Its length, in divisions.
    pub duration: Option<Quarters>,
    pub pitch: Option<Note>,
    pub voice: Option<u16>,
    pub staff: Option<u8>,
    /// How many syllables are sung to it.
    pub lyrics: usize,
    /// How many marks it has that are neither ties nor tuplets.
    pub marks: usize,
}

impl ReadNote {
    pub(super) fn of(element: Element<'_>) -> Self {
        let mut note = Self::default();
        for child in element.children() {
            note.element(child);
        }
        note
    }

    fn element(&mut self, child: Element<'_>) {
        let text = || child.text().trim();
        match child.name() {
            "grace" => self.grace = true,
            "cue" => self.cue = true,
            "unpitched" => self.unpitched = true,
            "chord" => self.chord = true,
            "rest" => self.whole_rest |= child.says("measure", "yes"),
            "tie" => {
                self.tied |= child.says("type", "stop");
                self.ties_on |= child.says("type", "start");
            }
            "duration" => self.duration = self.duration.or_else(|| decimal(text())),
            "pitch" => self.pitch = self.pitch.or_else(|| pitch(child)),
            "voice" => self.voice = self.voice.or_else(|| text().parse().ok()),
            "staff" => self.staff = self.staff.or_else(|| text().parse().ok()),
            "lyric" => self.lyrics += 1,
            "notations" => self.marks += child.children().filter(is_mark).count(),
            _ => {}
        }
    }
}

fn is_mark(notation: &Element<'_>) -> bool {
    !matches!(notation.name(), "tied" | "tuplet")
}

fn pitch(pitch: Element<'_>) -> Option<Note> {
    let letter = Letter::from_char(pitch.text_of("step")?.chars().next()?)?;
    // Quarter tones are rounded to the key below.
    let alter = pitch
        .text_of("alter")
        .and_then(decimal)
        .unwrap_or(Quarters::ZERO);
    let name = Name::new(
        letter,
        i8::try_from(alter.ratio().floor().to_integer()).ok()?,
    )?;
    let note = Note::new(name, pitch.number("octave")?);
    note.pitch().map(|_| note)
}

/// A number with or without decimals.
pub(super) fn decimal(text: &str) -> Option<Quarters> {
    let (whole, rest) = text.split_once('.').unwrap_or((text, ""));
    let rest = rest.get(..rest.len().min(6))?;
    let parts = 10_i64.checked_pow(u32::try_from(rest.len()).ok()?)?;
    let sign = if whole.starts_with('-') { -1 } else { 1 };
    let whole: i64 = whole
        .parse()
        .ok()
        .filter(|n: &i64| n.unsigned_abs() < 1_000_000_000)?;
    let rest: i64 = if rest.is_empty() {
        0
    } else {
        rest.parse().ok()?
    };
    Some(Quarters::new(whole * parts + sign * rest, parts))
}
