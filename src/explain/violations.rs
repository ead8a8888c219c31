//! What a voicing violates, in words.

use crate::arrange::spelled;
use crate::chart::Slot;
use crate::hand::Violation;

/// A violation in words, its notes spelled as the page has them.
pub(crate) fn in_words(violation: &Violation, slot: &Slot) -> String {
    violation.spelled(|pitch| spelled(pitch, slot))
}
