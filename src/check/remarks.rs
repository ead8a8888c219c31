//! The program's own remarks in a chart, held against its notes: the `deg` and `move` rows under the
//! voicings, and the closing comments about the plan.
//!
//! A remark is told of only where the chart itself says what it should be. About a slot that is still
//! to be planned nothing is known, and about a step from one no motion is. Whether the tune was planned
//! as a loop the chart doesn't say, so a motion may count the step back to the beginning or not.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::context::Context;
use crate::arrange::{degrees_text, into_each, motions_text, row};
use crate::chart::{PLAN_REMARK, Place, Row, Slot, Span, Wish};
use crate::optimise::step;
use crate::voicing::Voicing;

/// Stands in a remark for a slot about which there is nothing to say.
const NOTHING: &str = "-";

/// A remark of a bar that says something else than its notes.
#[derive(Debug, Clone)]
pub(super) struct Stale {
    /// The bar.
    pub bar: Place,
    /// The first slot it is wrong about.
    pub slot: usize,
    /// Which of the two rows.
    pub row: Row,
    /// What it says.
    pub old: String,
    /// What it should say.
    pub new: String,
    /// Where it stands in the source.
    pub span: Span,
}

/// What the remarks under some voicings should be.
pub(super) struct Remarks<'a> {
    context: &'a Context<'a>,
    voicings: &'a [Option<Voicing>],
    motions: Vec<Vec<u32>>,
}

impl<'a> Remarks<'a> {
    /// Those under these voicings, the loop counted in if `looped`.
    pub fn of(context: &'a Context<'a>, voicings: &'a [Option<Voicing>], looped: bool) -> Self {
        Self {
            motions: into_each(
                voicings,
                &context.voiced.problem.performance.going_round(looped),
            ),
            context,
            voicings,
        }
    }

    /// What the `deg` or the `move` row says about each of these slots.
    pub fn words(&self, row: Row, slots: &[usize]) -> Vec<String> {
        let word = |slot: &usize| {
            let said = match row {
                Row::Degrees => self.voicings.get(*slot)?.as_ref().map(degrees_text),
                _ => motions_text(self.motions.get(*slot)?),
            };
            said.filter(|_| self.context.is_given(*slot))
        };
        let words = slots.iter().map(word);
        words
            .map(|word| word.unwrap_or_else(|| NOTHING.to_owned()))
            .collect()
    }
}

/// The bars these slots are in, with all their slots.
pub(super) fn bars(
    context: &Context<'_>,
    slots: impl Iterator<Item = usize>,
) -> BTreeMap<Place, Vec<usize>> {
    let all = &context.voiced.problem.slots;
    let mut bars = BTreeMap::new();
    for slot in slots.filter_map(|slot| all.get(slot)) {
        let first = slot.index - slot.place.chord.min(slot.index);
        let own = all
            .iter()
            .skip(first)
            .take_while(|other| other.bar == slot.bar);
        let place = Place {
            chord: 0,
            ..slot.place
        };
        bars.entry(place)
            .or_insert_with(|| own.map(|slot| slot.index).collect());
    }
    bars
}

/// Every remark that says something else than the notes, in the order of the page.
pub(super) fn stale(context: &Context<'_>) -> Vec<Stale> {
    let mut all = context.chart.bars();
    if context.source.is_none() || all.all(|bar| bar.degrees.is_none() && bar.motion.is_none()) {
        return Vec::new();
    }
    let voicings = context.hand.voicings();
    let both = [false, true].map(|looped| Remarks::of(context, voicings, looped));
    let unsure = unsure(context);
    let bars = bars(context, 0..context.voiced.problem.slots.len());
    let rows = bars.iter().flat_map(|(at, slots)| {
        [Row::Degrees, Row::Motion].map(|row| in_row(context, (*at, slots), row, &both, &unsure))
    });
    rows.flatten().collect()
}

/// A row of a bar with these slots, if it says something else than the notes.
fn in_row(
    context: &Context<'_>,
    (bar, slots): (Place, &[usize]),
    row: Row,
    both: &[Remarks<'_>; 2],
    unsure: &[BTreeSet<usize>; 2],
) -> Option<Stale> {
    let motion = usize::from(row == Row::Motion);
    let written = context.chart.bar_at(bar)?;
    let old = [&written.degrees, &written.motion][motion].clone()?;
    let words = [0, 1].map(|looped: usize| both[looped].words(row, slots));
    let known = |slot: usize| !unsure[motion].contains(&slot);
    let slot = differs(&old, slots, [&words[0], &words[1]], known)?;
    let looped = usize::from(context.settings.arrange.looped);
    Some(Stale {
        bar,
        slot,
        row,
        old,
        new: words[looped].join(" "),
        span: written.remark_spans[motion],
    })
}

/// The slots about whose degrees nothing is known, and those about whose motion.
fn unsure(context: &Context<'_>) -> [BTreeSet<usize>; 2] {
    let open = |slot: &&Slot| matches!(slot.wish, Wish::Plan(_)) && slot.symbol.chord().is_some();
    let open = context.voiced.problem.slots.iter().filter(open);
    let open: BTreeSet<usize> = open.map(|slot| slot.index).collect();
    let steps = context.hand.steps();
    let after = steps
        .filter(|(from, _)| open.contains(from))
        .map(|(_, to)| to);
    let moved = open.iter().copied().chain(after).collect();
    [open, moved]
}

/// The first slot about which a remark says neither of two things; any slot where it doesn't say
/// something about each.
fn differs(
    old: &str,
    slots: &[usize],
    [new, or]: [&[String]; 2],
    known: impl Fn(usize) -> bool,
) -> Option<usize> {
    let words: Vec<&str> = old.split_whitespace().collect();
    let mut sure = slots
        .iter()
        .copied()
        .zip(0..)
        .filter(|(slot, _)| known(*slot));
    let same = |at: usize| {
        let word = words.get(at).copied();
        let is = |text: &[String]| text.get(at).map(String::as_str) == word;
        is(new) || is(or)
    };
    let counted = words.len() == slots.len();
    sure.find(|(_, at)| !counted || !same(*at))
        .map(|(slot, _)| slot)
}

/// A closing comment about a plan that moves otherwise than the notes do.
#[derive(Debug, Clone)]
pub(super) struct StalePlan {
    /// The effort it tells of.
    pub told: u64,
    /// The effort the hand makes.
    pub makes: u64,
    /// Where it stands in the source.
    pub span: Span,
}

/// The comment about the plan, if the notes are all there and it is wrong about them.
pub(super) fn stale_plan(context: &Context<'_>) -> Option<StalePlan> {
    let [open, _] = unsure(context);
    let source = context.source.filter(|_| open.is_empty())?;
    let makes = context.as_given.as_ref()?.cost.effort;
    let (span, told) = plan_lines(source).find_map(|range| {
        let line = source.get(range.clone())?.trim();
        let told = line.trim_start_matches(';').strip_prefix(PLAN_REMARK)?;
        let told = told.strip_prefix("effort ")?.split(' ').next()?;
        let start = range.start;
        Some((Span::new(start..start + line.len()), told.parse().ok()?))
    })?;
    let other = other_way_round(context, makes);
    (told != makes && told != other).then_some(StalePlan { told, makes, span })
}

/// The lines of a source that are comments about the plan, each with its line feed.
pub(super) fn plan_lines(source: &str) -> impl Iterator<Item = Range<usize>> + '_ {
    let mut at = 0;
    let lines = source.split_inclusive('\n').map(move |line| {
        at += line.len();
        (at - line.len()..at, line)
    });
    let tells = |line: &str| {
        line.strip_prefix(';')
            .is_some_and(|l| l.starts_with(PLAN_REMARK))
    };
    lines
        .filter(move |(_, line)| tells(line))
        .map(|(range, _)| range)
}

/// The effort with the step from the end back to the beginning, if it is not counted; without, if it
/// is.
fn other_way_round(context: &Context<'_>, makes: u64) -> u64 {
    let voicings = context.hand.voicings();
    let sounding = |at: &usize| voicings.get(*at)?.as_ref().and_then(row);
    let mut played = context
        .voiced
        .problem
        .performance
        .visits()
        .iter()
        .filter_map(sounding);
    let first = played.next();
    let last = played.next_back();
    let back = first.zip(last).map_or(0, |(first, last)| {
        u64::from(step(last.entries(), first.entries()).motion)
    });
    if context.settings.arrange.looped {
        makes.saturating_sub(back)
    } else {
        makes + back
    }
}
