//! The order of the sections: the page's, or what the `play` line says.

use std::collections::BTreeMap;

use super::page::Page;
use super::repeats::Repeats;
use super::road::{Road, Way};
use super::signs::{self, Signs};
use super::{problems, walk};
use crate::chart::{Chart, Jump, Played, Problem};

/// A page with what was found on it.
pub(super) struct Leg<'a> {
    pub page: Page<'a>,
    pub repeats: Repeats,
    pub signs: Signs,
}

/// Pages, and the order in which they are played.
pub(super) struct Order<'a> {
    legs: Vec<Leg<'a>>,
    order: Vec<usize>,
    written: usize,
    /// Whether every bar of a leg must be played, and every word obeyed.
    signs_act: bool,
}

/// The order of a chart's sections.
///
/// # Errors
///
/// What is wrong with its repeats, endings and jumps before they are played.
pub(super) fn order(chart: &Chart) -> Result<Order<'_>, Vec<Problem>> {
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
fn played(chart: &Chart, problems: &mut Vec<Problem>) -> Option<Vec<usize>> {
    let names = chart.header.play().filter(|names| !names.is_empty())?;
    let order = numbered(chart, names, problems);
    let page = 0..chart.sections.len();
    (!order.iter().copied().eq(page)).then_some(order)
}

/// Each mention of a name is the next of the sections with that name, round and round.
fn numbered(chart: &Chart, names: &[Played], problems: &mut Vec<Problem>) -> Vec<usize> {
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

fn whole<'a>(chart: &'a Chart, problems: &mut Vec<Problem>) -> Order<'a> {
    let page = Page::of(0, &chart.sections, false);
    Order {
        written: page.bars.len(),
        order: vec![0],
        legs: vec![Leg {
            repeats: Repeats::of(&page, problems),
            signs: Signs::of(&page, problems),
            page,
        }],
        signs_act: true,
    }
}

fn apart<'a>(chart: &'a Chart, order: Vec<usize>, problems: &mut Vec<Problem>) -> Order<'a> {
    let mut written = 0;
    let mut legs = Vec::new();
    for section in chart.sections.chunks(1) {
        let page = Page::of(written, section, true);
        written += page.bars.len();
        legs.push(Leg {
            repeats: Repeats::of(&page, problems),
            signs: Signs::default(),
            page,
        });
    }
    let jumps = legs.iter().flat_map(|leg| signs::words(&leg.page));
    let jumps = jumps.filter(|(_, m)| m.jump == Jump::ToCoda || signs::back(m.jump).is_some());
    problems.extend(jumps.map(|(_, marked)| problems::jump_beside_play(marked.span)));
    Order {
        legs,
        order,
        written,
        signs_act: false,
    }
}

impl Order<'_> {
    /// Plays the pages in their order: every bar with the way to it.
    ///
    /// # Errors
    ///
    /// What turned out to be wrong on the road.
    pub(super) fn steps(&self) -> Result<Vec<(usize, Way)>, Vec<Problem>> {
        let mut steps = Vec::new();
        let longest = Road::longest(self.written);
        for leg in self
            .order
            .iter()
            .filter_map(|&number| self.legs.get(number))
        {
            let mut walk = walk::Walk::of(leg, self.signs_act, longest, &mut steps);
            walk.play_out()
                .map_err(|reason| vec![self.problem(reason)])?;
            let left = walk.left_over();
            if !left.is_empty() {
                return Err(problems::in_order(left));
            }
        }
        Ok(steps)
    }

    fn problem(&self, reason: walk::Stopped) -> Problem {
        match reason {
            walk::Stopped::TooLong(sign) => problems::too_long(sign, self.written),
            walk::Stopped::At(problem) => problem,
        }
    }
}
