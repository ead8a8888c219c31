//! How a symbol is read, and which shapes it admits.

use std::collections::BTreeMap;
use std::fmt::Write;

use compline::chord::Chord;
use compline::voicing::{Colour, admitted};

use super::joined;

pub fn symbol(text: &str, with_shapes: bool) -> String {
    let chord = match Chord::read(text) {
        Ok(chord) => chord,
        Err(unread) => return format!("{text}: {unread}\n"),
    };
    let tones = chord.tones().iter().map(|tone| {
        let (degree, named) = (tone.degree, if tone.named { "!" } else { "" });
        format!("{degree}{named}")
    });
    let over = chord
        .bass()
        .map_or_else(String::new, |bass| format!(" over {bass}"));
    let reading = chord
        .reading()
        .map_or_else(String::new, |reading| format!(" ({reading})"));
    let mut out = format!(
        "{text}: {}{over}; takes {}; not {}{reading}\n",
        joined(tones, " "),
        joined(chord.tensions(), " "),
        joined(chord.avoid(), " ")
    );
    if with_shapes {
        writeln!(out, "    {}", shapes(&chord)).unwrap();
    }
    out
}

/// Under each shape its layouts in the written colour, then how many there are in the other colours.
fn shapes(chord: &Chord) -> String {
    let mut written: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    let mut others: BTreeMap<&str, [usize; 2]> = BTreeMap::new();
    for one in admitted(chord) {
        match one.colour {
            Colour::Written => {
                let degrees = joined(one.layout.degrees(), ".");
                written.entry(one.shape.name).or_default().push(degrees);
            }
            Colour::Natural => others.entry(one.shape.name).or_default()[0] += 1,
            _ => others.entry(one.shape.name).or_default()[1] += 1,
        }
    }
    let counted = others
        .into_iter()
        .map(|(shape, [natural, altered])| format!("{shape} {natural}/{altered}"));
    // Block layouts are inversions of the same rows; four-note rows say what the others do.
    let shown = written
        .iter()
        .filter(|(shape, _)| ["rootless", "three-note"].contains(shape));
    let shown = shown.map(|(shape, rows)| format!("{shape} {}", rows.join(" ")));
    format!("{} | {}", joined(shown, ", "), joined(counted, ", "))
}
