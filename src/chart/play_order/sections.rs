//! The order of the sections: the page's, or what the `play` line says.

use std::collections::BTreeMap;

use super::order::Via;
use super::repeats::Repeats;
use super::section_pass::SectionPass;
use super::signs::{self, Signs};
use super::written_bars::WrittenBars;
use super::{performer, problems};
use crate::chart::sizes::MOST_BARS;
use crate::chart::{Chart, Diagnostic, Jump, Played};

/// The parts of a chart that are played as one, and the order in which they are.
pub(super) struct SectionOrder<'a> {
    passes: Vec<SectionPass<'a>>,
    order: Vec<usize>,
    /// Whether every bar of a pass must be played, and every word obeyed.
    signs_act: bool,
}

/// The order of a chart's sections.
///
/// # Errors
///
/// What is wrong with its repeats, endings and jumps before they are played.
pub(super) fn order(chart: &Chart) -> Result<SectionOrder<'_>, Vec<Diagnostic>> {
    let mut problems = Vec::new();
    let order = match played(chart, &mut problems) {
        Some(order) => apart(chart, order, &mut problems),
        None => whole(chart, &mut problems),
    };
    if problems.is_empty() {
        return Ok(order);
    }
    Err(problems::in_order(problems))
}

/// The sections in the order of `play`, if it is there and not the page's.
pub(super) fn played(chart: &Chart, problems: &mut Vec<Diagnostic>) -> Option<Vec<usize>> {
    let names = chart.header.play().filter(|names| !names.is_empty())?;
    let order = numbered(chart, names, problems);
    let page = 0..chart.sections.len();
    (!order.iter().copied().eq(page)).then_some(order)
}

/// Each mention of a name is the next of the sections with that name, round and round.
fn numbered(chart: &Chart, names: &[Played], problems: &mut Vec<Diagnostic>) -> Vec<usize> {
    let mut named: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (number, section) in chart.sections.iter().enumerate() {
        let name = section.name.as_deref().unwrap_or("");
        named.entry(name).or_default().push(number);
    }
    let mut mentions: BTreeMap<&str, usize> = BTreeMap::new();
    let mut order = Vec::new();
    for played in names {
        let mention = mentions.entry(&played.name).or_default();
        let sections = named.get(played.name.as_str());
        match sections.and_then(|s| s.get(*mention % s.len().max(1))) {
            Some(&section) => order.push(section),
            None => problems.push(problems::no_section(&played.name, played.span)),
        }
        *mention += 1;
    }
    order
}

fn whole<'a>(chart: &'a Chart, problems: &mut Vec<Diagnostic>) -> SectionOrder<'a> {
    let written = WrittenBars::of(0, &chart.sections, false);
    SectionOrder {
        order: vec![0],
        passes: vec![SectionPass {
            repeats: Repeats::of(&written, problems),
            signs: Signs::of(&written, problems),
            written,
        }],
        signs_act: true,
    }
}

fn apart<'a>(
    chart: &'a Chart,
    order: Vec<usize>,
    problems: &mut Vec<Diagnostic>,
) -> SectionOrder<'a> {
    let mut count = 0;
    let mut passes = Vec::new();
    for section in chart.sections.chunks(1) {
        let written = WrittenBars::of(count, section, true);
        count += written.bars.len();
        passes.push(SectionPass {
            repeats: Repeats::of(&written, problems),
            signs: Signs::default(),
            written,
        });
    }
    let jumps = passes.iter().flat_map(|pass| signs::words(&pass.written));
    let jumps = jumps.filter(|(_, m)| m.jump == Jump::ToCoda || signs::back(m.jump).is_some());
    problems.extend(jumps.map(|(_, marked)| problems::jump_beside_play(marked.span)));
    SectionOrder {
        passes,
        order,
        signs_act: false,
    }
}

impl SectionOrder<'_> {
    /// The written bars that a repeat starts with, and those after one.
    pub(super) fn edges_of_repeats(&self) -> impl Iterator<Item = usize> + '_ {
        let edges = |pass: &'_ SectionPass<'_>| -> Vec<usize> {
            let first = pass.written.first;
            pass.repeats.edges().map(|bar| first + bar).collect()
        };
        self.passes.iter().flat_map(edges)
    }

    /// Plays the pages in their order: every bar with the way to it.
    ///
    /// # Errors
    ///
    /// What turned out to be wrong on the play order.
    pub(super) fn steps(&self) -> Result<Vec<(usize, Via)>, Vec<Diagnostic>> {
        let mut steps = Vec::new();
        for pass in self
            .order
            .iter()
            .filter_map(|&number| self.passes.get(number))
        {
            let mut player = performer::Performer::of(pass, self.signs_act, MOST_BARS, &mut steps);
            player
                .play_out()
                .map_err(|reason| vec![self.problem(reason)])?;
            let left = player.left_over();
            if !left.is_empty() {
                return Err(problems::in_order(left));
            }
        }
        Ok(steps)
    }

    fn problem(&self, reason: performer::Stopped) -> Diagnostic {
        match reason {
            performer::Stopped::TooLong(sign) => problems::too_long(sign),
            performer::Stopped::At(problem) => problem,
        }
    }
}
