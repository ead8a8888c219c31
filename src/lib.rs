//! Compline turns a lead sheet into a left hand for the piano.
//!
//! ```
//! use compline::arrange::{Cache, Settings, arrange};
//! use compline::{chart, formats};
//!
//! let chart = chart::read("title: Two bars of rain\nkey: C\n| Dm7 G7 | Cmaj7 |\n")?;
//! let arrangement = arrange(chart, &Settings::default(), &mut Cache::default())?;
//! assert_eq!(arrangement.totals.cost.effort, 6);
//! assert!(formats::text(&arrangement, &formats::Style::default()).contains("F3.A3.C4.E4"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! One path runs through the whole library:
//!
//! 1. [`chart::read`] reads chart text into a [`chart::Chart`], reporting every mistake at once. The
//!    symbols in it are read by [`chord`].
//! 2. [`chart::Chart::slots`] lays the chart out as slots: one chord, its beats, its melody notes.
//! 3. [`harmony::contexts`] says what each chord is in its place and where it goes.
//! 4. [`voicing::candidates`] makes every voicing of a slot that a [`hand::Hand`] may play.
//! 5. [`optimise::Model::solve`] picks one for each slot so that nothing smoother exists. It knows no music.
//! 6. [`arrange::arrange`] runs steps 2 to 5 and keeps the books in an [`arrange::Arrangement`].
//! 7. [`score`] writes that out in bars and staves, or in time.
//! 8. [`formats`] turns all of it into text, JSON, a note grid, MusicXML or MIDI.
//!
//! The library prints nothing, reads no environment and touches no files: that is the program's
//! part, in the `compline` binary.

#![forbid(unsafe_code)]

pub mod arrange;
pub mod chart;
pub mod check;
pub mod chord;
pub mod explain;
pub mod formats;
pub mod hand;
pub mod harmony;
pub mod optimise;
pub mod pitch;
pub mod reharm;
pub mod score;
pub mod voicing;
pub mod words;

/// How many cases a test tries that takes long: the first figure, or the second where `COMPLINE_WHOLE`
/// is set.
#[cfg(test)]
fn cases(sample: u32, all: u32) -> u32 {
    let whole = std::env::var_os("COMPLINE_WHOLE").is_some();
    if whole { all } else { sample }
}

/// The README's Rust, run as tests.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
