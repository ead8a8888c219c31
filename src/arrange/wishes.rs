//! The voicings of a slot that are as wished, and the wishes that left none.
//!
//! Where it stops: wishes about the step into a slot belong to [`super::steps`].

use std::sync::Arc;

use super::cache::Cache;
use super::trouble::{Reason, Unmet};
use crate::chart::{MiddleC, VoicingWish, Wish, Wishes};
use crate::pitch::{Degree, Note, Pitch};
use crate::voicing::{Ask, Palette, Voicing, VoicingSettings, of_palette};

/// The legal voicings of a slot that are as wished: of the first shape of the palette that has any.
/// A wish may so lead to a shape that would not have been looked at without it.
pub(crate) fn candidates_as_wished(
    ask: &Ask<'_>,
    wishes: &Wishes,
    settings: &VoicingSettings,
    cache: &mut Cache,
) -> Result<Arc<Vec<Voicing>>, Reason> {
    let first = cache.candidates(ask, settings).map_err(Reason::Limits)?;
    if wishes.voicing.is_empty() {
        return Ok(first);
    }
    let mut legal: Vec<Voicing> = Vec::new();
    for voicings in std::iter::once(first.to_vec()).chain(of_each_shape(ask, settings)) {
        let wished: Vec<Voicing> = voicings
            .iter()
            .filter(|voicing| meets_all(voicing, &wishes.voicing))
            .cloned()
            .collect();
        if !wished.is_empty() {
            return Ok(Arc::new(wished));
        }
        let new = |voicing: &Voicing| !legal.iter().any(|old| old.by_pitches(voicing).is_eq());
        let new: Vec<Voicing> = voicings.into_iter().filter(new).collect();
        legal.extend(new);
    }
    let symbol = ask.chord.symbol();
    Err(Reason::Wishes(unmet(symbol, wishes, legal, first.len())))
}

/// The wishes that none of the legal voicings meets, without those it would be the same without.
fn unmet(symbol: &str, wishes: &Wishes, legal: Vec<Voicing>, unwished: usize) -> Unmet {
    let mut core = wishes.voicing.clone();
    for part in &wishes.voicing {
        let rest: Vec<VoicingWish> = core
            .iter()
            .filter(|other| *other != part)
            .cloned()
            .collect();
        if !legal.iter().any(|voicing| meets_all(voicing, &rest)) {
            core = rest;
        }
    }
    Unmet {
        symbol: symbol.to_owned(),
        wishes: core,
        legal,
        unwished,
        middle_c: MiddleC::default(),
    }
}

/// The legal voicings of each shape of the palette that has any; those of the first are not thinned out.
fn of_each_shape<'a>(
    ask: &'a Ask<'a>,
    settings: &'a VoicingSettings,
) -> impl Iterator<Item = Vec<Voicing>> + 'a {
    let ranked = settings.palette.shapes().iter().enumerate();
    ranked.filter_map(|(rank, shape)| {
        let settings = VoicingSettings {
            palette: Palette::of(vec![shape])?,
            ..settings.clone()
        };
        let mut voicings = of_palette(ask, &settings).ok()?.voicings;
        voicings
            .iter_mut()
            .for_each(|voicing| voicing.thinned = rank > 0);
        Some(voicings)
    })
}

/// Whether an entry wishes for certain voicings, the step into them left aside.
pub(crate) fn is_choosy(wish: &Wish) -> bool {
    matches!(wish, Wish::Plan(wishes) if !wishes.voicing.is_empty())
}

/// Whether a voicing is as wished, the step into it left aside.
fn meets(voicing: &Voicing, wish: &VoicingWish) -> bool {
    let has = |note: &Note| voicing.pitches().any(|pitch| Some(pitch) == note.pitch());
    let sounds = |degree: &Degree| {
        let mut notes = voicing.notes.iter();
        notes.any(|note| note.degree.class() == degree.class())
    };
    match wish {
        VoicingWish::Form(form) => voicing.form == Some(*form),
        VoicingWish::With(note) => has(note),
        VoicingWish::Without(note) => !has(note),
        VoicingWish::WithDegree(degree) => sounds(degree),
        VoicingWish::WithoutDegree(degree) => !sounds(degree),
        VoicingWish::Top(note) => voicing.pitches().last() == note.pitch(),
        VoicingWish::Not(notes) => {
            let keys: Option<Vec<Pitch>> = notes.iter().map(|note| note.pitch()).collect();
            !keys.is_some_and(|keys| voicing.pitches().eq(keys))
        }
    }
}

fn meets_all(voicing: &Voicing, wishes: &[VoicingWish]) -> bool {
    wishes.iter().all(|wish| meets(voicing, wish))
}
