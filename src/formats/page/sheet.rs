//! From a score to pages: how large the staff is, which bars share a line, which lines share a page.

use std::ops::Range;

use super::clef::Clef;
use super::drawing::{DrawnPage, Item, Length};
use super::frame::PageFrame;
use super::heading::Heading;
use super::lines::{self, BarWidth};
use super::measure::{MeasuredBar, PrintedChanges, Staff, Voice};
use super::page_options::{Content, Labels, PageOptions};
use super::pen::PagePen;
use super::signature::KeySignature;
use super::symbol::accidentals;
use super::system::{Courtesy, System, front};
use crate::arrange::Arrangement;
use crate::chart::Meter;
use crate::explain::CAUTION;
use crate::score::{Quarters, Score, ScoreBar};

/// Room between two systems, at least, and how much more a page may add.
const BETWEEN: Length = 1000;
const SLACK: Length = 3500;
/// How far the columns of a short last line may be stretched, in thousandths.
const LAST_STRETCH: i32 = 1_900;
/// A last line of as many bars, or of as many as the line before, is as wide as the others.
const FULL_LINE: usize = 4;

/// A score with what a page adds to it.
pub(super) struct Sheet<'a> {
    score: &'a Score,
    staves: Vec<Staff>,
    measures: Vec<MeasuredBar<'a>>,
    labels: &'a [Vec<(Quarters, Vec<String>)>],
    frame: PageFrame,
    /// Whether a reach was chosen.
    caution: bool,
    heading: Heading<'a>,
}

/// A line of the page that is about to be set.
struct SystemLine {
    bars: Range<usize>,
    in_ending: bool,
    height: Length,
    /// How far its columns may be stretched, in thousandths.
    most: i32,
}

impl<'a> Sheet<'a> {
    /// Makes a score ready for a frame.
    pub fn new(
        score: &'a Score,
        options: &PageOptions,
        (frame, caution): (PageFrame, bool),
        labels: &'a [Vec<(Quarters, Vec<String>)>],
    ) -> Self {
        let staves = staves(score, options.content);
        Sheet {
            score,
            measures: measures(score, &staves),
            staves,
            labels,
            frame,
            caution: caution && options.content != Content::Lead,
            heading: Heading::new(score, frame.room.0),
        }
    }

    /// How many pages it takes; nothing is drawn.
    pub fn count(&self) -> usize {
        self.parted(&self.lines()).len()
    }

    /// Which lines stand on which page.
    fn parted<'b>(&self, lines: &'b [SystemLine]) -> Vec<Vec<&'b SystemLine>> {
        let bottom = self.frame.bottom();
        let mut pages: Vec<Vec<&SystemLine>> = Vec::new();
        let mut y = bottom;
        for line in lines {
            if y + line.height > bottom || pages.is_empty() {
                let head = if pages.is_empty() {
                    self.heading.height()
                } else {
                    0
                };
                y = self.frame.corner + head;
                pages.push(Vec::new());
            }
            y += line.height + BETWEEN;
            if let Some(page) = pages.last_mut() {
                page.push(line);
            }
        }
        pages
    }

    /// Sets the lines on pages.
    pub fn pages(&self) -> Vec<DrawnPage> {
        let lines = self.lines();
        let pages = self.parted(&lines);
        let count = pages.len();
        pages
            .iter()
            .enumerate()
            .map(|(at, lines)| DrawnPage {
                space: self.frame.space,
                marks: self.page(at, count, lines),
            })
            .collect()
    }

    /// The bars of each line.
    fn line_ranges(&self) -> Vec<Range<usize>> {
        let measures = self.measures.iter().enumerate();
        let width = |(at, measure): (usize, &MeasuredBar)| BarWidth {
            ideal: measure.width(1000),
            least: measure.width(0),
            behind: self.courtesy(at + 1).room(),
            heads: measure.bar.section.is_some(),
            begins_line: measure.bar.begins_line,
            turns: measure.bar.section.is_some() && measure.signature.is_some(),
        };
        let blocks: Vec<BarWidth> = measures.map(width).collect();
        lines::lines(&blocks, |start| {
            let first = self.measures.get(start);
            let moved = first.map_or(0, MeasuredBar::signature_room);
            self.frame.room.0 - front(self.signature(start), start == 0) + moved
        })
    }

    fn lines(&self) -> Vec<SystemLine> {
        let ranges = self.line_ranges();
        let mut in_ending = false;
        let mut before = FULL_LINE;
        ranges
            .into_iter()
            .map(|bars| {
                let last = bars.end == self.measures.len();
                let short = bars.len() < before.min(FULL_LINE);
                before = bars.len();
                let mut line = SystemLine {
                    bars,
                    in_ending,
                    most: if last && short {
                        LAST_STRETCH
                    } else {
                        i32::MAX
                    },
                    height: 0,
                };
                line.height = self.system(&line).height();
                in_ending = self.ends_in_ending(&line);
                line
            })
            .collect()
    }

    /// Whether an ending goes on behind a line.
    fn ends_in_ending(&self, line: &SystemLine) -> bool {
        let measures = self.measures.get(line.bars.clone()).unwrap_or_default();
        measures.iter().fold(line.in_ending, |open, measure| {
            let signs = &measure.bar.signs;
            (open || !signs.endings.is_empty()) && signs.ending_stop.is_none()
        })
    }

    fn system(&self, line: &SystemLine) -> System<'_> {
        let first = line.bars.start == 0;
        System {
            measures: self.measures.get(line.bars.clone()).unwrap_or_default(),
            staves: &self.staves,
            signature: self.signature(line.bars.start),
            courtesy: self.courtesy(line.bars.end),
            meter: first.then(|| opening_meter(self.score)),
            number: (!first)
                .then(|| {
                    self.measures
                        .get(line.bars.start)
                        .map(|measure| self.score.printed_number(measure.bar.number))
                })
                .flatten(),
            labels: self.labels.get(line.bars.clone()).unwrap_or_default(),
            in_ending: line.in_ending,
            last: line.bars.end == self.measures.len(),
        }
    }

    /// What changes with this bar, shown at the end of the line before it.
    fn courtesy(&self, next: usize) -> Courtesy {
        let next = self.measures.get(next);
        Courtesy {
            signature: next.and_then(|measure| measure.signature),
            meter: next.and_then(|measure| measure.meter),
        }
    }

    /// The signature in front of a line that begins with this bar.
    fn signature(&self, start: usize) -> KeySignature {
        let Some(measure) = self.measures.get(start) else {
            return KeySignature::default();
        };
        let own = KeySignature::of(fifths(measure.bar));
        measure.signature.unwrap_or(own)
    }

    /// Draws a page; what is left of its height is shared between the systems.
    fn page(&self, number: usize, count: usize, lines: &[&SystemLine]) -> Vec<Item> {
        let mut pen = PagePen::default();
        let mut y = self.frame.corner;
        if number == 0 {
            self.heading.draw(&mut pen, self.frame.corner, y);
            y += self.heading.height();
        }
        let used: Length = lines.iter().map(|line| line.height + BETWEEN).sum();
        let left = self.frame.bottom() - y - used;
        let slack = (left / lines.len().max(1) as Length).clamp(0, SLACK);
        for line in lines {
            let system = self.system(line);
            let at = (self.frame.corner, y);
            system.draw(&mut pen, at, self.frame.room.0, line.most);
            y += line.height + BETWEEN + slack;
        }
        self.frame.foot(&mut pen, self.score, (number + 1, count));
        if self.caution {
            self.frame.below_foot(&mut pen, CAUTION);
        }
        pen.marks
    }
}

fn staves(score: &Score, content: Content) -> Vec<Staff> {
    let melody = Staff {
        voice: Voice::Melody,
        clef: Clef::Treble,
    };
    let notes = score
        .bars
        .iter()
        .flat_map(|bar| &bar.hand)
        .flat_map(|written| written.notes.iter().copied());
    let hand = Staff {
        voice: Voice::Hand,
        clef: Clef::of_hand(notes),
    };
    match content {
        Content::Full if score.has_melody => vec![melody, hand],
        Content::Lead => vec![melody],
        Content::Full | Content::Left | Content::Grid => vec![hand],
    }
}

/// The bars made ready; meter, key and tempo are printed where they change. A shorter first bar is a pickup and
/// keeps the meter of the page.
fn measures<'a>(score: &'a Score, staves: &[Staff]) -> Vec<MeasuredBar<'a>> {
    let mut meter = opening_meter(score);
    let mut before: Option<&ScoreBar> = None;
    let bars = score.bars.iter().map(|bar| {
        let Some(last) = before.replace(bar) else {
            return MeasuredBar::new(bar, staves, PrintedChanges::default());
        };
        let changes = PrintedChanges {
            meter: (bar.meter != meter).then_some(bar.meter),
            signature: (fifths(bar) != fifths(last))
                .then(|| KeySignature::between(fifths(last), fifths(bar))),
            tempo: bar.tempo.filter(|_| bar.tempo != last.tempo),
        };
        meter = bar.meter;
        MeasuredBar::new(bar, staves, changes)
    });
    bars.collect()
}

/// The signature that holds in a bar.
fn fifths(bar: &ScoreBar) -> i32 {
    bar.key.map_or(0, |key| key.fifths())
}

/// The meter at the beginning: the page's, where the first bar is shorter and the second goes on in it.
fn opening_meter(score: &Score) -> Meter {
    match &score.bars[..] {
        [first, second, ..] if second.meter == score.meter && shorter(first, second) => score.meter,
        [first, ..] => first.meter,
        [] => score.meter,
    }
}

fn shorter(one: &ScoreBar, other: &ScoreBar) -> bool {
    Quarters::of_bar(one.meter) < Quarters::of_bar(other.meter)
}

/// The labels of every bar of the score: what is asked for, from the lowest note up.
pub(super) fn labels(
    arrangement: &Arrangement,
    score: &Score,
    options: &PageOptions,
) -> Vec<Vec<(Quarters, Vec<String>)>> {
    if options.labels == Labels::None || options.content == Content::Lead {
        return vec![Vec::new(); score.bars.len()];
    }
    score
        .bars
        .iter()
        .map(|bar| {
            let slots = arrangement
                .slots
                .iter()
                .filter(|one| one.slot.bar == bar.number);
            slots
                .zip(&bar.chords)
                .map(|(one, (at, _))| {
                    let notes = one.voicing.iter().flat_map(|voicing| voicing.notes.iter());
                    let label = |note: &crate::voicing::VoicedNote| match options.labels {
                        Labels::Degrees => note.degree.to_string(),
                        _ => note.note.to_string(),
                    };
                    (
                        *at,
                        notes.map(label).map(|label| accidentals(&label)).collect(),
                    )
                })
                .collect()
        })
        .collect()
}
