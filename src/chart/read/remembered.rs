//! What short texts were read as: a songbook has the same few hundred symbols and voicings again and again.

use std::collections::HashMap;

/// So many are remembered by default: more than a songbook has, and never much memory.
const MOST: usize = 4096;

/// What was read so far, by its text.
pub(super) struct Remembered<T> {
    known: HashMap<String, T>,
    most: usize,
}

impl<T> Default for Remembered<T> {
    fn default() -> Self {
        Self {
            known: HashMap::new(),
            most: MOST,
        }
    }
}

impl<T: Clone> Remembered<T> {
    /// What a text says, read or remembered.
    ///
    /// # Errors
    ///
    /// Those of `read`, which are not remembered.
    pub fn get<E>(&mut self, text: &str, read: impl FnOnce() -> Result<T, E>) -> Result<T, E> {
        if let Some(known) = self.known.get(text) {
            return Ok(known.clone());
        }
        let found = read()?;
        if self.known.len() < self.most {
            self.known.insert(text.to_owned(), found.clone());
        }
        Ok(found)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_read_once_as_long_as_there_is_room() {
        let mut remembered = Remembered {
            most: 1,
            ..Remembered::default()
        };
        let mut times = 0;
        for text in ["a", "b", "a", "b", "a"] {
            let mut read = || {
                times += 1;
                Ok::<_, ()>(text.to_uppercase())
            };
            assert_eq!(remembered.get(text, &mut read), Ok(text.to_uppercase()));
        }
        assert_eq!(times, 3);
        assert_eq!(remembered.get("c", || Err(())), Err(()));
    }
}
