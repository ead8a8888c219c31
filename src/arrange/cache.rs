//! The voicings found so far: a tune asks for the same chord in the same place many times.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use crate::chord::Chord;
use crate::harmony::{HarmonicContext, Melody};
use crate::pitch::Note;
use crate::voicing::{Ask, NoVoicing, Voicing, VoicingSettings, candidates, read_given};

/// Candidates by chord, place and melody, for one set of settings; and given voicings by chord and notes.
///
/// Kept across the charts of a songbook it saves most of the work. A cache asked under other settings
/// forgets what it knew, so it can never answer for the wrong hand. It only ever holds what is the
/// same every time, so results don't depend on it.
#[derive(Debug, Default)]
pub struct Cache {
    settings: Option<VoicingSettings>,
    /// By symbol, since chords that are written alike are equal; then by context, of which a chord has more
    /// and more over a songbook.
    found: HashMap<String, BTreeMap<HarmonicContext, ByMelody>>,
    /// What given notes are in a chord is the same for every hand.
    given: HashMap<String, HashMap<Vec<Note>, Arc<Vec<Voicing>>>>,
}

/// What is found for one chord in one context.
#[derive(Debug, Default)]
struct ByMelody {
    /// Without a melody, as most songbooks are.
    none: Option<Arc<Vec<Voicing>>>,
    /// Under each melody.
    under: HashMap<Melody, Arc<Vec<Voicing>>>,
}

impl ByMelody {
    fn get(&self, melody: &Melody) -> Option<&Arc<Vec<Voicing>>> {
        match *melody == Melody::NONE {
            true => self.none.as_ref(),
            false => self.under.get(melody),
        }
    }

    fn insert(&mut self, melody: &Melody, voicings: Arc<Vec<Voicing>>) {
        match *melody == Melody::NONE {
            true => self.none = Some(voicings),
            false => {
                self.under.insert(melody.clone(), voicings);
            }
        }
    }
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
        settings: &VoicingSettings,
    ) -> Result<Arc<Vec<Voicing>>, NoVoicing> {
        if self.settings.as_ref() != Some(settings) {
            self.settings = Some(settings.clone());
            self.found.clear();
        }
        let symbol = ask.chord.symbol();
        let contexts = self.found.get(symbol);
        let known = contexts.and_then(|contexts| contexts.get(&ask.context));
        if let Some(voicings) = known.and_then(|by_melody| by_melody.get(ask.melody)) {
            return Ok(Arc::clone(voicings));
        }
        let voicings = Arc::new(candidates(ask, settings)?.voicings);
        self.remember(ask, Arc::clone(&voicings));
        Ok(voicings)
    }

    fn remember(&mut self, ask: &Ask<'_>, voicings: Arc<Vec<Voicing>>) {
        let contexts = self.found.entry(ask.chord.symbol().to_owned());
        let by_melody = contexts.or_default().entry(ask.context).or_default();
        by_melody.insert(ask.melody, voicings);
    }

    /// What [`read_given`] makes of these notes over this chord, read or remembered: one voicing, or
    /// none.
    pub(super) fn given(&mut self, chord: &Chord, notes: &[Note]) -> Arc<Vec<Voicing>> {
        let symbol = chord.symbol();
        let known = self.given.get(symbol);
        if let Some(voicing) = known.and_then(|by_notes| by_notes.get(notes)) {
            return Arc::clone(voicing);
        }
        let voicing = Arc::new(read_given(chord, notes).into_iter().collect());
        let by_notes = self.given.entry(symbol.to_owned()).or_default();
        by_notes.insert(notes.to_vec(), Arc::clone(&voicing));
        voicing
    }
}
