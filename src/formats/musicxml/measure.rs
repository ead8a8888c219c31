//! A measure of a part as MusicXML has it, before it is known what of it is melody and what is hand.

use super::read_harmony::{KnownKinds, symbol};
use super::read_note::{ReadNote, decimal};
use super::read_signs::{MeasureSigns, bar_line, direction, sound};
use super::tree::Element;
use crate::chart::Meter;
use crate::formats::report::{
    CROWDED_CHORDS, GRACE_NOTES, KEY_CHANGES, LYRICS, Loss, LossReport, MARKS, MODES, ODD_KEYS,
    OTHER, TRANSPOSITION, UNPITCHED, UNREAD_CHORDS,
};
use crate::formats::song::key_of_signature;
use crate::pitch::{Key, Note};
use crate::score::Quarters;

/// A measure.
#[derive(Debug, Default)]
pub(super) struct Measure {
    /// What the file calls it.
    pub number: String,
    /// The meter in force.
    pub meter: Option<Meter>,
    /// The key that it says.
    pub key: Option<Key>,
    /// How long what stands in it lasts; nothing where nothing does.
    pub length: Quarters,
    pub notes: Vec<MeasureNote>,
    pub chords: Vec<(Quarters, String)>,
    pub signs: MeasureSigns,
}

/// A note.
#[derive(Debug, Clone)]
pub(super) struct MeasureNote {
    pub at: Quarters,
    pub length: Quarters,
    pub note: Note,
    pub voice: u16,
    pub staff: u8,
    /// Whether it is tied to the one before.
    pub tied: bool,
    /// Whether it is tied to the one behind.
    pub ties_on: bool,
}

/// What holds from one measure to the next.
#[derive(Debug)]
pub(super) struct MeasureState {
    divisions: Quarters,
    meter: Option<Meter>,
    /// The key in force.
    key: Option<Key>,
    /// The key that starts with the next measure.
    next_key: Option<Key>,
    pub known: KnownKinds,
    pub report: LossReport,
    /// How many staves the part has.
    pub staves: u8,
}

impl Default for MeasureState {
    fn default() -> Self {
        Self {
            divisions: Quarters::whole(1),
            meter: None,
            key: None,
            next_key: None,
            known: KnownKinds::new(),
            report: LossReport::default(),
            staves: 1,
        }
    }
}

/// Goes through a measure.
struct Cursor<'a> {
    state: &'a mut MeasureState,
    measure: Measure,
    place: String,
    at: Quarters,
    /// Where the note before started.
    last: Quarters,
    /// How often the measure has gone back to another voice.
    layer: usize,
    /// Where the chord symbols stand, with the layer of each.
    symbols: Vec<(Quarters, usize)>,
}

/// Reads a measure.
pub(super) fn measure(
    number: Option<&str>,
    inside: Element<'_>,
    state: &mut MeasureState,
) -> Measure {
    let number = number.unwrap_or("?").to_owned();
    let mut cursor = Cursor {
        place: format!("measure {number}"),
        measure: Measure {
            number,
            key: state.next_key.take(),
            ..Measure::default()
        },
        state,
        at: Quarters::ZERO,
        last: Quarters::ZERO,
        layer: 0,
        symbols: Vec::new(),
    };
    for child in inside.children() {
        cursor.element(child);
    }
    cursor.measure.meter = cursor.state.meter;
    cursor.measure
}

fn bar(meter: Option<Meter>) -> Quarters {
    Quarters::of_bar(meter.unwrap_or(Meter::COMMON))
}

impl Cursor<'_> {
    fn element(&mut self, element: Element<'_>) {
        match element.name() {
            "note" => self.note(element),
            "backup" => {
                self.at = (self.at - self.duration(element)).max(Quarters::ZERO);
                self.layer += 1;
            }
            "forward" => self.forward(element),
            "attributes" => self.attributes(element),
            "harmony" => self.harmony(element),
            "direction" => {
                let report = &mut self.state.report;
                direction(
                    element,
                    self.at,
                    &mut self.measure.signs,
                    (report, &self.place),
                );
            }
            "sound" => sound(element, self.at, &mut self.measure.signs),
            "barline" => bar_line(element, &mut self.measure.signs),
            "figured-bass" => self.lose(OTHER),
            _ => {}
        }
    }

    fn lose(&mut self, loss: &'static Loss) {
        self.state.report.add(loss, &self.place);
    }

    fn duration(&self, element: Element<'_>) -> Quarters {
        self.in_quarters(element.text_of("duration").and_then(decimal))
    }

    fn in_quarters(&self, divisions: Option<Quarters>) -> Quarters {
        let divisions = divisions.unwrap_or(Quarters::ZERO);
        Quarters::from(divisions.ratio() / self.state.divisions.ratio())
    }

    fn forward(&mut self, element: Element<'_>) {
        self.at += self.duration(element);
        self.reach();
    }

    fn reach(&mut self) {
        self.measure.length = self.measure.length.max(self.at);
    }

    fn note(&mut self, element: Element<'_>) {
        let read = ReadNote::of(element);
        if read.grace {
            return self.lose(GRACE_NOTES);
        }
        let mut length = self.in_quarters(read.duration);
        if read.whole_rest && self.state.meter.is_some() && self.at == Quarters::ZERO {
            length = length.min(bar(self.state.meter));
        }
        let start = if read.chord { self.last } else { self.at };
        if !read.chord {
            self.last = self.at;
            self.at += length;
            self.reach();
        }
        if read.cue {
            return self.lose(OTHER);
        }
        let report = &mut self.state.report;
        report.add_many(LYRICS, read.lyrics, &self.place);
        report.add_many(MARKS, read.marks, &self.place);
        if read.unpitched {
            return self.lose(UNPITCHED);
        }
        self.measure
            .notes
            .extend(read.pitch.map(|note| MeasureNote {
                at: start,
                length,
                note,
                voice: read.voice.unwrap_or(1),
                staff: read.staff.unwrap_or(1),
                tied: read.tied,
                ties_on: read.ties_on,
            }));
    }

    fn attributes(&mut self, element: Element<'_>) {
        if let Some(divisions) = element.text_of("divisions").and_then(decimal)
            && divisions > Quarters::ZERO
        {
            self.state.divisions = divisions;
        }
        if let Some(staves) = element.number("staves") {
            self.state.staves = staves;
        }
        if element.has("transpose") {
            self.lose(TRANSPOSITION);
        }
        if let Some(key) = element.child("key") {
            self.key(key);
        }
        if let Some(time) = element.child("time") {
            self.state.meter = meter(time).or(self.state.meter);
        }
    }

    fn key(&mut self, element: Element<'_>) {
        let mode = element.text_of("mode").unwrap_or("major");
        let fifths: Option<i32> = element.number("fifths");
        let key = fifths.and_then(|fifths| key_of_signature(fifths, mode));
        // Another staff's or another voice's is no key of the melody.
        let other_staff = element
            .attribute("number")
            .is_some_and(|staff| staff != "1");
        let Some((key, plain)) = key.filter(|_| !other_staff && self.layer == 0) else {
            return self.lose(ODD_KEYS);
        };
        if !plain {
            self.lose(MODES);
        }
        if self.state.key.replace(key) == Some(key) {
            return;
        }
        match self.at == Quarters::ZERO {
            true => self.measure.key = Some(key),
            false => {
                self.state.next_key = Some(key);
                self.lose(KEY_CHANGES);
            }
        }
    }

    fn harmony(&mut self, element: Element<'_>) {
        let moved = self.in_quarters(element.text_of("offset").and_then(decimal));
        let at = (self.at + moved).max(Quarters::ZERO);
        if element.has("frame") {
            self.lose(OTHER);
        }
        match symbol(element, self.state.key, &mut self.state.known) {
            Some((text, loss)) => {
                if let Some(loss) = loss {
                    self.lose(loss);
                }
                self.chord(at, text);
            }
            None => self.lose(UNREAD_CHORDS),
        }
    }
}

impl Cursor<'_> {
    /// Symbols of two voices at one place are two people's: the first one's counts.
    fn chord(&mut self, at: Quarters, text: String) {
        let taken = |(place, layer): &(Quarters, usize)| *place == at && *layer != self.layer;
        if self.symbols.iter().any(taken) {
            let same = |(place, known): &(Quarters, String)| *place == at && *known == text;
            if !self.measure.chords.iter().any(same) {
                self.lose(CROWDED_CHORDS);
            }
            return;
        }
        self.symbols.push((at, self.layer));
        self.measure.chords.push((at, text));
    }
}

/// The meter of a time signature; parts that are added, such as 3+2, are added up.
fn meter(time: Element<'_>) -> Option<Meter> {
    let sum = |text: &str| {
        text.split('+')
            .map(|part| part.trim().parse::<u8>().ok())
            .sum()
    };
    let upper: Option<u8> = sum(time.text_of("beats")?);
    Meter::new(upper?, time.number("beat-type")?)
}
