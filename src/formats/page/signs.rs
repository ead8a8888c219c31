//! Signs around a bar: the meter, the section's box, the bracket of an ending, what is read at its end.

use super::drawing::Length;
use super::font::Face;
use super::pen::{PagePen, width};
use super::symbol::accidentals;
use crate::chart::{Jump, Meter};
use crate::pitch::Key;
use crate::score::BarSigns;

/// A meter, its numbers above each other.
pub(super) fn meter_sign(pen: &mut PagePen, meter: Meter, x: Length, top: Length) {
    let rows = [
        (meter.upper().to_string(), 1000),
        (meter.lower().to_string(), 3000),
    ];
    let wide = |digits: &str| {
        digits
            .chars()
            .map(|digit| width(&format!("timeSig{digit}")))
            .sum::<Length>()
    };
    let widest = rows
        .iter()
        .map(|(digits, _)| wide(digits))
        .max()
        .unwrap_or(0);
    for (digits, y) in &rows {
        let mut x = x + (widest - wide(digits)) / 2;
        for digit in digits.chars().map(|digit| format!("timeSig{digit}")) {
            pen.sign(&digit, x, top + y);
            x += width(&digit);
        }
    }
}

/// A section's name in a box; gives its right edge.
pub(super) fn boxed(pen: &mut PagePen, name: &str, x: Length, y: Length) -> Length {
    let wide = boxed_width(name);
    let name = &with_accidentals(name);
    pen.text(name, Face::Bold, 2400, x + 500, y);
    let (upper, lower, line) = (y - 2200, y + 600, 160);
    pen.rectangle(x, upper, wide, line);
    pen.rectangle(x, lower - line, wide, line);
    pen.rectangle(x, upper, line, lower - upper);
    pen.rectangle(x + wide - line, upper, line, lower - upper);
    x + wide
}

/// How wide the box of a section's name is.
pub(super) fn boxed_width(name: &str) -> Length {
    Face::Bold.font().width(&with_accidentals(name), 2400) + 1000
}

/// A name that begins with a key, with its true accidental: Bb as B♭.
fn with_accidentals(name: &str) -> String {
    let (first, rest) = name.split_at(name.find(' ').unwrap_or(name.len()));
    if first.parse::<Key>().is_err() {
        return name.to_owned();
    }
    accidentals(first) + rest
}

/// The places to jump to, segno and coda; gives the place behind them.
pub(super) fn targets(pen: &mut PagePen, jumps: &[Jump], mut x: Length, row: Length) -> Length {
    for jump in jumps.iter().filter(|jump| jump.is_target()) {
        let sign = target_sign(*jump);
        pen.sized_sign(sign, x, row + 200, 3000);
        x += width(sign) + 500;
    }
    x
}

/// How wide they are.
pub(super) fn targets_width(jumps: &[Jump]) -> Length {
    let targets = jumps.iter().filter(|jump| jump.is_target());
    targets.map(|jump| width(target_sign(*jump)) + 500).sum()
}

const fn target_sign(jump: Jump) -> &'static str {
    match jump {
        Jump::Segno => "segno",
        _ => "coda",
    }
}

/// The bracket of an ending over one bar from `left` to `right`, its number at `start`; says whether it goes on behind it.
pub(super) fn ending(
    pen: &mut PagePen,
    signs: &BarSigns,
    (start, left, right): (Length, Length, Length),
    row: Length,
    open: bool,
) -> bool {
    let begins = !signs.endings.is_empty();
    if !begins && !open {
        return false;
    }
    let (upper, line) = (row - 1500, 160);
    let from = if begins { start + 200 } else { left };
    if begins {
        pen.rectangle(from, upper, line, 2000);
        pen.text(&passes(signs), Face::Text, 1700, from + 500, row + 300);
    }
    let stop = signs.ending_stop.as_ref();
    let to = if stop.is_some() { right - 300 } else { right };
    pen.rectangle(from, upper, (to - from).max(0), line);
    if stop.is_some_and(|stop| stop.goes_back) {
        pen.rectangle(to - line, upper, line, 2000);
    }
    stop.is_none()
}

/// How wide the number of an ending is that begins with a bar.
pub(super) fn ending_width(signs: &BarSigns) -> Length {
    match signs.endings.is_empty() {
        true => 0,
        false => 1200 + Face::Text.font().width(&passes(signs), 1700),
    }
}

/// The passes an ending is for, as they stand in its bracket.
fn passes(signs: &BarSigns) -> String {
    let passes = signs.endings.iter().map(|pass| format!("{pass}."));
    passes.collect::<Vec<_>>().join(" ")
}

/// What is read at the end of a bar.
pub(super) fn words(pen: &mut PagePen, jumps: &[Jump], right: Length, y: Length) {
    let spoken: Vec<&str> = jumps.iter().filter_map(|jump| word(*jump)).collect();
    if spoken.is_empty() {
        return;
    }
    let mut right = right - 300;
    if jumps.contains(&Jump::ToCoda) {
        right -= width("coda") * 2400 / 4000;
        pen.sized_sign("coda", right, y + 2200, 2400);
        right -= 400;
    }
    pen.text_to(&spoken.join(", "), Face::Bold, 1900, right, y + 2000);
}

/// A jump in the words of printed music.
const fn word(jump: Jump) -> Option<&'static str> {
    match jump {
        Jump::Segno | Jump::Coda => None,
        Jump::ToCoda => Some("To Coda"),
        Jump::Fine => Some("Fine"),
        Jump::DaCapo => Some("D.C."),
        Jump::DalSegno => Some("D.S."),
        Jump::DaCapoAlFine => Some("D.C. al Fine"),
        Jump::DaCapoAlCoda => Some("D.C. al Coda"),
        Jump::DalSegnoAlFine => Some("D.S. al Fine"),
        Jump::DalSegnoAlCoda => Some("D.S. al Coda"),
    }
}
