//! Slots: the chart as a row of chords that each want one voicing.

use std::sync::Arc;

use super::{Bar, Beats, Cell, Chart, Chords, MelodyNote, MiddleC, Span, Wish, melody};
use crate::chord::Symbol;
use crate::pitch::{Note, Pitch};

/// One chord in one written bar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slot {
    /// Its place among all slots, from 0.
    pub index: usize,
    /// The name of its section, empty for music before any heading.
    pub section: Arc<str>,
    /// The written bar, counted from 1.
    pub bar: usize,
    /// The beat it starts on, from 1.
    pub beat: Beats,
    /// How many beats it lasts.
    pub beats: Beats,
    /// How many beats its bar has.
    pub bar_beats: Beats,
    /// The chord, or silence. Under `%` it is the chord that is repeated.
    pub symbol: Arc<Symbol>,
    /// Whether the chart says that nothing is to take its place.
    pub held: bool,
    /// What the `lh` line asks for.
    pub wish: Wish,
    /// The pitches of the melody that sound during the slot, rising, each once; a note begun earlier
    /// and still sounding is among them.
    pub melody: Vec<Pitch>,
    /// The same notes with their names and lengths, in the order they sound.
    pub melody_notes: Vec<MelodyNote>,
    /// How its chart counts octaves, for whoever prints a note of it.
    pub middle_c: MiddleC,
    /// Where it stands in the model.
    pub place: Place,
    /// Its symbol in the source; under `%`, the bar.
    pub span: Span,
    /// Its `lh` entry in the source, or the one for its whole bar; `None` where there is none.
    pub hand_span: Option<Span>,
}

impl Slot {
    /// Whether it has a chord whose voicing is still to be planned.
    pub fn is_open(&self) -> bool {
        matches!(self.wish, Wish::Plan(_)) && self.symbol.chord().is_some()
    }

    /// How the page spells a key that its hand or its melody plays here; `None` where neither does.
    pub fn spelled(&self, pitch: Pitch) -> Option<Note> {
        let hand = match &self.wish {
            Wish::Given(notes) => &**notes,
            _ => &[],
        };
        let melody = self.melody_notes.iter().map(|heard| heard.note);
        let mut notes = hand.iter().copied().chain(melody);
        notes.find(|note| note.pitch() == Some(pitch))
    }

    /// A key that the hand or the melody plays here, in the words of the page: as it spells and numbers it.
    ///
    /// ```
    /// let slots = compline::chart::read("middle-c: C3\n| Gb7 |\nmel | Db4:4 |").unwrap().slots();
    /// assert_eq!(slots[0].written(slots[0].melody[0]), "Db4");
    /// ```
    pub fn written(&self, key: Pitch) -> String {
        self.middle_c.named(key, self.spelled(key))
    }
}

/// Where a slot stands in the model, by index.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// In [`Chart::sections`].
    pub section: usize,
    /// In the section's lines.
    pub line: usize,
    /// In the line's bars.
    pub bar: usize,
    /// Among the bar's chords.
    pub chord: usize,
}

impl Chart {
    /// One slot for every chord of every written bar, in the order they are written.
    ///
    /// ```
    /// let chart = compline::chart::read("| Dm7 G7 | % |\nmel | F4:4 | r:4 |").unwrap();
    /// let slots = chart.slots();
    /// assert_eq!(slots.len(), 4);
    /// assert_eq!((slots[3].bar, slots[3].beat.to_string().as_str()), (2, "3"));
    /// assert_eq!(slots[1].melody[0].midi(), 65);
    /// ```
    pub fn slots(&self) -> Vec<Slot> {
        let mut slots = Vec::with_capacity(self.slot_places().len());
        let melodies = melody::melodies(&self.bars().collect::<Vec<&Bar>>());
        let middle_c = self.header.middle_c();
        let names = self.sections.iter().map(|section| section.name.as_deref());
        let names: Vec<Arc<str>> = names.map(|name| name.unwrap_or("").into()).collect();
        let bars = self.bars_with_chords().zip(&melodies);
        for (index, ((at, bar, cells), melody)) in bars.enumerate() {
            if let Some(name) = names.get(at.section) {
                slots_of(bar, cells, melody, (index + 1, name, at), &mut slots);
            }
        }
        for slot in &mut slots {
            slot.middle_c = middle_c;
        }
        slots
    }

    /// The places of the slots, in their order.
    pub(super) fn slot_places(&self) -> Vec<Place> {
        let bars = self.bars_with_chords();
        let places = bars
            .flat_map(|(at, _, cells)| (0..cells.len()).map(move |chord| Place { chord, ..at }));
        places.collect()
    }

    /// Every bar with its place (the chord's is 0).
    pub(super) fn placed_bars(&self) -> impl Iterator<Item = (Place, &Bar)> {
        self.sections.iter().enumerate().flat_map(|(section, s)| {
            s.lines.iter().enumerate().flat_map(move |(line, l)| {
                l.bars.iter().enumerate().map(move |(bar, b)| {
                    let chord = 0;
                    let place = Place {
                        section,
                        line,
                        bar,
                        chord,
                    };
                    (place, b)
                })
            })
        })
    }
}

fn slots_of(
    bar: &Bar,
    cells: &[Cell],
    melody: &[MelodyNote],
    (number, name, at): (usize, &Arc<str>, Place),
    to: &mut Vec<Slot>,
) {
    let mut beat = Beats::whole(1);
    for (chord, cell) in cells.iter().enumerate() {
        let end = beat + cell.beats;
        let heard: Vec<MelodyNote> = melody
            .iter()
            .filter(|note| note.beat < end && note.beat + note.beats > beat)
            .copied()
            .collect();
        to.push(Slot {
            index: to.len(),
            section: Arc::clone(name),
            bar: number,
            beat,
            beats: cell.beats,
            bar_beats: Beats::whole(bar.beats.into()),
            symbol: Arc::clone(&cell.symbol),
            held: cell.held,
            wish: wish_of(bar, chord),
            melody: distinct_pitches(&heard),
            melody_notes: heard,
            middle_c: MiddleC::default(),
            place: Place { chord, ..at },
            span: match bar.chords {
                Chords::Written(_) => cell.span,
                Chords::Again => bar.span,
            },
            hand_span: bar.hand_spans.of(chord),
        });
        beat = end;
    }
}

fn wish_of(bar: &Bar, chord: usize) -> Wish {
    let entry = bar.hand.as_ref().and_then(|hand| hand.get(chord));
    entry.cloned().unwrap_or(Wish::PLAN)
}

fn distinct_pitches(melody: &[MelodyNote]) -> Vec<Pitch> {
    let mut pitches: Vec<Pitch> = melody.iter().filter_map(|t| t.note.pitch()).collect();
    pitches.sort_unstable();
    pitches.dedup();
    pitches
}
