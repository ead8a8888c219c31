//! What is said within a bar and holds from the next one.

use crate::formats::song::SongBar;
use crate::pitch::Key;
use crate::score::Quarters;

/// What changes with the next bar.
#[derive(Default)]
pub(super) struct NextBar {
    pub key: Option<Key>,
    pub tempo: Option<Quarters>,
}

impl NextBar {
    /// Hands it over to a bar.
    pub fn take(&mut self, bar: &mut SongBar) {
        bar.key = self.key.take().or(bar.key);
        bar.tempo = self.tempo.take().or(bar.tempo);
    }
}
