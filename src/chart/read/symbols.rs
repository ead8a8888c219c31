//! Chord symbols, each read once: a songbook says the same few hundred again and again.

use std::cell::RefCell;
use std::collections::HashMap;
use std::sync::Arc;

use crate::chord::{Symbol, Unread};

/// So many are remembered: more than a songbook has, and never much memory.
const MOST: usize = 4096;

thread_local! {
    /// Each thread has its own, so nothing waits. A symbol is read alike everywhere, so results don't depend
    /// on what is remembered.
    static SYMBOLS: RefCell<Symbols> = RefCell::new(Symbols::of(MOST));
}

/// A symbol, read or remembered.
///
/// # Errors
///
/// As [`Symbol::read`]; failures are not remembered.
pub(super) fn symbol(text: &str) -> Result<Arc<Symbol>, Unread> {
    SYMBOLS.with_borrow_mut(|symbols| symbols.read(text))
}

/// The symbols that were read so far.
struct Symbols {
    known: HashMap<String, Arc<Symbol>>,
    most: usize,
}

impl Symbols {
    fn of(most: usize) -> Self {
        Self {
            known: HashMap::new(),
            most,
        }
    }

    fn read(&mut self, text: &str) -> Result<Arc<Symbol>, Unread> {
        if let Some(symbol) = self.known.get(text) {
            return Ok(Arc::clone(symbol));
        }
        let symbol = Arc::new(Symbol::read(text)?);
        if self.known.len() < self.most {
            self.known.insert(text.to_owned(), Arc::clone(&symbol));
        }
        Ok(symbol)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_symbol_is_read_once_as_long_as_there_is_room() {
        let mut symbols = Symbols::of(1);
        let mut twice = |text| [symbols.read(text), symbols.read(text)].map(Result::unwrap);
        let [one, again] = twice("C7");
        assert!(Arc::ptr_eq(&one, &again));
        let [one, again] = twice("F7");
        assert!(!Arc::ptr_eq(&one, &again) && one == again);
        assert_eq!((one.text(), symbols.known.len()), ("F7", 1));
        assert_eq!(symbols.read("X7"), Symbol::read("X7").map(Arc::new));
    }
}
