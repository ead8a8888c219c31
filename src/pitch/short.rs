//! Texts of a few letters, put together without an allocation: a songbook has hundreds of thousands.

/// How long they may be: a note has a letter, three accidentals and an octave with its sign.
const MOST: usize = 16;

/// A text of a few letters.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Short {
    bytes: [u8; MOST],
    len: usize,
}

impl Short {
    /// With `text` behind it; what has no room is left out.
    pub fn and(mut self, text: &str) -> Self {
        let room = self.bytes.get_mut(self.len..self.len + text.len());
        if let Some(room) = room {
            room.copy_from_slice(text.as_bytes());
            self.len += text.len();
        }
        self
    }

    pub fn as_str(&self) -> &str {
        let bytes = self.bytes.get(..self.len).unwrap_or_default();
        // Whole texts were put together, so this is one.
        std::str::from_utf8(bytes).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::Short;

    #[test]
    fn texts_are_put_together_while_there_is_room() {
        let short = Short::default().and("b♭").and("13");
        assert_eq!(short.as_str(), "b♭13");
        assert_eq!(short.and("0123456789").as_str(), "b♭130123456789");
        assert_eq!(short.and("0123456789a").as_str(), "b♭13");
    }
}
