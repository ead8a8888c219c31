//! The note grid on paper: keys from bottom to top, time from left to right, only the keys in use.
//!
//! Lanes of black keys are grey. A voicing is a row of bars with the degree or the name of each note in it; the melody is a
//! row of thin bars. Systems of four bars or less, as wide as the paper.

use super::drawing::{DrawnPage, Item, Length, Point};
use super::font::Face;
use super::frame::PageFrame;
use super::heading::Heading;
use super::options::Labels;
use super::pen::PagePen;
use super::symbol;
use crate::arrange::Arrangement;
use crate::chart::Beats;
use crate::pitch::{Note, Pitch};
use crate::score::{Quarters, Score, ScoreBar};

/// The height of a key's lane.
const LANE: Length = 1150;
/// Room for the names of the keys on the left, and above the lanes for symbols and section letters.
const NAMES: Length = 4200;
const ABOVE: Length = 4400;
const BETWEEN: Length = 2200;
const BARS: usize = 4;
/// How dark the lanes of black keys are, and the bars of the left hand.
const LANE_INK: i32 = 70;
const BAR_INK: i32 = 320;

/// The keys in use, lowest and highest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct KeyRange {
    low: i32,
    high: i32,
}

/// A note in a bar: from where to where, as shares of the bar, and what is written in it.
struct KeyBar {
    from: Quarters,
    length: Quarters,
    key: i32,
    label: String,
    thin: bool,
    /// Whether it goes on behind: then no gap follows it.
    tied: bool,
}

/// Sets the grid of an arrangement on pages.
pub(super) fn pages(
    arrangement: &Arrangement,
    score: &Score,
    frame: &PageFrame,
    labels: Labels,
) -> Vec<DrawnPage> {
    let heading = Heading::new(score, frame.room.0);
    let bars: Vec<Vec<KeyBar>> = score
        .bars
        .iter()
        .map(|bar| notes(arrangement, bar, labels))
        .collect();
    let keys = KeyRange::of(&bars);
    let high = ABOVE + (keys.high - keys.low + 1) * LANE + BETWEEN;
    let mut pages: Vec<PagePen> = Vec::new();
    let mut y = Length::MAX;
    for start in (0..score.bars.len()).step_by(BARS) {
        if y > frame.bottom() - high {
            let mut pen = PagePen::default();
            y = frame.corner;
            if pages.is_empty() {
                heading.draw(&mut pen, frame.corner, y);
                y += heading.height();
            }
            pages.push(pen);
        }
        if let Some(pen) = pages.last_mut() {
            system(
                pen,
                score,
                &bars,
                start,
                keys,
                (frame.corner, y, frame.room.0),
            );
        }
        y = y.saturating_add(high);
    }
    let count = pages.len();
    let numbered = pages.into_iter().enumerate().map(|(at, mut pen)| {
        frame.foot(&mut pen, score, (at + 1, count));
        DrawnPage {
            space: frame.space,
            marks: pen.marks,
        }
    });
    numbered.collect()
}

impl KeyRange {
    fn of(bars: &[Vec<KeyBar>]) -> KeyRange {
        let keys = || bars.iter().flatten().map(|bar| bar.key);
        let low = keys().min().unwrap_or(48);
        KeyRange {
            low,
            high: keys().max().unwrap_or(low + 12),
        }
    }

    /// How far below the upper edge of the lanes a key's lane begins.
    const fn lane(self, key: i32) -> Length {
        (self.high - key) * LANE
    }
}

/// The notes of a bar: the left hand's with their labels, the melody's without.
fn notes(arrangement: &Arrangement, bar: &ScoreBar, labels: Labels) -> Vec<KeyBar> {
    let slots = arrangement
        .slots
        .iter()
        .filter(|one| one.slot.bar == bar.number);
    let hand = slots.flat_map(|one| {
        let from = Quarters::of_beats(one.slot.beat - Beats::whole(1), bar.meter);
        let length = Quarters::of_beats(one.slot.beats, bar.meter);
        one.voicing
            .iter()
            .flat_map(|voicing| &voicing.notes)
            .map(move |note| KeyBar {
                from,
                length,
                key: i32::from(note.pitch.midi()),
                label: match labels {
                    Labels::Names => note.note.name().to_string(),
                    _ => note.degree.to_string(),
                },
                thin: false,
                tied: false,
            })
    });
    let melody = bar.melody.iter().flat_map(|written| {
        let pitches = written.notes.iter().filter_map(|note| Note::pitch(*note));
        pitches.map(|pitch: Pitch| KeyBar {
            from: written.at,
            length: written.length,
            key: i32::from(pitch.midi()),
            label: String::new(),
            thin: true,
            tied: written.tie.starts,
        })
    });
    hand.chain(melody).collect()
}

/// One line of bars.
fn system(
    pen: &mut PagePen,
    score: &Score,
    notes: &[Vec<KeyBar>],
    start: usize,
    keys: KeyRange,
    (x, y, room): (Length, Length, Length),
) {
    let end = score.bars.len().min(start + BARS);
    let count = (end - start).max(1) as Length;
    let wide = (room - NAMES) / BARS as Length;
    let (left, top) = (x + NAMES, y + ABOVE);
    lanes(pen, keys, (x, left, top), wide * count);
    let bars = score.bars.iter().zip(notes).skip(start).take(end - start);
    for (place, (bar, notes)) in (0..).zip(bars) {
        let here = left + place * wide;
        heads(pen, bar, here, wide, top);
        pen.rectangle(here, top, 160, keys.lane(keys.low - 1));
        for note in notes {
            draw(
                pen,
                note,
                bar,
                (here + 160, wide - 160),
                top + keys.lane(note.key),
            );
        }
    }
    pen.rectangle(left + wide * count, top, 160, keys.lane(keys.low - 1));
    pen.text(
        &(start + 1).to_string(),
        Face::Text,
        1500,
        x,
        y + ABOVE - 900,
    );
}

/// The lanes of the keys: black ones grey, the name of every white one on the left, a line under each C and F.
fn lanes(
    pen: &mut PagePen,
    keys: KeyRange,
    (x, left, top): (Length, Length, Length),
    wide: Length,
) {
    for key in keys.low..=keys.high {
        let (y, class) = (top + keys.lane(key), key.rem_euclid(12));
        if [1, 3, 6, 8, 10].contains(&class) {
            let at = Point { x: left, y };
            pen.marks.push(Item::Rectangle {
                at,
                width: wide,
                height: LANE,
                ink: LANE_INK,
            });
        } else if let Some(letter) = "C D EF G A B".chars().nth(class as usize) {
            pen.text(
                &format!("{letter}{}", key / 12 - 1),
                Face::Text,
                1100,
                x + 1500,
                y + 1200,
            );
        }
        if class == 0 || class == 5 {
            pen.rectangle(left, y + LANE - 30, wide, 60);
        }
    }
}

/// The symbols over a bar, and its section's letter.
fn heads(pen: &mut PagePen, bar: &ScoreBar, x: Length, wide: Length, top: Length) {
    for (at, chord) in &bar.chords {
        symbol::draw(
            pen,
            chord.text(),
            x + share(*at, bar, wide) + 300,
            top - 700,
        );
    }
    if let Some(name) = &bar.section {
        super::signs::boxed(pen, name, x, top - 3800);
    }
}

fn draw(pen: &mut PagePen, note: &KeyBar, bar: &ScoreBar, (x, wide): (Length, Length), y: Length) {
    let from = x + share(note.from, bar, wide);
    let gap = if note.tied { 0 } else { 150 };
    let length = share(note.length, bar, wide) - gap;
    let (inset, height) = if note.thin {
        (LANE * 3 / 8, LANE / 4)
    } else {
        (60, LANE - 120)
    };
    if note.thin {
        pen.rectangle(from, y + inset, length, height);
        return;
    }
    let at = Point {
        x: from,
        y: y + inset,
    };
    pen.marks.push(Item::Rectangle {
        at,
        width: length,
        height,
        ink: BAR_INK,
    });
    pen.rectangle(from, y + inset, 120, height);
    let label = symbol::accidentals(&note.label);
    pen.text(&label, Face::Bold, 1050, from + 350, y + 930);
}

/// A time as its share of the bar's width.
fn share(time: Quarters, bar: &ScoreBar, wide: Length) -> Length {
    let part = time.ratio() / Quarters::of_bar(bar.meter).ratio();
    (i64::from(wide) * part.numer() / part.denom()) as Length
}
