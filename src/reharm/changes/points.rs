//! The page as the planner's lattice: a point for every moment, a state for every voicing of every
//! part that may sound there.
//!
//! A state also stands for what lies ahead of it ([`Outlook`]), since that decides its voicings. One
//! number at either end of a moment says which states may meet within a run: it keeps a replacement
//! whole, a held voicing held, and what a state takes to lie ahead true.

use super::ahead::Outlook;
use super::parts::{Page, Part};
use super::ways::{RUN, passages};
use crate::arrange::choices::choices;
use crate::arrange::{Cache, Settings, motion};
use crate::plan::{Labels, Passage, Point, State};
use crate::voicing::{Ask, Voicing};

/// The lattice, and what its states stand for.
pub(super) struct Layout {
    pub points: Vec<Point>,
    pub passages: Vec<Passage>,
    /// For each state of each point, the replacement that begins with it.
    begins: Vec<Vec<Option<usize>>>,
}

impl Layout {
    /// The replacements of a choice, rising.
    pub fn taken(&self, choice: &[usize]) -> Vec<usize> {
        let states = self.begins.iter().zip(choice);
        let mut taken: Vec<usize> = states
            .filter_map(|(begins, &state)| begins.get(state).copied().flatten())
            .collect();
        taken.sort_unstable();
        taken
    }
}

/// Lays a page out.
pub(super) fn laid_out(page: &Page<'_>, settings: &Settings, cache: &mut Cache) -> Layout {
    let mut draft = Draft {
        outlook: Outlook::of(page),
        page,
        held: Vec::new(),
    };
    let (mut points, mut begins) = (Vec::new(), Vec::new());
    for (at, moment) in page.moments.iter().enumerate() {
        let (states, starts) = draft.states(at, settings, cache);
        let visits = page.performance.times(moment.slot);
        points.push(Point { states, visits });
        begins.push(starts);
    }
    Layout {
        points,
        passages: passages(page, settings, &draft.outlook),
        begins,
    }
}

/// A part that lasts more than a moment, in one voicing.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Held {
    part: usize,
    view: usize,
    voicing: usize,
}

struct Draft<'d, 'a> {
    page: &'d Page<'a>,
    outlook: Outlook<'a>,
    /// What is held from the moment before, by its number among these.
    held: Vec<Held>,
}

impl<'a> Draft<'_, 'a> {
    /// The states of a moment, and which replacement begins with each.
    fn states(
        &mut self,
        moment: usize,
        settings: &Settings,
        cache: &mut Cache,
    ) -> (Vec<State>, Vec<Option<usize>>) {
        let (mut states, mut begins, mut held) = (Vec::new(), Vec::new(), Vec::new());
        for (at, part) in self.page.here(moment) {
            let fresh = part.moments.start == moment;
            let new = part.of.filter(|(_, number)| *number == 0 && fresh);
            for view in self.outlook.views(at, part) {
                let voicings = self.voicings(part, view, settings, cache);
                for (number, voicing) in voicings.iter().enumerate() {
                    let Some(row) = motion::row(voicing) else {
                        continue;
                    };
                    let state = State {
                        fresh,
                        weight: u32::from(new.is_some()),
                        ..State::new(row)
                    };
                    let this = Held {
                        part: at,
                        view,
                        voicing: number,
                    };
                    let into = self.arriving(part, this, moment);
                    let out = match part.moments.end > moment + 1 {
                        true => {
                            held.push(this);
                            self.outlook.count(moment) + held.len() - 1
                        }
                        false => view,
                    };
                    states.push(state.joined(RUN, label(into), label(out)));
                    begins.push(new.map(|(replacement, _)| replacement));
                }
            }
        }
        self.held = held;
        (states, begins)
    }

    /// The number by which a state joins what is before it.
    fn arriving(&self, part: &Part<'a>, this: Held, moment: usize) -> usize {
        if part.moments.start == moment {
            return self.outlook.before(this.part, part, this.view);
        }
        let held = self.held.iter().position(|held| *held == this);
        self.outlook.count(moment - 1) + held.unwrap_or_default()
    }

    fn voicings(
        &self,
        part: &Part<'a>,
        view: usize,
        settings: &Settings,
        cache: &mut Cache,
    ) -> Vec<Voicing> {
        let place = self.outlook.place(part, view);
        let found = match part.of {
            None => {
                let slot = self.page.moments.get(part.moments.start);
                let slot = slot.and_then(|moment| self.page.slots.get(moment.slot));
                slot.and_then(|slot| choices(slot, place, settings, cache).ok())
            }
            Some(_) => {
                let ask = Ask {
                    chord: part.chord,
                    place,
                    melody: &part.melody,
                };
                cache.candidates(&ask, &settings.voicing).ok()
            }
        };
        found.map(|found| found.to_vec()).unwrap_or_default()
    }
}

fn label(number: usize) -> Labels {
    Labels::of(u32::try_from(number).ok())
}
