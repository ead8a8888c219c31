//! The chart as a musician sees it: sections, lines, bars, chords, and what stands under them.
//!
//! Everything that the tidy printer needs is here, and nothing about how the text was spaced. The
//! fields are open so that readers of other formats can build a chart; what a field promises is
//! said on it.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::{Beats, Header, Jump, LineChanges, Meter, Place, RespelledKeys, Span, Spans, Wishes};
use crate::chord::Symbol;
use crate::pitch::{Note, Pitch};

/// A lead sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chart {
    /// The lines above the music.
    pub header: Header,
    /// The sections, in the order they are written.
    pub sections: Vec<Section>,
    /// Comments after the last line.
    pub below: Vec<String>,
    /// Keys that the text has under other names.
    pub respelled_keys: RespelledKeys,
}

/// A part of the form with a name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// The name in brackets; `None` only for music that stands before any heading.
    pub name: Option<String>,
    /// The comments above and beside the heading.
    pub remarks: Remarks,
    /// The lines; at least one in a chart that was read.
    pub lines: Vec<Line>,
    /// The heading in the source.
    pub span: Span,
}

/// A line of bars, with whatever labelled lines stand under it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// What `key:`, `meter:` and `tempo:` lines just above change from here on.
    pub changes: LineChanges,
    /// The bars.
    pub bars: Vec<Bar>,
    /// The comments above and beside each of the rows.
    pub remarks: BTreeMap<LineRow, Remarks>,
}

/// The rows of a line, in the order they are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LineRow {
    /// The chords: the row without a label
    Chords,
    /// `was`, the chords that stood here before a reharmonisation
    Was,
    /// `mel`, the melody
    Melody,
    /// `lh`, the left hand
    Hand,
}

impl LineRow {
    /// Every row, in the order they are printed.
    pub const ALL: [Self; 4] = [Self::Chords, Self::Was, Self::Melody, Self::Hand];

    /// What stands before the row's first bar line; nothing for the chords.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Chords => "",
            Self::Was => "was",
            Self::Melody => "mel",
            Self::Hand => "lh",
        }
    }
}

/// Comments, each without its `;`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Remarks {
    /// Those on lines of their own, above.
    pub above: Vec<String>,
    /// The one at the end of the line.
    pub beside: Option<String>,
}

impl Chart {
    /// Every comment, those above and beside the lines, without their `;`.
    pub fn remarks(&self) -> impl Iterator<Item = &str> {
        let entries = self.header.entries.iter();
        let header = entries.flat_map(|entry| entry.remarks.all());
        let sections = self.sections.iter().flat_map(|section| {
            let lines = section.lines.iter().flat_map(|line| line.remarks.values());
            std::iter::once(&section.remarks)
                .chain(lines)
                .flat_map(Remarks::all)
        });
        let below = self.below.iter().map(String::as_str);
        header.chain(sections).chain(below)
    }
}

impl Remarks {
    /// All of them.
    fn all(&self) -> impl Iterator<Item = &str> {
        self.above.iter().chain(&self.beside).map(String::as_str)
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.above.is_empty() && self.beside.is_none()
    }
}

/// A bar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bar {
    /// What its left bar line opens.
    pub opens: Opening,
    /// What its right bar line closes.
    pub closes: Closing,
    /// The meter written in the bar: it holds for this bar only.
    pub meter: Option<Meter>,
    /// How many beats the bar has, in its own meter or the one in force.
    pub beats: u8,
    /// The chords.
    pub chords: Chords,
    /// What stood here before chords were replaced. Either every bar of a line says or none does.
    pub was: Option<Was>,
    /// The words after `@`, in the order they are written.
    pub jumps: Vec<Marked>,
    /// The melody; fills the bar exactly. Either every bar of a line has one or none has.
    pub melody: Option<Vec<Event>>,
    /// The left hand, one entry for each chord. Either every bar of a line has it or none has.
    pub hand: Option<Vec<Wish>>,
    /// Where the entries of `hand` stood in the source, in their order; an entry for the whole bar
    /// stands there once. Empty where the bar was not read from text.
    pub hand_spans: Spans,
    /// What stands between the bar lines in the source.
    pub span: Span,
}

/// What a bar's left bar line opens.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Opening {
    /// `|:`, the start of a repeat.
    pub repeat: bool,
    /// `|1` or `|1,3`: the passes this ending is for, rising; empty when no ending starts here.
    pub endings: Vec<u8>,
    /// The bar line in the source.
    pub span: Span,
}

/// What a bar's right bar line closes.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Closing {
    /// `:|`, the end of a repeat: how often it is played in all, when that is written (`:|x3`).
    pub repeat: Option<Times>,
    /// How heavy the line is.
    pub stroke: Stroke,
    /// The bar line in the source.
    pub span: Span,
}

/// How often a repeated passage is played in all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Times {
    /// `:|`: twice, or as often as its endings say
    AsUsual,
    /// `:|x3`: three times; 2 to 99
    Count(u8),
}

/// How a bar line is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Stroke {
    /// `|`
    #[default]
    Single,
    /// `||`, the end of a passage
    Double,
    /// `|]`, the end of the piece
    Final,
}

/// A jump at its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Marked {
    /// The jump.
    pub jump: Jump,
    /// The word in the source.
    pub span: Span,
}

/// The chords of a bar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Chords {
    /// `%`: those of the bar before
    Again,
    /// Written out; they fill the bar.
    Written(Vec<Cell>),
}

/// What stood in a bar before chords were replaced.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Was {
    /// `-`: what is written there now
    #[default]
    AsNow,
    /// Other chords, which fill the bar; `%` for those of the bar before, as that one was.
    Other(Chords),
}

/// What stands behind the symbol of a chord that is held.
pub const HELD: &str = "!";

/// What stands behind a note that is tied to the next one, as in the ABC standard 2.1 (Walshaw 2011).
pub const TIE: &str = "-";

/// A chord in its bar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cell {
    /// The chord, or silence. Shared, since a tune says the same chord many times.
    pub symbol: Arc<Symbol>,
    /// How many `/` follow it; in a bar with any, every chord lasts one beat and its slashes.
    pub slashes: u8,
    /// How long it lasts.
    pub beats: Beats,
    /// `!`: nothing is to take its place.
    pub held: bool,
    /// The symbol in the source.
    pub span: Span,
}

/// A note or a rest of the melody.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Event {
    /// The note, within MIDI's range, with middle C = C4 whatever the chart calls it; or a rest.
    pub note: Option<Note>,
    /// How long it lasts.
    pub beats: Beats,
    /// Whether the note goes on as the first of the bar that is played next: a tie. Only the last note of
    /// a bar has one, and where no bar that begins with its key follows, it means nothing.
    pub tied: bool,
    /// The note in the source.
    pub span: Span,
}

/// What the left hand is to do under one chord.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Wish {
    /// `?`, or no `lh` line at all: to be planned, as it is wished
    Plan(Wishes),
    /// `-`: silent
    Silent,
    /// These notes, strictly rising, at most ten, with middle C = C4
    Given(Arc<[Note]>),
}

impl Wish {
    /// To be planned, with nothing more to wish for.
    pub const PLAN: Self = Self::Plan(Wishes::NONE);
}

impl Bar {
    /// The most notes and rests of a bar's melody: far more than anybody plays, few enough to add up exactly.
    pub const MOST_EVENTS: usize = 256;

    /// An empty bar to build on: a plain bar of `beats` beats between plain bar lines.
    pub fn of(beats: u8, chords: Chords) -> Self {
        Self {
            opens: Opening::default(),
            closes: Closing::default(),
            meter: None,
            beats,
            chords,
            was: None,
            jumps: Vec::new(),
            melody: None,
            hand: None,
            hand_spans: Spans::default(),
            span: Span::default(),
        }
    }
}

impl Bar {
    /// Whether it has something in this row.
    pub const fn has(&self, row: LineRow) -> bool {
        match row {
            LineRow::Chords => true,
            LineRow::Was => self.was.is_some(),
            LineRow::Melody => self.melody.is_some(),
            LineRow::Hand => self.hand.is_some(),
        }
    }

    /// Whether it was written otherwise before chords were replaced.
    pub const fn is_changed(&self) -> bool {
        matches!(self.was, Some(Was::Other(_)))
    }

    /// The signs a player follows, as they are typed: repeats, endings, jumps.
    ///
    /// ```
    /// let chart = compline::chart::read("|: C @segno |1 F :|2 G @fine ||").unwrap();
    /// let signs: Vec<String> = chart.bars().map(|bar| bar.signs().join(" ")).collect();
    /// assert_eq!(signs, ["|: @segno", "|1 :|", "|2 @fine"]);
    /// ```
    pub fn signs(&self) -> Vec<String> {
        let mut signs = Vec::new();
        if !self.opens.endings.is_empty() {
            let passes: Vec<String> = self.opens.endings.iter().map(u8::to_string).collect();
            signs.push(format!("|{}", passes.join(",")));
        }
        if self.opens.repeat {
            signs.push("|:".to_owned());
        }
        signs.extend(self.jumps.iter().map(|marked| marked.jump.to_string()));
        match self.closes.repeat {
            Some(Times::Count(times)) => signs.push(format!(":|x{times}")),
            Some(Times::AsUsual) => signs.push(":|".to_owned()),
            None => {}
        }
        signs
    }
}

impl Event {
    /// The sounding pitch; `None` for a rest.
    pub fn pitch(&self) -> Option<Pitch> {
        self.note.and_then(Note::pitch)
    }
}

impl Chart {
    /// The title, if it has one.
    pub fn title(&self) -> Option<&str> {
        self.header.title()
    }

    /// The sections, in the order they are written.
    pub fn sections(&self) -> &[Section] {
        &self.sections
    }

    /// The bar at a place.
    pub fn bar_at(&self, place: Place) -> Option<&Bar> {
        let line = self.sections.get(place.section)?.lines.get(place.line)?;
        line.bars.get(place.bar)
    }

    /// Every bar, in the order they are written.
    pub fn bars(&self) -> impl Iterator<Item = &Bar> {
        self.lines().flat_map(|line| &line.bars)
    }

    pub(super) fn lines(&self) -> impl Iterator<Item = &Line> {
        self.sections.iter().flat_map(|section| &section.lines)
    }

    pub(super) fn bars_mut(&mut self) -> impl Iterator<Item = &mut Bar> {
        self.sections
            .iter_mut()
            .flat_map(|section| &mut section.lines)
            .flat_map(|line| &mut line.bars)
    }
}
