//! What may lie ahead of every chord of a page, while it is open which chords are replaced.
//!
//! What a chord takes depends on the next different chord ([`context`]), which may be replaced as well. It
//! lies within the same run of slots, or it is known: where the way on crosses a repeat, an ending or a
//! jump, it is what stood there before any chord was replaced. So within a run everything follows from
//! what comes just after, and is found from the end of the run backwards.

use super::parts::{PossibleChord, SpannedPage, sounds};
use crate::chord::Chord;
use crate::harmony::{Ahead, HarmonicContext, Past, context};
use crate::pitch::Key;

/// What may lie ahead of every moment's end.
pub(super) struct Outlook<'a>(Vec<Boundary<'a>>);

/// The end of a moment.
#[derive(Default)]
pub(super) struct Boundary<'a> {
    /// Whether the next moment always comes next: they lie in one run.
    pub joined: bool,
    /// Whether it also comes at once, with no silence between.
    at_once: bool,
    /// The chords without a voicing in between.
    silent: Vec<&'a Chord>,
    /// The chords before it, with their keys, whose place depends on what lies ahead of it.
    lookers: Vec<(&'a Chord, Option<Key>)>,
    /// What may lie ahead of it. What gives every looker the same place is the same.
    views: Vec<View<'a>>,
}

/// One of the things that may lie ahead.
struct View<'a> {
    next: Follower,
    ahead: Ahead<'a>,
    contexts: Vec<HarmonicContext>,
}

/// What comes after a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Follower {
    /// A written chord, or the first of a replacement.
    Any,
    /// The first of a replacement that takes the goal of one just before.
    TakesGoal,
    /// This part, which goes on with a replacement.
    Part(usize),
}

impl<'a> Outlook<'a> {
    pub fn of(page: &SpannedPage<'a>) -> Self {
        let mut outlook = Self(Vec::new());
        let mut fixed = Vec::new();
        for moment in 0..page.moments.len() {
            let (boundary, ahead) = onward(page, moment);
            outlook.0.push(boundary);
            fixed.push(ahead);
        }
        outlook.find_lookers(page);
        for (moment, ahead) in fixed.into_iter().enumerate().rev() {
            outlook.find_views(page, moment, ahead);
        }
        outlook
    }

    /// Whether a moment and the next one lie in one run.
    pub fn joined(&self, moment: usize) -> bool {
        self.0.get(moment).is_some_and(|end| end.joined)
    }

    /// How many different things may lie ahead of a moment's end.
    pub fn count(&self, moment: usize) -> usize {
        self.0.get(moment).map_or(0, |end| end.views.len())
    }

    /// Those of them that may lie ahead of a part, each by its number.
    pub fn views(&self, at: usize, part: &PossibleChord<'a>) -> Vec<usize> {
        let Some(end) = part
            .moments
            .end
            .checked_sub(1)
            .and_then(|end| self.0.get(end))
        else {
            return Vec::new();
        };
        let fitting = end.views.iter().enumerate();
        let fitting = fitting.filter(|(_, view)| may_go_on(at, part, view.next));
        fitting.map(|(number, _)| number).collect()
    }

    /// Where a part's chord goes if this lies ahead of it.
    pub fn context(&self, part: &PossibleChord<'a>, view: usize) -> HarmonicContext {
        let ahead = self.ahead(part, view).before(part.chord);
        HarmonicContext {
            line: part.line,
            after_suspension: part.after_suspension,
            ..context(part.chord, part.region, ahead.next())
        }
    }

    /// What then lies ahead of the moment before the part, by its number; 0 where the part begins a run.
    pub fn before(&self, at: usize, part: &PossibleChord<'a>, view: usize) -> usize {
        let before = part.moments.start.checked_sub(1);
        let before = before.and_then(|before| self.0.get(before));
        let Some(before) = before.filter(|before| before.joined) else {
            return 0;
        };
        let seen = before.seen(at, part, self.ahead(part, view));
        let known = before.views.iter().position(|known| known.is_as(&seen));
        known.unwrap_or_default()
    }

    fn ahead(&self, part: &PossibleChord<'a>, view: usize) -> Ahead<'a> {
        let end = part.moments.end.checked_sub(1);
        let end = end.and_then(|end| self.0.get(end));
        let view = end.and_then(|end| end.views.get(view));
        view.map(|view| view.ahead).unwrap_or_default()
    }

    /// Every part looks ahead of its end, and whoever looks past the part as well.
    fn find_lookers(&mut self, page: &SpannedPage<'a>) {
        for moment in 0..page.moments.len() {
            let before = moment.checked_sub(1).and_then(|before| self.0.get(before));
            let entering = before.map(Boundary::entering).unwrap_or_default();
            for (_, part) in page.here(moment).filter(|(_, p)| p.moments.start == moment) {
                let passes =
                    |(looker, _): &&(&Chord, _)| Past::of(looker).passes(looker, part.chord);
                let through = entering.iter().filter(passes).copied();
                let own = [(part.chord, part.region)];
                let end = part.moments.end.checked_sub(1);
                if let Some(end) = end.and_then(|end| self.0.get_mut(end)) {
                    for looker in own.into_iter().chain(through) {
                        if !end.lookers.contains(&looker) {
                            end.lookers.push(looker);
                        }
                    }
                }
            }
        }
    }

    /// Finds what may lie ahead of a moment's end, that of all later ones being known; `fixed` where it
    /// ends its run.
    fn find_views(&mut self, page: &SpannedPage<'a>, moment: usize, fixed: Ahead<'a>) {
        let Some(end) = self.0.get(moment) else {
            return;
        };
        let mut views: Vec<View<'a>> = Vec::new();
        if !end.joined {
            views.push(end.view(Follower::Any, fixed));
        }
        let next = page.here(moment + 1).filter(|_| end.joined);
        for (at, part) in next.filter(|(_, part)| part.moments.start == moment + 1) {
            for view in self.views(at, part) {
                let seen = end.seen(at, part, self.ahead(part, view));
                if !views.iter().any(|known| known.is_as(&seen)) {
                    views.push(seen);
                }
            }
        }
        if let Some(end) = self.0.get_mut(moment) {
            end.views = views;
        }
    }
}

impl<'a> Boundary<'a> {
    /// The lookers that look past the silent chords after it.
    fn entering(&self) -> Vec<(&'a Chord, Option<Key>)> {
        let passes = |looker: &Chord| {
            let past = Past::of(looker);
            self.silent.iter().all(|chord| past.passes(looker, chord))
        };
        let lookers = self.lookers.iter().copied();
        lookers
            .filter(|(looker, _)| self.joined && passes(looker))
            .collect()
    }

    /// What is seen if this part comes next, before this.
    fn seen(&self, at: usize, part: &PossibleChord<'a>, ahead: Ahead<'a>) -> View<'a> {
        let next = match part.of {
            Some((_, 1..)) => Follower::Part(at),
            _ if part.takes_goal && self.at_once => Follower::TakesGoal,
            _ => Follower::Any,
        };
        let silent = self.silent.iter().rev();
        let ahead = silent.fold(ahead.before(part.chord), |ahead, chord| ahead.before(chord));
        self.view(next, ahead)
    }

    fn view(&self, next: Follower, ahead: Ahead<'a>) -> View<'a> {
        let lookers = self.lookers.iter();
        let contexts =
            lookers.map(|(looker, key)| context(looker, *key, ahead.before(looker).next()));
        View {
            next,
            ahead,
            contexts: contexts.collect(),
        }
    }
}

impl View<'_> {
    fn is_as(&self, other: &Self) -> bool {
        self.next == other.next && self.contexts == other.contexts
    }
}

/// Whether this may come after a part.
fn may_go_on(at: usize, part: &PossibleChord<'_>, next: Follower) -> bool {
    match next {
        Follower::Any => !part.goes_on,
        Follower::TakesGoal => part.of.is_none(),
        Follower::Part(after) => part.goes_on && after == at + 1,
    }
}

/// How the page goes on after a moment, and what lies ahead where the moment ends its run.
fn onward<'a>(page: &SpannedPage<'a>, moment: usize) -> (Boundary<'a>, Ahead<'a>) {
    let slot_of = |moment: usize| page.moments.get(moment).map(|moment| moment.slot);
    let Some(mut slot) = slot_of(moment) else {
        return Default::default();
    };
    let mut boundary = Boundary {
        joined: true,
        at_once: slot_of(moment + 1) == Some(slot + 1),
        ..Boundary::default()
    };
    while slot_of(moment + 1) != Some(slot) {
        if !page.performance.joins(slot, slot + 1) {
            boundary.joined = false;
            break;
        }
        slot += 1;
        let silent = page.slots.get(slot).filter(|slot| !sounds(slot));
        boundary
            .silent
            .extend(silent.and_then(|slot| slot.symbol.chord()));
    }
    let bar = page.slots.get(slot).map(|slot| slot.bar);
    let ahead = bar.and_then(|bar| page.ahead_of_bars.get(bar));
    let silent = boundary.silent.iter().rev();
    let ahead = silent.fold(ahead.copied().unwrap_or_default(), |ahead, chord| {
        ahead.before(chord)
    });
    (boundary, ahead)
}
