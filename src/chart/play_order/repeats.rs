//! Repeats and endings, found on the page: which bars each covers and how often it is played.
//!
//! Where it stops: nothing is played here. What cannot be understood is noted at its place.

use super::problems;
use super::written_bars::WrittenBars;
use crate::chart::{Diagnostic, Span, Stroke, Times};

/// A repeated passage with its endings.
#[derive(Debug, Clone)]
pub(super) struct Repeat {
    /// Its first bar on the page.
    pub start: usize,
    /// The bar after its last ending, or after its `:|`.
    pub end: usize,
    /// Its endings in the order of the page.
    pub endings: Vec<Ending>,
    /// How often it is played.
    pub passes: usize,
    /// What to point at when it is too much: the sign that closes it.
    pub sign: Span,
    /// The repeat it stands in.
    pub parent: Option<usize>,
}

/// An ending.
#[derive(Debug, Clone)]
pub(super) struct Ending {
    pub first: usize,
    pub last: usize,
    pub passes: Vec<usize>,
    /// Whether it closes with `:|`.
    goes_back: bool,
    /// Whether its last bar is known yet.
    closed: bool,
    span: Span,
}

/// The repeats of a page.
#[derive(Debug, Default)]
pub(super) struct Repeats {
    all: Vec<Repeat>,
    /// For each bar, the repeats that start with it, the outer ones first.
    starting: Vec<Vec<usize>>,
    /// For each bar, the innermost repeat it is in.
    innermost: Vec<Option<usize>>,
}

impl Repeat {
    /// Whether a pass of it is over at the end of this bar.
    pub(super) fn finishes(&self, bar: usize) -> bool {
        if self.endings.is_empty() {
            return bar + 1 == self.end;
        }
        self.endings.iter().any(|ending| ending.last == bar)
    }

    /// The ending this bar stands in.
    pub(super) fn ending_at(&self, bar: usize) -> Option<&Ending> {
        let holds = |ending: &&Ending| (ending.first..=ending.last).contains(&bar);
        self.endings.iter().find(holds)
    }

    /// The ending of a pass.
    pub(super) fn ending_of(&self, pass: usize) -> Option<&Ending> {
        self.endings.iter().find(|e| e.passes.contains(&pass))
    }

    /// The last pass in which this bar is played.
    pub(super) fn last_pass(&self, bar: usize) -> usize {
        let ending = self.ending_at(bar);
        ending.map_or(self.passes, |e| e.passes.iter().copied().max().unwrap_or(1))
    }
}

impl Repeats {
    /// Finds the repeats of a page, and notes what is wrong with them.
    pub(super) fn of(page: &WrittenBars<'_>, problems: &mut Vec<Diagnostic>) -> Self {
        let mut finder = RepeatFinder {
            page,
            open: Vec::new(),
            done: Vec::new(),
            fresh: 0,
            problems,
        };
        for bar in 0..page.bars.len() {
            finder.bar(bar);
        }
        finder.end();
        Self::nested(finder.done, page.bars.len())
    }

    /// How many there are.
    pub(super) fn len(&self) -> usize {
        self.all.len()
    }

    /// The bars a repeat starts with, and those after one.
    pub(super) fn edges(&self) -> impl Iterator<Item = usize> + '_ {
        self.all
            .iter()
            .flat_map(|repeat| [repeat.start, repeat.end])
    }

    /// The repeat of this number.
    pub(super) fn get(&self, number: usize) -> Option<&Repeat> {
        self.all.get(number)
    }

    /// The repeats that start with a bar, the outer ones first.
    pub(super) fn starting(&self, bar: usize) -> &[usize] {
        self.starting.get(bar).map_or(&[], Vec::as_slice)
    }

    /// The repeats a bar stands in, the inner ones first.
    pub(super) fn around(&self, bar: usize) -> impl Iterator<Item = usize> {
        let innermost = self.innermost.get(bar).copied().flatten();
        std::iter::successors(innermost, |&n| self.get(n).and_then(|r| r.parent))
    }

    fn nested(mut all: Vec<Repeat>, bars: usize) -> Self {
        // Of two that start with one bar the longer is the outer one.
        all.sort_by_key(|repeat| (repeat.start, std::cmp::Reverse(repeat.end)));
        let mut starting = vec![Vec::new(); bars];
        let mut innermost = vec![None; bars];
        let mut open: Vec<usize> = Vec::new();
        let mut next = 0;
        for (bar, (starting, innermost)) in starting.iter_mut().zip(&mut innermost).enumerate() {
            while open
                .last()
                .and_then(|&n| all.get(n))
                .is_some_and(|r| r.end <= bar)
            {
                open.pop();
            }
            while let Some(repeat) = all.get_mut(next).filter(|r| r.start == bar) {
                repeat.parent = open.last().copied();
                open.push(next);
                starting.push(next);
                next += 1;
            }
            *innermost = open.last().copied();
        }
        Self {
            all,
            starting,
            innermost,
        }
    }
}

/// A repeat whose end is not reached yet.
struct OpenRepeat {
    start: usize,
    /// Where its `|:` stands; `None` for one that has none.
    sign: Option<Span>,
    endings: Vec<Ending>,
    times: Option<(usize, Span)>,
    /// Whether one of its endings closed with `:|`.
    went_back: bool,
    /// Where what may be its last ending may have stopped.
    over_at: Option<usize>,
}

impl OpenRepeat {
    /// Whether it has gone back at least once and so may be over without another `:|`.
    fn may_be_over(&self) -> bool {
        self.went_back && self.endings.last().is_some_and(|e| !e.closed)
    }

    /// Whether an ending is one for a pass that has none yet.
    fn lacks(&self, ending: &[u8]) -> bool {
        let number = |pass: &u8| usize::from(*pass);
        let has = |pass: usize| self.endings.iter().any(|e| e.passes.contains(&pass));
        ending.iter().any(|pass| !has(number(pass)))
    }

    fn last_sign(&self) -> Span {
        self.endings.last().map(|e| e.span).unwrap_or_default()
    }
}

/// Goes over a page bar by bar.
struct RepeatFinder<'a, 'p> {
    page: &'a WrittenBars<'a>,
    open: Vec<OpenRepeat>,
    done: Vec<Repeat>,
    /// Where a `:|` without a `|:` goes back to.
    fresh: usize,
    problems: &'p mut Vec<Diagnostic>,
}

impl RepeatFinder<'_, '_> {
    fn bar(&mut self, at: usize) {
        let Some(bar) = self.page.bars.get(at).copied() else {
            return;
        };
        if self.page.headed.get(at) == Some(&true) {
            self.close_what_may_be_over(at);
            self.fresh = at;
        }
        if !bar.opens.endings.is_empty() {
            self.start_ending(at, &bar.opens.endings, bar.opens.span);
        }
        if bar.opens.repeat {
            self.start_repeat(at, bar.opens.span);
        }
        if let Some(times) = bar.closes.repeat {
            self.end_repeat(at, times, bar.closes.span);
        }
        if bar.closes.stroke != Stroke::Single {
            self.close_what_may_be_over(at + 1);
            self.fresh = at + 1;
        }
    }

    fn start_repeat(&mut self, at: usize, sign: Span) {
        // A `|:` at the head of an ending stands in it.
        if let Some(open) = self.open.last_mut().filter(|open| open.may_be_over()) {
            let in_ending = open.endings.last().is_some_and(|ending| ending.first < at);
            if in_ending && open.over_at.is_none() {
                open.over_at = Some(at);
            }
        }
        self.open(at, Some(sign));
    }

    fn open(&mut self, start: usize, sign: Option<Span>) {
        self.open.push(OpenRepeat {
            start,
            sign,
            endings: Vec::new(),
            times: None,
            went_back: false,
            over_at: None,
        });
    }

    /// A last ending that may have stopped has, now that no other ending follows.
    fn close_what_was_over(&mut self) {
        while let Some(open) = self.open.last().filter(|open| open.may_be_over()) {
            let Some(at) = open.over_at else {
                return;
            };
            let sign = open.last_sign();
            self.close(at, sign);
        }
    }

    fn start_ending(&mut self, first: usize, passes: &[u8], span: Span) {
        self.close_what_was_over();
        if self.open.is_empty() {
            if self.fresh >= first {
                self.problems.push(problems::ending_outside(span));
                return;
            }
            self.open(self.fresh, None);
        }
        let Some(open) = self.open.last_mut() else {
            return;
        };
        if let Some(before) = open.endings.last_mut().filter(|e| !e.closed) {
            before.last = first.saturating_sub(1);
            before.closed = true;
        }
        open.endings.push(Ending {
            first,
            last: first,
            passes: passes.iter().copied().map(usize::from).collect(),
            goes_back: false,
            closed: false,
            span,
        });
    }

    fn end_repeat(&mut self, at: usize, times: Times, sign: Span) {
        let next = self.page.bars.get(at + 1);
        let next = next.map_or(&[][..], |bar| &bar.opens.endings);
        let top = self.open.last();
        if top.is_some_and(|open| open.over_at.is_some() && !open.lacks(next)) {
            self.close_what_was_over();
        }
        if self.open.is_empty() {
            self.open(self.fresh, None);
        }
        let outermost = self.open.len() == 1;
        let Some(open) = self.open.last_mut() else {
            return;
        };
        if let Times::Count(count) = times {
            open.times = Some((usize::from(count), sign));
        }
        let has_endings = !open.endings.is_empty();
        if let Some(ending) = open.endings.last_mut() {
            ending.last = at;
            ending.goes_back = true;
            ending.closed = true;
            open.went_back = true;
            open.over_at = None;
        }
        // An ending for a pass it has one for already is one of the repeat around it.
        let goes_on = self.page.ending_follows(at) && (outermost || open.lacks(next));
        if !(has_endings && goes_on) {
            self.close(at + 1, sign);
        }
    }

    /// Closes the innermost repeat if it is in its last ending. One round it may be over as well.
    fn close_what_may_be_over(&mut self, end: usize) {
        let Some(open) = self.open.last().filter(|open| open.may_be_over()) else {
            return;
        };
        let (at, sign) = (open.over_at.unwrap_or(end), open.last_sign());
        self.close(at, sign);
        if let Some(outer) = self.open.last_mut().filter(|open| open.may_be_over()) {
            outer.over_at = outer.over_at.or(Some(end));
        }
    }

    fn close(&mut self, end: usize, sign: Span) {
        let Some(mut open) = self.open.pop() else {
            return;
        };
        if let Some(ending) = open.endings.last_mut().filter(|e| !e.closed) {
            ending.last = end.saturating_sub(1);
            ending.closed = true;
        }
        let passes = self.passes(&open);
        self.fresh = self.fresh.max(end);
        self.done.push(Repeat {
            start: open.start,
            end,
            endings: open.endings,
            passes,
            sign: open.times.map_or(sign, |(_, sign)| sign),
            parent: None,
        });
    }

    /// How often a repeat is played; notes passes without an ending or with two.
    fn passes(&mut self, open: &OpenRepeat) -> usize {
        let numbers = open.endings.iter().flat_map(|e| &e.passes).copied();
        let highest = numbers.max().unwrap_or(0);
        let count = open.times.map(|(count, _)| count);
        let passes = count.unwrap_or(2).max(highest).max(1);
        if let Some((count, sign)) = open.times.filter(|&(count, _)| count < highest) {
            self.problems
                .push(problems::count_too_low(sign, count, highest));
        }
        if !open.endings.is_empty() {
            self.check_endings(open, passes, highest);
        }
        passes
    }

    fn check_endings(&mut self, open: &OpenRepeat, passes: usize, highest: usize) {
        let mut taken = vec![false; passes + 1];
        for ending in &open.endings {
            for &pass in &ending.passes {
                if taken.get(pass) == Some(&true) {
                    self.problems.push(problems::two_endings(ending.span, pass));
                }
                if let Some(taken) = taken.get_mut(pass) {
                    *taken = true;
                }
            }
            if !ending.goes_back && ending.passes.iter().any(|&pass| pass < highest) {
                self.problems.push(problems::goes_nowhere(ending.span));
            }
        }
        let missing = (1..=passes).find(|&pass| taken.get(pass) != Some(&true));
        if let (Some(pass), Some(last)) = (missing, open.endings.last()) {
            self.problems
                .push(problems::no_ending(last.span, pass, passes));
        }
    }

    /// Whatever is still open at the end of the page.
    fn end(&mut self) {
        while self.open.last().is_some_and(OpenRepeat::may_be_over) {
            self.close_what_may_be_over(self.page.bars.len());
        }
        for open in std::mem::take(&mut self.open) {
            match (open.sign, open.endings.first()) {
                // One within it is never closed, which is said.
                _ if open.may_be_over() => {}
                (Some(sign), _) if self.page.taken_out => {
                    self.problems.push(problems::closed_elsewhere(sign));
                }
                (Some(sign), _) => self.problems.push(problems::never_closed(sign)),
                (None, Some(ending)) => self.problems.push(problems::ending_outside(ending.span)),
                (None, None) => {}
            }
        }
    }
}
