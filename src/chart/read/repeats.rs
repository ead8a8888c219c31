//! Whether every repeat that is opened is closed, and how deep they are nested.
//!
//! Where it stops: the order in which repeats and endings are played is the form's business.

use super::problems::Problems;
use crate::chart::{Bar, Chart, Diagnostic, Span, Stroke};

/// The deepest nesting: nobody at a music stand follows more.
const DEEPEST: usize = 64;

/// An open repeat.
struct Open {
    start: Span,
    /// Its `:|` was met, and another ending follows.
    ended: bool,
}

/// Notes repeats without an end, and repeats nested too deep.
///
/// A `:|` without a `|:` needs none: the form knows where it goes back to.
pub(super) fn check(chart: &Chart, problems: &mut Problems) {
    let mut open: Vec<Open> = Vec::new();
    let mut too_deep = false;
    let mut bars = chart.bars().peekable();
    while let Some(bar) = bars.next() {
        start(bar, &mut open);
        if open.len() > DEEPEST && !too_deep {
            problems.add(nested_too_deep(bar.opens.span));
            too_deep = true;
        }
        end(bar, bars.peek().copied(), &mut open);
    }
    let unclosed = open.iter().filter(|repeat| !repeat.ended);
    // Past the deepest, one mistake says enough.
    unclosed
        .take(DEEPEST)
        .for_each(|repeat| problems.add(never_closed(repeat.start)));
}

fn start(bar: &Bar, open: &mut Vec<Open>) {
    if bar.opens.repeat {
        close_ended(open);
        let start = bar.opens.span;
        open.push(Open {
            start,
            ended: false,
        });
    }
}

fn end(bar: &Bar, next: Option<&Bar>, open: &mut Vec<Open>) {
    // A first ending is none of this repeat's, but of the one around it.
    let another_ending = next.is_some_and(|next| next.opens.endings.iter().any(|pass| *pass > 1));
    match (bar.closes.repeat, open.last_mut()) {
        (Some(_), Some(repeat)) if another_ending => repeat.ended = true,
        (Some(_), Some(_)) => {
            open.pop();
        }
        _ if bar.closes.stroke != Stroke::Single => close_ended(open),
        _ => {}
    }
}

/// A last ending has no `:|`: it stops at a double bar or where the next repeat starts.
fn close_ended(open: &mut Vec<Open>) {
    if open.last().is_some_and(|repeat| repeat.ended) {
        open.pop();
    }
}

fn never_closed(start: Span) -> Diagnostic {
    Diagnostic::error(
        start.range(),
        "this repeat is never closed",
        "a `:|` further on",
    )
    .help("end the repeated passage with `:|`")
}

fn nested_too_deep(start: Span) -> Diagnostic {
    let message = format!("repeats within repeats, more than {DEEPEST} deep");
    Diagnostic::error(start.range(), message, "a `:|` before the next `|:`")
}
