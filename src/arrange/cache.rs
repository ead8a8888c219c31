//! The candidates found so far: a tune asks for the same chord in the same place many times.

use std::collections::HashMap;
use std::sync::Arc;

use crate::chord::Chord;
use crate::harmony::Place;
use crate::pitch::Pitch;
use crate::voicing::{Ask, NoVoicing, Settings, Voicing, candidates};

/// Candidates by chord, place and tune, for one set of settings.
///
/// Kept across the charts of a songbook it saves most of the work. A cache asked under other settings
/// forgets what it knew, so it can never answer for the wrong hand. It only ever holds what is the
/// same every time, so results don't depend on it.
#[derive(Debug, Default)]
pub struct Cache {
    settings: Option<Settings>,
    found: HashMap<(Chord, Place), Vec<Known>>,
}

#[derive(Debug)]
struct Known {
    melody: Vec<Pitch>,
    voicings: Arc<Vec<Voicing>>,
}

impl Cache {
    /// The candidates for `ask`, found or remembered.
    ///
    /// # Errors
    ///
    /// [`NoVoicing`], as [`candidates`] gives it; failures are not remembered.
    pub fn candidates(
        &mut self,
        ask: &Ask<'_>,
        settings: &Settings,
    ) -> Result<Arc<Vec<Voicing>>, NoVoicing> {
        if self.settings.as_ref() != Some(settings) {
            self.settings = Some(settings.clone());
            self.found.clear();
        }
        let known = self
            .found
            .entry((ask.chord.clone(), ask.place))
            .or_default();
        if let Some(known) = known.iter().find(|known| known.melody == ask.melody) {
            return Ok(Arc::clone(&known.voicings));
        }
        let voicings = Arc::new(candidates(ask, settings)?.voicings);
        known.push(Known {
            melody: ask.melody.to_vec(),
            voicings: Arc::clone(&voicings),
        });
        Ok(voicings)
    }
}
