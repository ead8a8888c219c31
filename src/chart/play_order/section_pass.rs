//! One pass through a section, or through the whole chart where the sections stand in their order.

use super::repeats::Repeats;
use super::signs::Signs;
use super::written_bars::WrittenBars;

/// The bars that are played as one, with what was found on them.
pub(super) struct SectionPass<'a> {
    pub written: WrittenBars<'a>,
    pub repeats: Repeats,
    pub signs: Signs,
}
