//! What the two rules about the hand under the melody share: one finding a voicing, that names every
//! note of the hand that is in the melody's way, and every note of the melody it is in the way of.

use crate::chart::Slot;
use crate::check::context::Context;
use crate::check::rule::{Fault, FixKind};
use crate::hand::Violation;
use crate::pitch::{Degree, Pitch};
use crate::words::listed;

/// A note of the hand against a note of the melody.
#[derive(Debug, Clone, Copy)]
pub(super) struct Against {
    pub degree: Degree,
    pub note: Pitch,
    pub melody: Pitch,
    /// What the note does, such as `lies`.
    pub does: &'static str,
    /// Where, such as `a minor second below`.
    pub place: &'static str,
}

/// A note of the hand with all of the melody that it is in the way of in the same manner.
struct Clause {
    first: Against,
    melody: Vec<Pitch>,
}

/// A fault for every given voicing with a violation of this kind.
pub(super) fn faults(context: &Context<'_>, kind: fn(&Violation) -> Option<Against>) -> Vec<Fault> {
    let judged = context.voiced.problem.slots.iter().zip(&context.judged);
    let each = judged.filter_map(|(slot, violations)| {
        let clauses = clauses(violations.iter().filter_map(kind));
        (!clauses.is_empty()).then(|| Fault {
            place: context.hand_place(slot.index),
            message: sentence(&clauses, slot),
            fix: FixKind::Slot(slot.index),
            violation: None,
            severity: None,
        })
    });
    each.collect()
}

/// By the hand's notes, lowest first.
fn clauses(all: impl Iterator<Item = Against>) -> Vec<Clause> {
    let mut clauses: Vec<Clause> = Vec::new();
    for one in all {
        let same =
            |clause: &&mut Clause| clause.first.note == one.note && clause.first.place == one.place;
        match clauses.iter_mut().find(same) {
            Some(clause) => clause.melody.push(one.melody),
            None => clauses.push(Clause {
                first: one,
                melody: vec![one.melody],
            }),
        }
    }
    clauses.sort_by_key(|clause| clause.first.note);
    clauses
}

fn sentence(clauses: &[Clause], slot: &Slot) -> String {
    let clause = |(at, clause): (usize, &Clause)| {
        let Against {
            degree,
            note,
            does,
            place,
            ..
        } = clause.first;
        let melody: Vec<String> = clause
            .melody
            .iter()
            .map(|melody| slot.written(*melody))
            .collect();
        let (melody, note) = (listed(&melody, "and"), slot.written(note));
        match at {
            0 => format!("the {degree}, {note}, {does} {place} the melody's {melody}"),
            _ => format!("the {degree}, {note}, {place} its {melody}"),
        }
    };
    let clauses: Vec<String> = clauses.iter().enumerate().map(clause).collect();
    clauses.join("; ")
}
