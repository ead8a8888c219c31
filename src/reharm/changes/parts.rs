//! The chords that may sound on a page: the written ones, and those of every replacement.

use std::collections::BTreeSet;
use std::ops::Range;

use super::beside::keeps_its_first;
use super::{stretches, within};
use crate::arrange::{Problem, Settings};
use crate::chart::{Beats, MelodyNote, NewChord, Performance, Replacement, Slot, Wish};
use crate::chord::Chord;
use crate::harmony::{Ahead, ChordTime, LineTone, Melody, lines};
use crate::pitch::Key;

/// A moment of the page at which something may begin: every slot has one, and one more for each
/// beat inside it on which a replacement has a chord.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Moment {
    /// The slot it lies in.
    pub slot: usize,
    /// The beat of its bar, from 1.
    pub beat: Beats,
}

/// A chord that may sound, for as long as it does.
#[derive(Debug, Clone)]
pub(super) struct PossibleChord<'a> {
    pub chord: &'a Chord,
    /// The key it stands in.
    pub region: Option<Key>,
    /// The line on one root it is part of: as a written chord, or among a replacement and what is written
    /// beside it.
    pub line: Option<LineTone>,
    /// Whether it resolves the suspended seventh chord that is written before it.
    pub after_suspension: bool,
    /// The moments it lasts, at least one.
    pub moments: Range<usize>,
    /// Which chord of which replacement it is; `None` for a written one.
    pub of: Option<(usize, usize)>,
    /// Whether a replacement goes on with another chord after it.
    pub goes_on: bool,
    /// Whether it begins a replacement that takes the chord written there, which one just before would lead to.
    pub takes_goal: bool,
    /// The melody over it.
    pub melody: Melody,
}

/// A page with everything that may sound on it.
pub(super) struct SpannedPage<'a> {
    pub slots: &'a [Slot],
    pub performance: &'a Performance,
    pub moments: Vec<Moment>,
    /// The written parts first, in their order, then replacement by replacement.
    pub parts: Vec<PossibleChord<'a>>,
    /// For each bar, counted from 1, what lies ahead of it where it ends a run.
    pub ahead_of_bars: Vec<Ahead<'a>>,
    /// For each moment, the parts that may sound there.
    here: Vec<Vec<usize>>,
}

impl<'a> SpannedPage<'a> {
    pub fn of(
        sources: &'a Problem<'a>,
        replacements: &'a [Replacement],
        settings: &Settings,
    ) -> Self {
        let slots = sources.slots.as_slice();
        let stretches = stretches(slots, &sources.performance);
        let usable = |r: &&(usize, &Replacement)| within(&stretches, &r.1.slots);
        let all: Vec<(usize, &Replacement)> = replacements.iter().enumerate().collect();
        let usable: Vec<(usize, &'a Replacement)> = all.iter().filter(usable).copied().collect();
        let mut page = Self {
            slots,
            performance: &sources.performance,
            moments: moments(slots, &usable),
            parts: Vec::new(),
            ahead_of_bars: sources.ahead_of_runs(),
            here: Vec::new(),
        };
        page.write(sources, settings);
        for (at, replacement) in usable {
            page.replace(at, replacement, sources, settings);
        }
        page.here = vec![Vec::new(); page.moments.len()];
        for (at, part) in page.parts.iter().enumerate() {
            let here = page.here.get_mut(part.moments.clone()).into_iter();
            here.flatten().for_each(|here| here.push(at));
        }
        page
    }

    /// The parts that may sound at a moment, with their places in the list.
    pub fn here(&self, moment: usize) -> impl Iterator<Item = (usize, &PossibleChord<'a>)> {
        let here = self.here.get(moment).into_iter().flatten();
        here.filter_map(|&at| Some((at, self.parts.get(at)?)))
    }

    fn write(&mut self, sources: &Problem<'_>, settings: &Settings) {
        let slots = self.slots;
        for (at, slot) in slots.iter().enumerate() {
            let Some(chord) = slot.symbol.chord().filter(|_| sounds(slot)) else {
                continue;
            };
            let context = sources.contexts.get(at);
            self.parts.push(PossibleChord {
                chord,
                region: sources.keys.get(at).copied().flatten(),
                line: context.and_then(|context| context.line),
                after_suspension: context.is_some_and(|context| context.after_suspension),
                moments: self.span(|moment| moment.slot == at),
                of: None,
                goes_on: false,
                takes_goal: false,
                melody: settings.melody(slot),
            });
        }
    }

    /// The parts of a replacement; none of it if a chord of it is silence or has no moment.
    fn replace(
        &mut self,
        at: usize,
        replacement: &'a Replacement,
        sources: &Problem<'_>,
        settings: &Settings,
    ) {
        let count = replacement.chords.len();
        let lines = self.lines(replacement);
        let keeps = keeps_its_first(replacement, self.slots);
        let parts: Option<Vec<PossibleChord<'a>>> = replacement
            .chords
            .iter()
            .enumerate()
            .map(|(number, new)| {
                let moments = self.span(|moment| self.is_under(moment, new));
                let first = self.moments.get(moments.clone())?.first()?;
                let beside = sources.beside(new.bar, new.beat, &new.chord);
                Some(PossibleChord {
                    chord: &new.chord,
                    region: sources.keys.get(first.slot).copied().flatten(),
                    line: lines.get(number).copied().flatten().or(beside.plain),
                    after_suspension: beside.after_suspension,
                    of: Some((at, number)),
                    goes_on: number + 1 < count,
                    takes_goal: number == 0 && !keeps,
                    melody: self.melody_over(new, settings),
                    moments,
                })
            })
            .collect();
        self.parts.extend(parts.unwrap_or_default());
    }

    /// For each chord of a replacement the line on one root that it is part of beside what is written.
    fn lines(&self, replacement: &Replacement) -> Vec<Option<LineTone>> {
        let Range { start, end } = replacement.slots.clone();
        let written = |slots: Range<usize>| {
            let slots = self.slots.get(slots).unwrap_or_default();
            slots.iter().map(|slot| slot.symbol.chord())
        };
        let before: Vec<Option<&Chord>> = written(0..start).collect();
        let new = replacement.chords.iter().map(|new| Some(&new.chord));
        let row = before.iter().copied().chain(new);
        let row: Vec<Option<&Chord>> = row.chain(written(end..self.slots.len())).collect();
        let found = lines(&row).into_iter().skip(before.len());
        found.take(replacement.chords.len()).collect()
    }

    /// The moments for which something holds, which lie in a row.
    fn span(&self, holds: impl Fn(&Moment) -> bool) -> Range<usize> {
        let start = self.moments.iter().position(&holds).unwrap_or(0);
        let rest = self.moments.iter().skip(start);
        start..start + rest.take_while(|moment| holds(moment)).count()
    }

    fn is_under(&self, moment: &Moment, new: &NewChord) -> bool {
        let bar = self.slots.get(moment.slot).map(|slot| slot.bar);
        bar == Some(new.bar) && new.beat <= moment.beat && moment.beat < new.beat + new.beats
    }

    /// The melody while a new chord sounds.
    fn melody_over(&self, new: &NewChord, settings: &Settings) -> Melody {
        let mut here = self.slots.iter().filter(|slot| slot.bar == new.bar);
        let Some(bar_beats) = here.clone().next().map(|slot| slot.bar_beats) else {
            return Melody::NONE;
        };
        if settings.ignore_melody {
            return Melody::NONE;
        }
        let time = ChordTime {
            beat: new.beat,
            beats: new.beats,
            bar_beats,
        };
        let notes: Vec<MelodyNote> = here
            .by_ref()
            .flat_map(|slot| &slot.melody_notes)
            .copied()
            .collect();
        Melody::over(&new.chord, &notes, time)
    }
}

/// Whether the hand plays in a slot.
pub(super) fn sounds(slot: &Slot) -> bool {
    slot.symbol.chord().is_some() && slot.wish != Wish::Silent
}

/// Every moment, in the order they are written.
fn moments(slots: &[Slot], replacements: &[(usize, &Replacement)]) -> Vec<Moment> {
    let mut found = Vec::with_capacity(slots.len());
    for (at, slot) in slots.iter().enumerate().filter(|(_, slot)| sounds(slot)) {
        let over = replacements.iter().filter(|(_, r)| r.slots.contains(&at));
        let new = over.flat_map(|(_, r)| &r.chords);
        let inside = new.filter(|new| {
            new.bar == slot.bar && slot.beat < new.beat && new.beat < slot.beat + slot.beats
        });
        let beats: BTreeSet<Beats> = inside.map(|new| new.beat).chain([slot.beat]).collect();
        found.extend(beats.into_iter().map(|beat| Moment { slot: at, beat }));
    }
    found
}
