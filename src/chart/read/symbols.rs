//! Chord symbols, each read once a thread.

use std::cell::RefCell;
use std::sync::Arc;

use super::remembered::Remembered;
use crate::chord::{Symbol, Unread};

thread_local! {
    /// Each thread has its own, so nothing waits. A symbol is read alike everywhere, so results don't depend
    /// on what is remembered.
    static KNOWN: RefCell<Remembered<Arc<Symbol>>> = RefCell::default();
}

/// A symbol, read or remembered.
///
/// # Errors
///
/// As [`Symbol::read`].
pub(super) fn symbol(text: &str) -> Result<Arc<Symbol>, Unread> {
    KNOWN.with_borrow_mut(|known| known.get(text, || Symbol::read(text).map(Arc::new)))
}
