//! The note grid on paper: keys from bottom to top, time from left to right, only the keys in use.
//!
//! Lanes of black keys are grey. A voicing is a row of bars with the degree or the name of each note in it; the melody is a
//! row of thin bars. Lines of four bars, or of fewer where symbols need the room, with their repeats, endings and signs.

use std::ops::Range;

use super::drawing::{DrawnPage, Item, Length, Point};
use super::font::Face;
use super::frame::PageFrame;
use super::heading::Heading;
use super::page_options::Labels;
use super::pen::{PagePen, width};
use super::signs::words;
use super::symbol;
use super::upper_row::UpperRow;
use crate::arrange::Arrangement;
use crate::chart::{Beats, Stroke};
use crate::pitch::{Note, Pitch};
use crate::score::{BarSigns, Quarters, Score, ScoreBar};

/// The height of a key's lane.
const LANE: Length = 1150;
/// Room for the names of the keys on the left.
const NAMES: Length = 4200;
/// Rows above the lanes, for symbols and for section letters, endings and signs; rows below, for words.
const SYMBOLS: Length = 3600;
const UPPER: Length = 3400;
const WORDS: Length = 2400;
const BETWEEN: Length = 2200;
/// The most bars of a line.
const BARS: usize = 4;
/// The least room between two symbols.
const GAP: Length = 800;
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

/// A line of bars.
struct GridLine {
    bars: Range<usize>,
    /// How wide each of its bars is.
    wide: Length,
    /// Whether the row of section letters, endings and signs is used, and the one of words.
    upper: bool,
    words: bool,
    /// Whether an ending is open from the line before.
    in_ending: bool,
}

impl GridLine {
    const fn above(&self) -> Length {
        SYMBOLS + if self.upper { UPPER } else { 0 }
    }

    const fn height(&self, keys: KeyRange) -> Length {
        let words = if self.words { WORDS } else { 0 };
        self.above() + keys.height() + words + BETWEEN
    }
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
    let mut pages: Vec<PagePen> = Vec::new();
    let mut y = Length::MAX;
    for line in lines(score, frame.room.0 - NAMES) {
        if y > frame.bottom() - line.height(keys) {
            let mut pen = PagePen::default();
            y = frame.corner;
            if pages.is_empty() {
                heading.draw(&mut pen, frame.corner, y);
                y += heading.height();
            }
            pages.push(pen);
        }
        if let Some(pen) = pages.last_mut() {
            system(pen, score, &bars, &line, keys, (frame.corner, y));
        }
        y = y.saturating_add(line.height(keys));
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

/// The bars in lines of four, or of fewer where their symbols would run into each other.
fn lines(score: &Score, room: Length) -> Vec<GridLine> {
    let mut lines = Vec::new();
    let (mut start, mut in_ending) = (0, false);
    while start < score.bars.len() {
        let fits = |most: &usize| {
            let bars = score.bars.iter().skip(start).take(*most);
            bars.map(least).max().unwrap_or(0) <= room / *most as Length
        };
        let most = (1..=BARS).rev().find(fits).unwrap_or(1);
        let end = score.bars.len().min(start + most);
        let bars = score.bars.get(start..end).unwrap_or_default();
        let signs = || bars.iter().map(|bar| &bar.signs);
        lines.push(GridLine {
            bars: start..end,
            wide: room / most as Length,
            upper: in_ending || bars.iter().any(|bar| upper_row(bar).is_used()),
            words: signs()
                .flat_map(|signs| &signs.jumps)
                .any(|jump| !jump.is_target()),
            in_ending,
        });
        in_ending = signs().fold(in_ending, |open, signs| {
            (open || !signs.endings.is_empty()) && signs.ending_stop.is_none()
        });
        start = end;
    }
    lines
}

/// How wide a bar has to be for its symbols and its upper row.
fn least(bar: &ScoreBar) -> Length {
    let whole = Quarters::of_bar(bar.meter);
    let ends = bar.chords.iter().skip(1).map(|(at, _)| *at).chain([whole]);
    let widths = bar.chords.iter().zip(ends).map(|((at, chord), end)| {
        let part = (end - *at).ratio() / whole.ratio();
        let wide = i64::from(symbol::width(chord.text()) + GAP);
        (wide * part.denom() / part.numer().max(&1)) as Length
    });
    widths.max().unwrap_or(0).max(upper_row(bar).width())
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

    /// How high all lanes are.
    const fn height(self) -> Length {
        self.lane(self.low - 1)
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
            .flat_map(|voicing| voicing.notes.iter())
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

/// Draws a line of bars.
fn system(
    pen: &mut PagePen,
    score: &Score,
    notes: &[Vec<KeyBar>],
    line: &GridLine,
    keys: KeyRange,
    (x, y): (Length, Length),
) {
    let (left, top) = (x + NAMES, y + line.above());
    let count = line.bars.len() as Length;
    lanes(pen, keys, (x, left, top), line.wide * count);
    let bars = score.bars.iter().zip(notes);
    let bars = bars.skip(line.bars.start).take(line.bars.len());
    let mut in_ending = line.in_ending;
    for (place, (bar, notes)) in (0..).zip(bars) {
        let here = left + place * line.wide;
        let edges = (here, here + line.wide);
        in_ending = heads(pen, bar, edges, top, in_ending);
        words(pen, &bar.signs.jumps, edges.1, top + keys.height());
        for note in notes {
            let inside = (here + 160, line.wide - 160);
            draw(pen, note, bar, inside, top + keys.lane(note.key));
        }
        bar_lines(pen, &bar.signs, edges, (top, keys.height()));
    }
    let number = score.printed_number(line.bars.start + 1);
    if number > 0 {
        pen.text(&number.to_string(), Face::Text, 1500, x, top - 900);
    }
}

/// The lines at both ends of a bar, thick and with dots where a repeat begins or ends.
fn bar_lines(
    pen: &mut PagePen,
    signs: &BarSigns,
    (left, right): (Length, Length),
    (top, height): (Length, Length),
) {
    const THIN: Length = 160;
    const THICK: Length = 500;
    let dots = |pen: &mut PagePen, x: Length| {
        pen.sign("repeatDot", x, top + height / 2 - 500);
        pen.sign("repeatDot", x, top + height / 2 + 500);
    };
    let opens = signs.opens_repeat;
    pen.rectangle(left, top, if opens { THICK } else { THIN }, height);
    if opens {
        dots(pen, left + THICK + THIN);
    }
    let closes = signs.closes_repeat.is_some();
    if closes {
        dots(pen, right - THICK - THIN - width("repeatDot"));
    }
    match signs.stroke {
        Stroke::Single if !closes => pen.rectangle(right, top, THIN, height),
        Stroke::Double if !closes => {
            pen.rectangle(right, top, THIN, height);
            pen.rectangle(right - 3 * THIN, top, THIN, height);
        }
        _ => pen.rectangle(right - THICK, top, THICK + THIN, height),
    }
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

/// The symbols over a bar, its section's letter, its ending and signs; says whether an ending is open behind it.
fn heads(
    pen: &mut PagePen,
    bar: &ScoreBar,
    (left, right): (Length, Length),
    top: Length,
    in_ending: bool,
) -> bool {
    for (at, chord) in &bar.chords {
        let x = left + share(*at, bar, right - left) + 300;
        symbol::draw(pen, chord.text(), x, top - 700);
    }
    upper_row(bar).draw(pen, (left, right), top - SYMBOLS - 600, in_ending)
}

/// The upper row over a bar; a tempo stands at the head of the page alone.
const fn upper_row(bar: &ScoreBar) -> UpperRow<'_> {
    UpperRow { bar, tempo: None }
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
