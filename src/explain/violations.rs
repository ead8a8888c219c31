//! What a voicing violates, in words.

use crate::arrange::spelled;
use crate::chart::Slot;
use crate::hand::Breach;

/// A breach in words, its notes spelled as the page has them.
pub(crate) fn in_words(breach: &Breach, slot: &Slot) -> String {
    breach.spelled(|pitch| spelled(pitch, slot))
}
