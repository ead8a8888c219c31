//! Where something stood in the text it was read from.

use std::hash::{Hash, Hasher};
use std::ops::Range;

/// A stretch of the source, in bytes; for diagnostics only.
///
/// Two spans are always equal: a chart is the same chart however its text was spaced, so the place
/// of a chord takes no part in comparing two charts.
#[derive(Debug, Clone, Copy, Default)]
pub struct Span {
    start: u32,
    end: u32,
}

impl Span {
    /// The bytes `start..end`. (A chart is far shorter than the four gigabytes this can point at.)
    pub fn new(range: Range<usize>) -> Self {
        let narrow = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Self {
            start: narrow(range.start),
            end: narrow(range.end),
        }
    }

    /// The bytes, as a range into the source.
    pub const fn range(self) -> Range<usize> {
        self.start as usize..self.end as usize
    }
}

impl PartialEq for Span {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Eq for Span {}

impl Hash for Span {
    fn hash<H: Hasher>(&self, _: &mut H) {}
}

/// Where several things of one kind stood, in their order; as with one, all are equal.
#[derive(Debug, Clone, Default)]
pub struct Spans(Vec<Span>);

impl Spans {
    /// Spans in the order of what they are about.
    pub const fn new(spans: Vec<Span>) -> Self {
        Self(spans)
    }

    /// Where the thing with this number stood, from 0; where one alone stood for all, that.
    pub fn of(&self, number: usize) -> Option<Span> {
        let Self(spans) = self;
        let lone = spans.first().filter(|_| spans.len() == 1);
        spans.get(number).or(lone).copied()
    }
}

impl PartialEq for Spans {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Eq for Spans {}
