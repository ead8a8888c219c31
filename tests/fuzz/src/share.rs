//! How many of the inputs of a target are read: of a target all of whose inputs are refused little is tried.

use std::sync::atomic::{AtomicU64, Ordering::Relaxed};

/// After so many inputs the share is said.
const SAID_AFTER: u64 = 100_000;

/// The share of inputs that are read.
pub struct Share {
    what: &'static str,
    tried: AtomicU64,
    read: AtomicU64,
}

impl Share {
    /// Of these.
    pub const fn of(what: &'static str) -> Self {
        Self {
            what,
            tried: AtomicU64::new(0),
            read: AtomicU64::new(0),
        }
    }

    /// Counts one input.
    pub fn count(&self, is_read: bool) {
        let read = self.read.fetch_add(u64::from(is_read), Relaxed) + u64::from(is_read);
        let tried = self.tried.fetch_add(1, Relaxed) + 1;
        if tried % SAID_AFTER == 0 {
            eprintln!("{}: {read} of {tried} are read", self.what);
        }
    }
}
