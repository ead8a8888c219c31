//! Reasons with their notes under the names that their chart has for them, for whoever prints them.
//!
//! The model counts octaves with middle C as C4. A chart may call it C3 or C5, and then sentences about it
//! do as well.

use std::borrow::Cow;
use std::sync::Arc;

use super::{Closer, Move, Nearer, NextBest, Plainer, Why};
use crate::chart::MiddleC;
use crate::pitch::Note;
use crate::voicing::{VoicedNote, Voicing};

/// The reasons of a slot with every note under the name the chart has for it.
pub(crate) fn as_named(why: &Why) -> Cow<'_, Why> {
    let middle_c = why.slot.middle_c;
    if middle_c == MiddleC::C4 {
        return Cow::Borrowed(why);
    }
    let mut why = why.clone();
    let name = |note: &mut Note| *note = middle_c.renamed(*note);
    for voicing in voicings(&mut why) {
        let notes = Arc::make_mut(&mut voicing.notes).iter_mut();
        notes.for_each(|one| name(&mut one.note));
    }
    for one in notes(&mut why) {
        name(&mut one.note);
    }
    for Plainer { instead, rubs, .. } in &mut why.plainer {
        name(instead);
        rubs.iter_mut().for_each(name);
    }
    Cow::Owned(why)
}

/// The reasons of a slot as they are where middle C is C4, whatever the chart calls it.
pub(crate) fn in_c4(why: &Why) -> Cow<'_, Why> {
    if why.slot.middle_c == MiddleC::C4 {
        return Cow::Borrowed(why);
    }
    let mut why = why.clone();
    why.slot.middle_c = MiddleC::C4;
    if let Some(none) = &mut why.thinned {
        none.middle_c = MiddleC::C4;
    }
    Cow::Owned(why)
}

fn voicings(why: &mut Why) -> impl Iterator<Item = &mut Voicing> {
    let nearer = match &mut why.nearer {
        Nearer::Barred(barred) => Some(&mut barred.voicing),
        Nearer::NotSought | Nearer::Nowhere => None,
    };
    let next = why.next_best.as_mut();
    let next = next.map(|NextBest { priced, .. }| &mut priced.voicing);
    let closer = why.closer.as_mut();
    let closer = closer.map(|Closer { voicing, .. }| voicing);
    let own = why.voicing.iter_mut();
    own.chain(nearer).chain(next).chain(closer)
}

/// The notes that stand by themselves, those of the moves and of what is plainer.
fn notes(why: &mut Why) -> impl Iterator<Item = &mut VoicedNote> {
    let plainer = why.plainer.iter_mut().map(|plainer| &mut plainer.note);
    let ways = why.arrivals.iter_mut().flat_map(|way| {
        let moves = way.moves.iter_mut();
        let ends = moves.flat_map(|Move { from, to }| [from, to]);
        ends.chain(&mut way.held)
    });
    plainer.chain(ways)
}
