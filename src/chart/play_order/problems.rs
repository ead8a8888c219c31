//! What can be wrong with a form, each as the sentence a musician would say.

use crate::chart::sizes::{MOST_BARS, MOST_CHORDS};
use crate::chart::{Diagnostic, Jump, Span};

/// How many mistakes are described; the rest are only counted.
const DESCRIBED: usize = 100;

/// The problems in the order of the page; where they are more than anybody reads, the first of them
/// and how many more there are.
pub(super) fn in_order(mut problems: Vec<Diagnostic>) -> Vec<Diagnostic> {
    problems.sort_by_key(|problem| (problem.span.start, problem.span.end));
    if let Some(next) = problems.get(DESCRIBED) {
        let message = format!("and {} more mistakes", problems.len() - DESCRIBED);
        let more = Diagnostic::error(next.span.clone(), message, "the next is here");
        problems.truncate(DESCRIBED);
        problems.push(more);
    }
    problems
}

pub(super) fn ending_outside(ending: Span) -> Diagnostic {
    let message = "an ending outside a repeat";
    Diagnostic::error(ending.range(), message, "nothing is repeated here")
        .help("start the repeated passage with `|:` and close its first ending with `:|`")
}

pub(super) fn never_closed(start: Span) -> Diagnostic {
    let message = "this repeat is never closed";
    Diagnostic::error(start.range(), message, "a `:|` further on")
        .help("end the repeated passage with `:|`")
}

pub(super) fn closed_elsewhere(start: Span) -> Diagnostic {
    let message = "this repeat is not closed in its section, and `play` takes the sections apart";
    Diagnostic::error(start.range(), message, "a `:|` before the next heading")
        .help("close it in its section, or leave `play` out")
}

pub(super) fn two_endings(ending: Span, pass: usize) -> Diagnostic {
    let message = format!("pass {pass} has two endings");
    Diagnostic::error(ending.range(), message, "one ending for each pass")
}

pub(super) fn no_ending(ending: Span, pass: usize, passes: usize) -> Diagnostic {
    let message = format!("pass {pass} of {passes} has no ending");
    Diagnostic::error(ending.range(), message, "an ending for every pass").help(format!(
        "write `:|{pass}` where the ending of pass {pass} starts"
    ))
}

pub(super) fn count_too_low(sign: Span, count: usize, highest: usize) -> Diagnostic {
    let message = format!("played {count} times, but there is an ending {highest}");
    Diagnostic::error(
        sign.range(),
        message,
        format!("`:|x{highest}`, or no count"),
    )
}

pub(super) fn goes_nowhere(ending: Span) -> Diagnostic {
    let message = "this ending is not the last, but it does not go back";
    Diagnostic::error(ending.range(), message, "a `:|` where it ends")
}

pub(super) fn no_target(jump: Span, sign: Jump) -> Diagnostic {
    let message = format!("a jump to nowhere: there is no `{sign}`");
    Diagnostic::error(jump.range(), message, format!("a bar with `{sign}`"))
}

pub(super) fn second_sign(sign: Span, jump: Jump) -> Diagnostic {
    let message = format!("a second `{jump}`");
    Diagnostic::error(sign.range(), message, "one in a chart")
        .help("nobody could tell which of them to jump to")
}

pub(super) fn no_fine(jump: Span) -> Diagnostic {
    let message = "there is no `@fine` to play to";
    Diagnostic::error(jump.range(), message, "a bar with `@fine`")
}

pub(super) fn no_way_to_coda(jump: Span) -> Diagnostic {
    let message = "nothing says where to leave for the coda";
    Diagnostic::error(jump.range(), message, "a bar with `@to-coda`")
}

pub(super) fn fine_not_met(jump: Span) -> Diagnostic {
    let message = "after this jump the fine is never met";
    Diagnostic::error(
        jump.range(),
        message,
        "a `@fine` between here and where it goes",
    )
}

pub(super) fn way_to_coda_not_met(jump: Span) -> Diagnostic {
    let message = "after this jump the way to the coda is never met";
    Diagnostic::error(
        jump.range(),
        message,
        "a `@to-coda` after the place it goes to",
    )
}

pub(super) fn dead_to_coda(sign: Span) -> Diagnostic {
    let message = "this way to the coda is never taken";
    Diagnostic::error(sign.range(), message, "a jump back `al-coda`")
        .help("it acts only after `@dc-al-coda` or `@ds-al-coda`, and only the first one met")
}

pub(super) fn dead_fine(sign: Span) -> Diagnostic {
    let message = "this fine is never met";
    Diagnostic::error(sign.range(), message, "a jump back before it")
        .help("a fine ends the piece only after a jump such as `@dc-al-fine`")
}

pub(super) fn dead_jump(sign: Span) -> Diagnostic {
    let message = "this jump is never taken";
    Diagnostic::error(sign.range(), message, "the player leaves before it acts")
}

pub(super) fn dead_repeat(sign: Span) -> Diagnostic {
    let message = "this repeat sign is never reached";
    Diagnostic::error(sign.range(), message, "no road leads here")
}

pub(super) fn dead_bars(first: Span, bars: usize) -> Diagnostic {
    let message = match bars {
        1 => "this bar is never played".to_owned(),
        _ => format!("this bar and the {} after it are never played", bars - 1),
    };
    Diagnostic::error(first.range(), message, "no road leads here")
}

pub(super) fn jump_beside_play(jump: Span) -> Diagnostic {
    let message = "a jump, where `play` already says the order";
    Diagnostic::error(jump.range(), message, "no jump, or no `play`")
        .help("jumps work only while the sections are played in the order of the page")
}

pub(super) fn no_section(name: &str, played: Span) -> Diagnostic {
    let message = format!("there is no section `{name}` to play");
    Diagnostic::error(played.range(), message, "the name of a section")
}

pub(super) fn too_long(sign: Span) -> Diagnostic {
    let message = format!("played out, this chart has more than {MOST_BARS} bars");
    Diagnostic::error(sign.range(), message, "fewer repeats")
}

pub(super) fn too_many_chords(bar: Span) -> Diagnostic {
    let message = format!("played out, this chart has more than {MOST_CHORDS} chords");
    Diagnostic::error(bar.range(), message, "fewer repeats")
}
