//! What stands in a bar of each row, and what its bar lines look like, as text.

use super::strip::{BarWords, Printed};
use crate::chart::percent_sign::PERCENT_SIGN;
use crate::chart::{
    Bar, Cell, Chords, Closing, Event, HELD, LineRow, Marked, MiddleC, Opening, Stroke, TIE, Times,
    Was, Wish,
};

/// The text of a bar in a row. Only the chord line says what its bar lines open and close.
pub(super) fn cell(bar: &Bar, row: LineRow, middle_c: MiddleC) -> Printed {
    let words = match row {
        LineRow::Chords => return chord_bar(bar),
        LineRow::Was => was(bar.was.as_ref()),
        LineRow::Melody => {
            BarWords::one(melody(bar.melody.as_deref().unwrap_or_default(), middle_c))
        }
        LineRow::Hand => hand(bar.hand.as_deref().unwrap_or_default(), middle_c),
    };
    Printed {
        words,
        ..Printed::default()
    }
}

fn chord_bar(bar: &Bar) -> Printed {
    Printed {
        words: contents(bar),
        opens: opening(&bar.opens),
        colon: bar.closes.repeat.is_some(),
        closes: closing(&bar.closes),
        counted: matches!(bar.closes.repeat, Some(Times::Count(_))),
        stroke: bar.closes.stroke,
    }
}

fn contents(bar: &Bar) -> BarWords {
    let meter = bar.meter.iter().map(ToString::to_string);
    let before: Vec<String> = meter.chain(jumps(bar, true)).collect();
    let behind: Vec<String> = jumps(bar, false).collect();
    BarWords {
        before: before.join(" "),
        each: chords(&bar.chords),
        behind: behind.join(" "),
    }
}

fn chords(chords: &Chords) -> Vec<String> {
    match chords {
        Chords::Again => vec![PERCENT_SIGN.to_owned()],
        Chords::Written(cells) => cells.iter().map(chord).collect(),
    }
}

/// The places to arrive at stand before the chords, the instructions behind them.
fn jumps(bar: &Bar, targets: bool) -> impl Iterator<Item = String> {
    let chosen = move |marked: &&Marked| marked.jump.is_target() == targets;
    bar.jumps
        .iter()
        .filter(chosen)
        .map(|marked| marked.jump.to_string())
}

fn chord(cell: &Cell) -> String {
    format!(
        "{}{}{}",
        cell.symbol.text(),
        if cell.held { HELD } else { "" },
        " /".repeat(usize::from(cell.slashes))
    )
}

/// What a bar was; `-` where it is as it was.
fn was(was: Option<&Was>) -> BarWords {
    let each = match was {
        Some(Was::Other(other)) => chords(other),
        Some(Was::AsNow) | None => vec!["-".to_owned()],
    };
    BarWords {
        each,
        ..BarWords::default()
    }
}

fn opening(opens: &Opening) -> String {
    let repeat = if opens.repeat { ":" } else { "" };
    match (opens.endings.is_empty(), opens.repeat) {
        (false, true) => format!("{}|:", numbers(&opens.endings)),
        _ => format!("{}{repeat}", numbers(&opens.endings)),
    }
}

fn closing(closes: &Closing) -> String {
    let stroke = match closes.stroke {
        Stroke::Single => "",
        Stroke::Double => "|",
        Stroke::Final => "]",
    };
    match closes.repeat {
        Some(Times::Count(times)) => format!("{stroke}x{times}"),
        _ => stroke.to_owned(),
    }
}

/// `1,3`, and three or more in a row as `1-3`.
fn numbers(endings: &[u8]) -> String {
    let runs = endings.chunk_by(|a, b| a.saturating_add(1) == *b);
    let texts: Vec<String> = runs
        .flat_map(|run| match run {
            [first, _, .., last] => vec![format!("{first}-{last}")],
            few => few.iter().map(u8::to_string).collect(),
        })
        .collect();
    texts.join(",")
}

fn melody(events: &[Event], middle_c: MiddleC) -> String {
    let name = |event: &Event| {
        event
            .note
            .map_or("r".to_owned(), |note| middle_c.written(note))
    };
    let words: Vec<String> = events
        .iter()
        .map(|event| {
            let tie = if event.tied { TIE } else { "" };
            format!("{}:{}{tie}", name(event), event.beats)
        })
        .collect();
    words.join(" ")
}

fn hand(wishes: &[Wish], middle_c: MiddleC) -> BarWords {
    let one = match wishes {
        [first, rest @ ..] if rest.iter().all(|w| w == first) => match first {
            Wish::Given(_) => wishes,
            _ => std::slice::from_ref(first),
        },
        _ => wishes,
    };
    BarWords {
        each: one.iter().map(|wish| entry(wish, middle_c)).collect(),
        ..BarWords::default()
    }
}

/// An entry of the `lh` row.
pub(in crate::chart) fn entry(wish: &Wish, middle_c: MiddleC) -> String {
    match wish {
        Wish::Plan(wishes) => format!("?{}", wishes.written(|note| middle_c.written(note))),
        Wish::Silent => "-".to_owned(),
        Wish::Given(notes) => {
            let notes: Vec<String> = notes.iter().map(|note| middle_c.written(*note)).collect();
            notes.join(".")
        }
    }
}
