//! Collects every mistake, up to a number somebody may still want to read.

use std::ops::Range;

use crate::chart::Diagnostic;
use crate::words::noun;

/// How many mistakes are described; the rest are only counted.
const DESCRIBED: usize = 100;

/// The mistakes found so far.
#[derive(Debug, Default)]
pub(super) struct Problems {
    described: Vec<Diagnostic>,
    /// How many more there are, and where the first of them is.
    more: Option<(usize, Range<usize>)>,
}

impl Problems {
    /// Notes a mistake.
    pub fn add(&mut self, problem: Diagnostic) {
        if self.described.len() < DESCRIBED {
            self.described.push(problem);
        } else {
            let (count, first) = self.more.take().unwrap_or((0, problem.span));
            self.more = Some((count + 1, first));
        }
    }

    /// Notes a mistake if there is one.
    pub fn add_some(&mut self, problem: Option<Diagnostic>) {
        if let Some(problem) = problem {
            self.add(problem);
        }
    }

    pub fn is_empty(&self) -> bool {
        self.described.is_empty()
    }

    /// In the order of the text, with a last one that counts those not described.
    pub fn into_sorted(self) -> Vec<Diagnostic> {
        let mut problems = self.described;
        problems.sort_by_key(|p| (p.span.start, p.span.end));
        problems.extend(self.more.map(|(count, first)| and_more(count, first)));
        problems
    }
}

fn and_more(count: usize, first: Range<usize>) -> Diagnostic {
    let noun = noun(count, "mistake");
    Diagnostic::error(
        first,
        format!("and {count} more {noun}"),
        "the next is here",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mistakes_beyond_a_hundred_are_counted() {
        let mut problems = Problems::default();
        for at in 0..150 {
            problems.add(Diagnostic::error(at..at + 1, "wrong", "here"));
        }
        let problems = problems.into_sorted();
        assert_eq!(problems.len(), 101);
        assert_eq!(problems[100].message, "and 50 more mistakes");
        assert_eq!(problems[100].span, 100..101);
    }
}
