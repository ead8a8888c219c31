//! A chart made ready: its slots, how they are performed, and the context of every chord.
//!
//! Every command starts from it. What a chord means depends on the key it stands in and on what it leads
//! to. The keys are found in the tune's first changes, where `was` rows keep them: other chords in place
//! of some do not change what key a tune is in. What a chord leads to stands on the page as it is, but
//! where the way there crosses a repeat, an ending or a jump, it is what stood there first. So no chord
//! that is replaced in one round changes what a chord means in another.

use std::collections::HashMap;

use super::played::{Beside, PlayedChords, chords_as_played};
use super::settings::Settings;
use super::trouble::Trouble;
use crate::chart::{Bar, Beats, Chart, Performance, Slot};
use crate::chord::Chord;
use crate::harmony::{
    Ahead, Analysis, HarmonicContext, LineTone, Melody, aheads, analyses_in, context,
};
use crate::pitch::Key;
use crate::voicing::Ask;

/// A chart made ready under some settings.
#[derive(Debug, Clone)]
pub(crate) struct Problem<'s> {
    /// What it is to be solved under.
    pub settings: &'s Settings,
    /// The slots of the page, in written order.
    pub slots: Vec<Slot>,
    /// How they are performed.
    pub performance: Performance,
    /// The home key of the performance: the chart's own, or the one its chords have.
    pub home: Option<Key>,
    /// The key each slot stands in the first time it is played; `None` where it never is, or no key is
    /// found.
    pub keys: Vec<Option<Key>>,
    /// Where each slot's chord goes the first time it is played. A slot that is never played stands
    /// alone.
    pub contexts: Vec<HarmonicContext>,
    /// The melody that counts in each slot.
    melodies: Vec<Melody>,
    /// What the chords beside each chord of the page before any was replaced say of it.
    beside: Vec<Beside>,
    /// The page before any chord was replaced, where it is another.
    before: Option<Before>,
}

/// The page before any chord was replaced.
#[derive(Debug, Clone)]
struct Before {
    slots: Vec<Slot>,
    performance: Performance,
}

impl<'s> Problem<'s> {
    /// A chart made ready.
    ///
    /// # Errors
    ///
    /// [`Trouble::PlayOrder`] where its repeats, endings or jumps can't be played.
    pub fn of(chart: &Chart, settings: &'s Settings) -> Result<Self, Trouble> {
        let slots = chart.slots();
        let performance = chart.performance(&slots, settings.looped);
        let performance = performance.map_err(Trouble::PlayOrder)?;
        Ok(Self::performed(chart, slots, performance, settings))
    }

    /// A chart whose slots are performed in a way that is known.
    pub fn performed(
        chart: &Chart,
        slots: Vec<Slot>,
        performance: Performance,
        settings: &'s Settings,
    ) -> Self {
        let before = Before::of(chart, settings.looped);
        let found = PageHarmony::on(chart, (&slots, &performance), before.as_ref());
        let mut problem = Self {
            settings,
            home: found.home,
            keys: found.keys,
            contexts: Vec::new(),
            melodies: slots.iter().map(|slot| settings.melody(slot)).collect(),
            beside: found.beside,
            before,
            performance,
            slots,
        };
        problem.contexts = problem.found_contexts(&found.lines);
        problem
    }

    /// The melody that counts in a slot.
    pub fn melody(&self, slot: usize) -> &Melody {
        static NONE: Melody = Melody::NONE;
        self.melodies.get(slot).unwrap_or(&NONE)
    }

    /// Where the chord of a slot goes.
    pub fn context(&self, slot: usize) -> HarmonicContext {
        self.contexts.get(slot).copied().unwrap_or_default()
    }

    /// What is asked of the hand in a slot; `None` where no chord stands.
    pub fn ask(&self, slot: usize) -> Option<Ask<'_>> {
        Some(Ask {
            chord: self.slots.get(slot)?.symbol.chord()?,
            context: self.context(slot),
            melody: self.melody(slot),
        })
    }

    /// For each slot the next different chord after its first visit: what its chord leads to.
    pub fn leads_to(&self) -> Vec<Option<&Chord>> {
        let ahead = self.ahead_of_runs();
        let mut next = Ahead::default();
        let mut found = vec![None; self.slots.len()];
        for (at, (slot, found)) in self.slots.iter().zip(&mut found).enumerate().rev() {
            if !self.performance.joins(at, at + 1) {
                next = ahead.get(slot.bar).copied().unwrap_or_default();
            }
            if let Some(chord) = slot.symbol.chord() {
                next = next.before(chord);
                *found = next.next();
            }
        }
        found
    }

    /// Where each slot's chord stands the first time it is played; `None` for silence, for a chord that is
    /// never played, and where it has no key.
    pub fn analyses(&self) -> Vec<Option<Analysis>> {
        let performance = &self.performance;
        let nexts = as_played(&self.leads_to(), performance);
        let keys = as_played(&self.keys, performance);
        let chords = chords_as_played(&self.slots, performance);
        let found = performance.at_first(analyses_in(&chords, &keys, &nexts));
        found.into_iter().map(Option::flatten).collect()
    }

    /// For each bar, counted from 1, what lies ahead of its last slot on the page before any chord was
    /// replaced, the first time it is played.
    pub fn ahead_of_runs(&self) -> Vec<Ahead<'_>> {
        let (slots, performance) = self.page_before();
        let chords = chords_as_played(slots, performance);
        let first = performance.at_first(aheads(&chords, performance.is_looped()));
        let bars = slots.last().map_or(0, |slot| slot.bar + 1);
        let mut of_bar = vec![Ahead::default(); bars];
        for (slot, ahead) in slots.iter().zip(first) {
            if let Some(of_bar) = of_bar.get_mut(slot.bar) {
                *of_bar = ahead.unwrap_or_default();
            }
        }
        of_bar
    }

    fn page_before(&self) -> (&[Slot], &Performance) {
        match &self.before {
            Some(before) => (&before.slots, &before.performance),
            None => (&self.slots, &self.performance),
        }
    }

    fn found_contexts<'c>(&'c self, lines: &[Option<LineTone>]) -> Vec<HarmonicContext> {
        let slots = self.slots.iter().enumerate().zip(self.leads_to());
        let mut known = KnownContexts::default();
        let mut context = |((at, slot), next): ((usize, &'c Slot), Option<&'c Chord>)| {
            let played = self.performance.times(at) > 0;
            let chord = slot.symbol.chord().filter(|_| played)?;
            let key = self.keys.get(at).copied().flatten();
            let line = lines.get(at).copied().flatten();
            let beside = self.beside(slot.bar, slot.beat, chord);
            let context = known.of(chord, key, next);
            let sung = slot.melody_notes.iter().map(|note| note.note.name());
            Some(HarmonicContext {
                line: line.or(beside.plain),
                after_suspension: beside.after_suspension,
                names: context.names.under(sung),
                ..context
            })
        };
        let contexts = slots.map(|slot| context(slot).unwrap_or_default());
        contexts.collect()
    }
}

impl Problem<'_> {
    /// What the chords beside it say of a chord at a place. It is found on the page as it was, as far as its
    /// chords still stand: no chord that is replaced takes the colour of the one beside it away.
    pub fn beside(&self, bar: usize, beat: Beats, chord: &Chord) -> Beside {
        let (before, _) = self.page_before();
        let first = before.partition_point(|slot| slot.bar < bar);
        let here = before.iter().zip(&self.beside).skip(first);
        let mut here = here.take_while(|(slot, _)| slot.bar == bar);
        let same = here.find(|(slot, _)| slot.beat == beat);
        let stands = |slot: &Slot| slot.symbol.chord().map(Chord::symbol) == Some(chord.symbol());
        let same = same.filter(|(slot, _)| stands(slot));
        same.map(|(_, beside)| *beside).unwrap_or_default()
    }
}

/// The contexts found so far: a tune has the same chord before the same chord many times. A symbol is read
/// once, so chords that are written alike are mostly one; where they are not, the context is found again.
#[derive(Default)]
struct KnownContexts(HashMap<(*const Chord, Option<*const Chord>, Option<Key>), HarmonicContext>);

impl KnownContexts {
    /// The context of a chord in a key, before the next different chord.
    fn of(&mut self, chord: &Chord, key: Option<Key>, next: Option<&Chord>) -> HarmonicContext {
        let Self(known) = self;
        let asked = (&raw const *chord, next.map(|next| &raw const *next), key);
        let found = || context(chord, key, next);
        *known.entry(asked).or_insert_with(found)
    }
}

/// What is found on a page before its contexts are.
struct PageHarmony {
    home: Option<Key>,
    keys: Vec<Option<Key>>,
    beside: Vec<Beside>,
    lines: Vec<Option<LineTone>>,
}

impl PageHarmony {
    /// Lines are found on the page as it is, all else on the page as it was.
    fn on(chart: &Chart, now: (&[Slot], &Performance), before: Option<&Before>) -> Self {
        let (slots, performance) = now;
        let now = PlayedChords::of(slots, performance);
        let lines = now.lines();
        let Some(before) = before else {
            let (home, keys) = now.keys(chart);
            return Self {
                home,
                keys,
                beside: now.beside(),
                lines,
            };
        };
        let was = PlayedChords::of(&before.slots, &before.performance);
        let (home, keys) = was.keys(chart);
        Self {
            home,
            keys: before.keys_of(slots, &keys),
            beside: was.beside(),
            lines,
        }
    }
}

impl Before {
    /// The keys of other slots in the same bars, where those of its own slots are these.
    fn keys_of(&self, slots: &[Slot], keys: &[Option<Key>]) -> Vec<Option<Key>> {
        let sounding = |slot: &Slot| {
            let known = self.slots.iter().zip(keys);
            let mut until = known.filter(|(b, _)| b.bar == slot.bar && b.beat <= slot.beat);
            until.next_back().and_then(|(_, key)| *key)
        };
        slots.iter().map(sounding).collect()
    }

    /// That of a chart, if it has changed and can be played.
    fn of(chart: &Chart, looped: bool) -> Option<Self> {
        if !chart.bars().any(Bar::is_changed) {
            return None;
        }
        let order = chart.play_order().ok()?;
        let slots = chart.before().slots();
        Some(Self {
            performance: order.performance(&slots, looped),
            slots,
        })
    }
}

/// What is known of each slot, in the order they are played.
fn as_played<T: Copy>(of_slots: &[Option<T>], performance: &Performance) -> Vec<Option<T>> {
    let known = |&at: &usize| of_slots.get(at).copied().flatten();
    performance.visits().iter().map(known).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::read;

    /// What the chord of each slot leads to.
    fn leads_to(text: &str, looped: bool) -> Vec<String> {
        let settings = Settings {
            looped,
            ..Settings::default()
        };
        let problem = Problem::of(&read(text).unwrap(), &settings).unwrap();
        let nexts = problem.leads_to().into_iter();
        nexts
            .map(|next| next.map_or("-".to_owned(), |next| next.symbol().to_owned()))
            .collect()
    }

    #[test]
    fn what_is_crossed_by_a_repeat_is_seen_as_it_was() {
        let repeated = "|: Db7 | C6 :| Em7 |\nwas | G7 | - | F6 |";
        assert_eq!(leads_to(repeated, false), ["C6", "G7", "-"]);
        assert_eq!(leads_to(repeated, true), ["C6", "G7", "G7"]);
        // On a straight page every chord leads to what stands there now.
        let straight = "| Db7 | C6 | Em7 |\nwas | G7 | - | F6 |";
        assert_eq!(leads_to(straight, false), ["C6", "Em7", "-"]);
    }

    #[test]
    fn a_dominant_sees_past_its_own_root_over_a_seam_and_silence() {
        let sus = "| G7sus | N.C. |: G7 | F6 :|\nwas | - | - | - | C6 |";
        assert_eq!(leads_to(sus, false), ["C6", "-", "F6", "G7"]);
        assert_eq!(leads_to("|: G7 | G7sus :| C6 |", false), ["C6", "C6", "-"]);
    }

    #[test]
    fn a_slot_that_is_never_played_stands_alone() {
        let text = "key: C\nplay: A\n[A]\n| G7 |\n[B]\n| C6 |";
        let chart = read(text).unwrap();
        let settings = Settings::default();
        let problem = Problem::of(&chart, &settings).unwrap();
        assert_eq!(problem.contexts[1], HarmonicContext::default());
        assert_eq!(problem.keys, [Some("C".parse().unwrap()), None]);
    }
}
