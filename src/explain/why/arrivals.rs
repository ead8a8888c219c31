//! The ways a performance comes to a slot, and what moves on each.

use std::collections::{BTreeMap, BTreeSet};

use crate::arrange::motion::row;
use crate::chart::Performance;
use crate::optimise::{Row, pairs};
use crate::voicing::{VoicedNote, Voicing};

/// One way the performance comes to a slot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Arrival {
    /// The slot that sounded before, by index; `None` where the performance begins.
    pub from: Option<usize>,
    /// Which times the slot is played after that one: 1 is the first time it is played at all.
    pub times: Vec<usize>,
    /// Note by note, lowest first. A note that splits into two, or two that meet in one, are in two
    /// moves. Empty where the performance begins.
    pub moves: Vec<Move>,
    /// The keys that sound in both voicings, as this one writes them. A key can be held although by the
    /// least motion its note moves on and another one takes it over.
    pub held: Vec<VoicedNote>,
}

/// One note on its way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Move {
    /// Where it was.
    pub from: VoicedNote,
    /// Where it goes.
    pub to: VoicedNote,
}

impl Move {
    /// How far it goes: up is more than 0, and 0 stays.
    pub fn semitones(&self) -> i32 {
        self.from.pitch.up_to(self.to.pitch).0
    }
}

impl Arrival {
    /// How far all notes move together, in semitones: what the plan counts for this step.
    pub fn motion(&self) -> u32 {
        let moves = self.moves.iter();
        moves.map(|each| each.semitones().unsigned_abs()).sum()
    }
}

/// For each slot the ways the performance comes to it, in the order it first does.
pub(super) fn arrivals(voicings: &[Option<&Voicing>], sounding: &Performance) -> Vec<Vec<Arrival>> {
    let mut all: Vec<Vec<Arrival>> = vec![Vec::new(); voicings.len()];
    let mut played = vec![0; voicings.len()];
    let mut known: BTreeMap<(Option<usize>, usize), usize> = BTreeMap::new();
    for (from, at) in sounding.arrivals() {
        if let (Some(ways), Some(time)) = (all.get_mut(at), played.get_mut(at)) {
            *time += 1;
            let place = *known.entry((from, at)).or_insert(ways.len());
            if place == ways.len() {
                ways.push(arrival(voicings, from, at));
            }
            if let Some(way) = ways.get_mut(place) {
                way.times.push(*time);
            }
        }
    }
    all
}

/// For each slot that goes on, the slots the performance goes on to, each once.
pub(super) fn onward(
    arrivals: &[Vec<Arrival>],
    sounding: &Performance,
) -> BTreeMap<usize, Vec<usize>> {
    let mut onward: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    let mut seen = BTreeSet::new();
    for &at in sounding.visits().iter().filter(|at| seen.insert(**at)) {
        for way in arrivals.get(at).into_iter().flatten() {
            if let Some(from) = way.from {
                onward.entry(from).or_default().push(at);
            }
        }
    }
    onward
}

fn arrival(voicings: &[Option<&Voicing>], from: Option<usize>, at: usize) -> Arrival {
    let voicing = |at: usize| voicings.get(at).copied().flatten();
    let both = from.and_then(voicing).zip(voicing(at));
    Arrival {
        from,
        times: Vec::new(),
        moves: both.map_or_else(Vec::new, |(before, now)| moves(before, now)),
        held: both.map_or_else(Vec::new, |(before, now)| held(before, now)),
    }
}

/// What moves where between two voicings.
pub(super) fn moves(before: &Voicing, now: &Voicing) -> Vec<Move> {
    let Some((a, b)) = row(before).zip(row(now)) else {
        return Vec::new();
    };
    let note = |(i, j): (usize, usize)| {
        Some(Move {
            from: *before.notes.get(i)?,
            to: *now.notes.get(j)?,
        })
    };
    let pairs = pairs(Row::entries(&a), Row::entries(&b));
    pairs.into_iter().filter_map(note).collect()
}

fn held(before: &Voicing, now: &Voicing) -> Vec<VoicedNote> {
    let notes = now.notes.iter();
    notes
        .filter(|note| before.pitches().any(|pitch| pitch == note.pitch))
        .copied()
        .collect()
}
