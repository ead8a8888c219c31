//! The play order: every bar in the order it is played, and the same in runs short enough to read.

use std::collections::BTreeSet;
use std::fmt;
use std::ops::Range;

use crate::chart::{Chart, Jump, Performance, Slot};

/// The order in which the written bars of a chart are played.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlayOrder {
    visits: Vec<Visit>,
    /// The section of every written bar, as an index into the names.
    section_of: Vec<usize>,
    names: Vec<Option<String>>,
    /// The written bars that a repeat starts with, and those after one.
    edges: BTreeSet<usize>,
    beats: u64,
}

/// A bar at one of the times it is played.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Visit {
    /// The bar among all written bars, from 0.
    pub bar: usize,
    /// Which time this bar is played, from 1.
    pub pass: usize,
    /// How the player came here.
    pub via: Via,
}

/// How the player comes to a bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Via {
    /// From the bar before it on the page, or past endings that are not played.
    On,
    /// It is the first bar of the play order, or of a section in the order of `play`.
    Start,
    /// Back to the start of a repeat.
    Repeat {
        /// The pass that starts here, from 2.
        pass: usize,
    },
    /// Into an ending.
    Ending {
        /// The pass it is played in, from 1.
        pass: usize,
    },
    /// By a jump: one of those back, or to the coda.
    Jump(Jump),
}

/// Bars of one section that are played one after the other as they stand on the page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BarRun {
    /// How the player comes to the first of them.
    pub via: Via,
    /// The name of their section.
    pub section: Option<String>,
    /// The first bar among all written bars, from 0.
    pub first: usize,
    /// The last bar, from 0.
    pub last: usize,
}

impl PlayOrder {
    /// Every bar in the order it is played.
    pub fn visits(&self) -> &[Visit] {
        &self.visits
    }

    /// How many bars are played.
    pub fn bars(&self) -> usize {
        self.visits.len()
    }

    /// How many beats are played, each bar counted in its own meter.
    pub const fn beats(&self) -> u64 {
        self.beats
    }

    /// The play order in runs: a new one starts at every heading, ending, repeat and jump, and after
    /// every repeat.
    pub fn runs(&self) -> Vec<BarRun> {
        let mut runs: Vec<BarRun> = Vec::new();
        let mut section = None;
        for visit in &self.visits {
            let here = self.section_of.get(visit.bar).copied();
            match runs.last_mut() {
                Some(run) if self.goes_on(run, visit) && here == section => run.last = visit.bar,
                _ => runs.push(self.run(visit)),
            }
            section = here;
        }
        runs
    }

    fn goes_on(&self, run: &BarRun, visit: &Visit) -> bool {
        let next = visit.via == Via::On && visit.bar == run.last + 1;
        next && !self.edges.contains(&visit.bar)
    }

    fn run(&self, visit: &Visit) -> BarRun {
        let section = self.section_of.get(visit.bar);
        BarRun {
            via: visit.via,
            section: section.and_then(|&s| self.names.get(s)).cloned().flatten(),
            first: visit.bar,
            last: visit.bar,
        }
    }

    /// How these slots, the chart's own, are performed in this order; round and round if `looped`.
    pub fn performance(&self, slots: &[Slot], looped: bool) -> Performance {
        let mut of_bar: Vec<Range<usize>> = vec![0..0; self.section_of.len()];
        let mut start = 0;
        for here in slots.chunk_by(|one, other| one.bar == other.bar) {
            let end = start + here.len();
            let number = here.first().and_then(|slot| slot.bar.checked_sub(1));
            if let Some(bar) = number.and_then(|number| of_bar.get_mut(number)) {
                *bar = start..end;
            }
            start = end;
        }
        let mut visits = Vec::with_capacity(slots.len());
        for visit in &self.visits {
            visits.extend(of_bar.get(visit.bar).cloned().unwrap_or_default());
        }
        Performance::new(slots.len(), visits, looped)
    }
}

/// The play order of these steps, each a bar and the way it was come to, with the edges of the repeats.
pub(super) fn of(
    chart: &Chart,
    steps: Vec<(usize, Via)>,
    edges: impl Iterator<Item = usize>,
) -> PlayOrder {
    let (mut section_of, mut beats_of) = (Vec::new(), Vec::new());
    for (number, section) in chart.sections.iter().enumerate() {
        beats_of.extend(section.lines.iter().flat_map(|l| &l.bars).map(|b| b.beats));
        section_of.resize(beats_of.len(), number);
    }
    let beats = |&(bar, _): &(usize, Via)| beats_of.get(bar).copied().map_or(0, u64::from);
    PlayOrder {
        beats: steps.iter().map(beats).sum(),
        visits: counted(steps, section_of.len()),
        section_of,
        names: chart.sections.iter().map(|s| s.name.clone()).collect(),
        edges: edges.collect(),
    }
}

fn counted(steps: Vec<(usize, Via)>, written: usize) -> Vec<Visit> {
    let mut passes = vec![0; written];
    let visit = |(bar, via)| {
        let pass: &mut usize = passes.get_mut(bar)?;
        *pass += 1;
        let pass = *pass;
        Some(Visit { bar, pass, via })
    };
    steps.into_iter().filter_map(visit).collect()
}

impl fmt::Display for PlayOrder {
    /// The runs, with commas between them; bars are counted from 1.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let runs: Vec<String> = self.runs().iter().map(BarRun::to_string).collect();
        f.write_str(&runs.join(", "))
    }
}

impl fmt::Display for BarRun {
    /// Such as `A bars 1-8`, `repeat A 1-6`, `ending 2 bars 9-10` or `D.S. to A 3-6`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = self.section.iter().map(|name| format!("{name} "));
        let name: String = name.collect();
        let bars = if self.first == self.last {
            format!("{}", self.first + 1)
        } else {
            format!("{}-{}", self.first + 1, self.last + 1)
        };
        let word = if self.first == self.last {
            "bar"
        } else {
            "bars"
        };
        match self.via {
            Via::On | Via::Start => write!(f, "{name}{word} {bars}"),
            Via::Repeat { .. } => write!(f, "repeat {name}{bars}"),
            Via::Ending { pass } => write!(f, "ending {pass} {word} {bars}"),
            Via::Jump(jump) => write!(f, "{} {name}{bars}", words(jump)),
        }
    }
}

/// The jump as a musician says it, up to the place it goes to.
const fn words(jump: Jump) -> &'static str {
    match jump {
        Jump::DaCapo => "D.C. to",
        Jump::DalSegno => "D.S. to",
        Jump::DaCapoAlFine => "D.C. al Fine to",
        Jump::DaCapoAlCoda => "D.C. al Coda to",
        Jump::DalSegnoAlFine => "D.S. al Fine to",
        Jump::DalSegnoAlCoda => "D.S. al Coda to",
        Jump::Segno | Jump::Coda | Jump::ToCoda | Jump::Fine => "to the coda,",
    }
}
