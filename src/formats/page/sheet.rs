//! From a score to pages: how large the staff is, which bars share a line, which lines share a page.

use std::ops::Range;

use super::clef::Clef;
use super::drawing::{Drawing, DrawnPage, Length};
use super::font::Face;
use super::heading::{Heading, cut, title};
use super::lines::{self, BarWidth};
use super::measure::{Measure, Staff, Voice};
use super::options::{Content, Labels, PageOptions};
use super::pen::{PagePen, SPACE};
use super::system::{System, front, hand_clef};
use crate::arrange::Arrangement;
use crate::chart::Meter;
use crate::score::{Quarters, Score, ScoreBar};

/// The margin of the paper in micrometres.
const MARGIN: i32 = 13_000;
/// The sizes of a staff space that are tried, in micrometres, the largest first. 1.8 mm reads well at arm's length.
const SPACES: [i32; 4] = [1_900, 1_800, 1_700, 1_600];
/// Smaller sizes, for a tune that fits on one page with them.
const SMALL_SPACES: [i32; 2] = [1_500, 1_400];
/// Room between two systems, at least, and how much more a page may add.
const BETWEEN: Length = 1000;
const SLACK: Length = 3500;
const FOOTER: Length = 2000;
/// How far the columns of the last line may be stretched, in thousandths.
const LAST_STRETCH: i32 = 1_900;

/// A score with what a page adds to it.
struct Sheet<'a> {
    score: &'a Score,
    staves: Vec<Staff>,
    measures: Vec<Measure<'a>>,
    labels: Vec<Vec<(Quarters, Vec<String>)>>,
    fifths: i32,
    /// Width and height inside the margins.
    room: (Length, Length),
    /// Upper left corner inside the margins.
    corner: Length,
    heading: Heading<'a>,
}

/// A line of the page that is about to be set.
struct SystemLine {
    bars: Range<usize>,
    in_ending: bool,
    height: Length,
}

/// Draws an arrangement: on as few pages as can be, and of the sizes that need no more the largest.
pub fn draw(arrangement: &Arrangement, options: &PageOptions) -> Drawing {
    let score = Score::of(arrangement);
    let labels = labels(arrangement, &score, options);
    let set = |space: &i32| Sheet::new(&score, options, *space, &labels).pages(*space);
    let mut trials: Vec<Vec<DrawnPage>> = SPACES.iter().map(set).collect();
    if trials.iter().all(|pages| pages.len() > 1) {
        trials.extend(
            SMALL_SPACES
                .iter()
                .map(set)
                .filter(|pages| pages.len() == 1),
        );
    }
    let pages = trials.into_iter().min_by_key(Vec::len).unwrap_or_default();
    Drawing {
        title: title(&score).to_owned(),
        paper: options.paper.size(),
        pages,
    }
}

impl<'a> Sheet<'a> {
    fn new(
        score: &'a Score,
        options: &PageOptions,
        space: i32,
        labels: &[Vec<(Quarters, Vec<String>)>],
    ) -> Self {
        let staves = staves(score, options.content);
        let (wide, high) = options.paper.size();
        let inside = |length: i32| {
            (i64::from(length - 2 * MARGIN) * i64::from(SPACE) / i64::from(space)) as Length
        };
        let corner = (i64::from(MARGIN) * i64::from(SPACE) / i64::from(space)) as Length;
        let fifths = score.key.map_or(0, |key| key.fifths());
        let measures = measures(score, &staves);
        let room = (inside(wide), inside(high));
        let heading = Heading::new(score, room.0);
        Sheet {
            score,
            staves,
            measures,
            labels: labels.to_vec(),
            fifths,
            room,
            corner,
            heading,
        }
    }

    /// Sets the lines on pages.
    fn pages(&self, space: i32) -> Vec<DrawnPage> {
        let bottom = self.corner + self.room.1 - FOOTER;
        let mut pages: Vec<Vec<&SystemLine>> = Vec::new();
        let lines = self.lines();
        let mut y = bottom;
        for line in &lines {
            if y + line.height > bottom || pages.is_empty() {
                y = self.corner
                    + if pages.is_empty() {
                        self.heading.height()
                    } else {
                        0
                    };
                pages.push(Vec::new());
            }
            y += line.height + BETWEEN;
            if let Some(page) = pages.last_mut() {
                page.push(line);
            }
        }
        let count = pages.len();
        pages
            .iter()
            .enumerate()
            .map(|(at, lines)| DrawnPage {
                space,
                marks: self.page(at, count, lines),
            })
            .collect()
    }

    fn lines(&self) -> Vec<SystemLine> {
        let blocks: Vec<BarWidth> = self
            .measures
            .iter()
            .map(|measure| BarWidth {
                ideal: measure.width(1000),
                least: measure.width(0),
                heads: measure.bar.section.is_some(),
            })
            .collect();
        let ranges = lines::lines(&blocks, |start| {
            self.room.0 - front(self.fifths, start == 0)
        });
        let mut in_ending = false;
        ranges
            .into_iter()
            .map(|bars| {
                let mut line = SystemLine {
                    bars,
                    in_ending,
                    height: 0,
                };
                line.height = self.system(&line).height();
                in_ending = self
                    .measures
                    .get(line.bars.clone())
                    .unwrap_or_default()
                    .iter()
                    .fold(in_ending, |open, measure| {
                        let signs = &measure.bar.signs;
                        (open || !signs.endings.is_empty()) && signs.ending_stop.is_none()
                    });
                line
            })
            .collect()
    }

    fn system(&self, line: &SystemLine) -> System<'_> {
        let first = line.bars.start == 0;
        System {
            measures: self.measures.get(line.bars.clone()).unwrap_or_default(),
            staves: &self.staves,
            fifths: self.fifths,
            meter: first.then(|| opening_meter(self.score)),
            number: (!first)
                .then(|| {
                    self.measures
                        .get(line.bars.start)
                        .map(|measure| measure.bar.number)
                })
                .flatten(),
            labels: self.labels.get(line.bars.clone()).unwrap_or_default(),
            in_ending: line.in_ending,
            last: line.bars.end == self.measures.len(),
        }
    }

    /// Draws a page; what is left of its height is shared between the systems.
    fn page(
        &self,
        number: usize,
        count: usize,
        lines: &[&SystemLine],
    ) -> Vec<super::drawing::Item> {
        let mut pen = PagePen::default();
        let mut y = self.corner;
        if number == 0 {
            self.heading.draw(&mut pen, self.corner, y);
            y += self.heading.height();
        }
        let used: Length = lines.iter().map(|line| line.height + BETWEEN).sum();
        let left = self.corner + self.room.1 - FOOTER - y - used;
        let slack = (left / lines.len().max(1) as Length).clamp(0, SLACK);
        for line in lines {
            let system = self.system(line);
            let most = if system.last { LAST_STRETCH } else { i32::MAX };
            system.draw(&mut pen, (self.corner, y), self.room.0, most);
            y += line.height + BETWEEN + slack;
        }
        let foot = format!("{}  {}/{count}", title(self.score), number + 1);
        let middle = self.corner + self.room.0 / 2;
        pen.text_around(
            &cut(&foot, 1600, self.room.0),
            Face::Text,
            1600,
            middle,
            self.corner + self.room.1 + 500,
        );
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
        clef: hand_clef(notes),
    };
    match content {
        Content::Full if score.has_melody => vec![melody, hand],
        Content::Lead => vec![melody],
        Content::Full | Content::Left => vec![hand],
    }
}

/// The bars made ready; a meter is printed where it changes. A shorter first bar is a pickup and keeps the meter of the page.
fn measures<'a>(score: &'a Score, staves: &[Staff]) -> Vec<Measure<'a>> {
    let mut meter = opening_meter(score);
    score
        .bars
        .iter()
        .enumerate()
        .map(|(at, bar)| {
            let changed = at > 0 && bar.meter != meter;
            if at > 0 {
                meter = bar.meter;
            }
            Measure::new(bar, staves, changed.then_some(bar.meter))
        })
        .collect()
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
fn labels(
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
                    let notes = one.voicing.iter().flat_map(|voicing| &voicing.notes);
                    let label = |note: &crate::voicing::VoicedNote| match options.labels {
                        Labels::Degrees => note.degree.to_string(),
                        _ => note.note.to_string(),
                    };
                    (
                        *at,
                        notes
                            .map(label)
                            .map(|label| label.replace('b', "♭").replace('#', "♯"))
                            .collect(),
                    )
                })
                .collect()
        })
        .collect()
}
