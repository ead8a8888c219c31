//! What the shapes of a slot may be made of, in the order in which it is tried.

use super::Colour;
use super::ask::Ask;
use super::shapes::Material;

/// What the shapes may be made of: a later tier only where an earlier one leaves nothing.
///
/// The 6 that stands for a major seventh under a melody on the root is as good as the seventh, and the 4
/// that stands for the third of a dominant under a melody on the 11 as good as the third, except where
/// only what is written shall sound: then they are a way out. A chord that is no dominant, and one whose
/// third goes by in the melody, is only suspended as a way out; where the melody suspends and resolves it by
/// itself, the chord may go without its third, or its sixth, as well.
pub(super) fn tiers<'a>(ask: &Ask<'a>, colour: Colour) -> Vec<Vec<Material<'a>>> {
    let (melody, context) = (&ask.colouring(), ask.coloured_context());
    let usual = Material::of(ask.chord, context, colour, melody);
    let sixth = Material::sixth(ask.chord, context, colour, melody);
    let suspended = Material::suspended(ask.chord, context, colour, melody);
    let dominant = ask
        .chord
        .seventh()
        .is_some_and(|seventh| seventh.class() == 10);
    let suspends = dominant && !ask.passes_third();
    let mut tiers = vec![usual];
    if let Some(first) = tiers.first_mut() {
        first.extend(Material::giving_up(ask.chord, colour, melody));
    }
    let open = ask.melody.resolves_to.map_or_else(Vec::new, |tone| {
        Material::without(tone, ask.chord, context, colour, melody)
    });
    for (materials, as_good) in [(sixth, true), (open, true), (suspended, suspends)] {
        match tiers.first_mut() {
            Some(first) if as_good && colour != Colour::Written => first.extend(materials),
            _ if materials.is_empty() => {}
            _ => tiers.push(materials),
        }
    }
    for tier in &mut tiers {
        tier.sort_by_key(|material| material.left_out);
    }
    let in_line = |line| vec![Material::in_line(ask.chord, line, colour)];
    let line = ask.context.line.map(in_line);
    line.into_iter().chain(tiers).collect()
}
