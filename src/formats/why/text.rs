//! Why each slot sounds as it does, in a musician's words: a paragraph a slot.

use std::borrow::Cow;
use std::fmt::Write;

use crate::chart::Wish;
use crate::explain::grounding::lines as grounding_lines;
use crate::explain::why::named::as_named;
use crate::explain::why::plainer::sentence as plainer;
use crate::explain::why::words::{
    added, broken, counted, degrees, from_where, left_out, moves, nearer_to_before, next_best,
    not_allowed, semitones, stays_plain, thinned, turned,
};
use crate::explain::why::{Arrival, Closer, Nearer, Why};
use crate::voicing::Voicing;

/// The reasons for people. `all` are those of the whole chart, in its order, so that a slot can name
/// the chord it comes from; `wanted` says which slots to write out, `grounding` whether to say what a
/// voicing would be taken for.
pub fn why_text(all: &[Why], grounding: bool, wanted: impl Fn(&Why) -> bool) -> String {
    let mut text = String::new();
    let named: Vec<Cow<'_, Why>> = all.iter().map(as_named).collect();
    for why in named.iter().map(Cow::as_ref).filter(|why| wanted(why)) {
        head(&mut text, why);
        let grounds = why.grounding.as_ref().filter(|_| grounding);
        let grounds = grounds.into_iter().flat_map(grounding_lines);
        for (label, sentence) in lines(why, all).into_iter().chain(grounds) {
            let _ = writeln!(text, "  {label:<9}  {sentence}");
        }
    }
    text
}

fn head(text: &mut String, why: &Why) {
    let slot = &why.slot;
    let symbol = slot.symbol.text();
    let _ = write!(text, "bar {}, beat {}: {symbol}  ", slot.bar, slot.beat);
    let _ = match &why.voicing {
        Some(voicing) => writeln!(text, "{}", described(voicing)),
        None if slot.symbol.chord().is_some() && matches!(slot.wish, Wish::Plan(_)) => {
            writeln!(text, "silent: the melody leaves no room for the hand")
        }
        None => writeln!(text, "silent: the hand stays where it was"),
    };
}

/// Notes, degrees, shape, and the degree that lies lowest.
fn described(voicing: &Voicing) -> String {
    let form = voicing.form.map(|form| format!(" {form}"));
    format!(
        "{} ({}, {}{}, on the {})",
        voicing,
        degrees(voicing),
        voicing.shape_name(),
        form.unwrap_or_default(),
        voicing.lowest
    )
}

/// Each line of a paragraph: its label and its sentence.
fn lines(why: &Why, all: &[Why]) -> Vec<(&'static str, String)> {
    let Some(voicing) = &why.voicing else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    if why.given {
        let held = "the chart gives these notes, so they are held and nothing else was weighed";
        lines.push(("given", held.to_owned()));
    }
    let wanted = why.thinned.as_ref();
    lines.extend(wanted.map(|wanted| ("thinned", thinned(wanted))));
    let labels = ["left out"].into_iter().chain(std::iter::repeat(""));
    lines.extend(labels.zip(left_out(why)));
    lines.extend(stays_plain(why).map(|sentence| ("plain", sentence.to_owned())));
    let labels = ["added"].into_iter().chain(std::iter::repeat(""));
    lines.extend(labels.zip(added(why)));
    let labels = ["plainer"].into_iter().chain(std::iter::repeat(""));
    lines.extend(labels.zip(why.plainer.iter().map(plainer)));
    lines.extend(turned(voicing).map(|sentence| ("turned", sentence)));
    lines.extend(moved(why, all));
    if !why.given {
        let next = next_best(voicing, why.next_best.as_ref());
        lines.push(("next best", next));
        let unsaid = why
            .closer
            .as_ref()
            .filter(|closer| !is_named(&why.nearer, closer));
        // That nothing lies nearer to all around it would read like the opposite of the next line.
        let nearer = nearer(why, voicing).filter(|_| unsaid.is_none() || is_barred(&why.nearer));
        lines.extend(nearer.map(|sentence| ("nearer", sentence)));
        lines.extend(unsaid.map(|closer| ("closer", nearer_to_before(why, closer))));
    }
    lines
}

fn moved(why: &Why, all: &[Why]) -> Vec<(&'static str, String)> {
    if why.arrivals.is_empty() {
        let never = "the performance never comes here".to_owned();
        return vec![("moved", never)];
    }
    let labels = ["moved"].into_iter().chain(std::iter::repeat(""));
    let times: usize = why.arrivals.iter().map(|way| way.times.len()).sum();
    let sentence = |way: &Arrival| {
        let came = from_where(way, times, way.from.and_then(|at| all.get(at)));
        let moves = way.from.map(|_| format!(": {}", moves(way)));
        format!("{came}{}", moves.unwrap_or_default())
    };
    labels.zip(why.arrivals.iter().map(sentence)).collect()
}

fn nearer(why: &Why, voicing: &Voicing) -> Option<String> {
    match &why.nearer {
        Nearer::NotSought => None,
        Nearer::Nowhere => Some(format!(
            "no {} voicing in this colour lies nearer to the chords around it, even without the limits",
            shapes(why, voicing)
        )),
        Nearer::Barred(barred) => {
            let reasons = broken(why, &barred.voicing, &barred.violations);
            Some(format!(
                "{} ({}) would lie {} nearer to the chords around it{}, but {}",
                barred.voicing,
                degrees(&barred.voicing),
                semitones(barred.less),
                counted(why),
                not_allowed(&reasons)
            ))
        }
    }
}

fn is_barred(nearer: &Nearer) -> bool {
    matches!(nearer, Nearer::Barred(_))
}

/// Whether the line before has said what there is to say of it.
fn is_named(nearer: &Nearer, closer: &Closer) -> bool {
    matches!(nearer, Nearer::Barred(barred) if barred.voicing.by_pitches(&closer.voicing).is_eq())
}

/// The shapes that were looked at: the voicing's own, and those before it in the palette.
fn shapes(why: &Why, voicing: &Voicing) -> String {
    let before = why.thinned.iter().flat_map(|wanted| wanted.shapes.iter());
    let all: Vec<&str> = before.copied().chain([voicing.shape_name()]).collect();
    all.join(" or ")
}
