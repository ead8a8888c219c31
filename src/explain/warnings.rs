//! What a player should know about an arrangement, and what to do about it.

use std::fmt;

use super::phrases::{bars_in_words, in_bars};
use super::violations::in_words;
use crate::arrange::{GivenUp, Thinner, Uncarried, Warning};
use crate::chart::Slot;
use crate::hand::Violation;
use crate::words::listed;

/// What to tell anybody who asks for a wide stretch.
pub const CAUTION: &str = "Wide stretches can hurt a hand. Stop when it hurts, and ask a teacher \
                           or a clinician; no span is claimed to be safe.";

impl Warning {
    /// What it is about, the same for all warnings of its kind: for a count over many charts.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Thinned { .. } => "some chords are thinned out to a plainer shape",
            Self::MakesWay { .. } => "the hand is silent where the melody leaves it no room",
            Self::BeyondHand { .. } => "some chords are beyond the measured hand",
            Self::GivenBreaks { .. } => "a given voicing breaks a rule",
            Self::GivenStep { .. } => "a step between given voicings isn't as wished",
            Self::GivenUp(_) => "a named tone is left out where the melody has no room for it",
            Self::Uncarried(_) => Uncarried::KIND,
            Self::WideReach => CAUTION,
        }
    }

    /// What the reader can do about it.
    pub fn advice(&self) -> Option<&'static str> {
        match self {
            Self::Thinned { .. } => {
                Some("`compline why` says for each of them what stood in the way")
            }
            Self::MakesWay { .. } => Some(
                "play there in a lower range (--low), give notes in the `lh` row, or leave the melody out \
                 of account (--ignore-melody)",
            ),
            Self::GivenBreaks { .. } => Some("it is held as given; write ? to have it planned"),
            Self::GivenStep { .. } => {
                Some("both are held as given; write ? under one of them to have it planned")
            }
            Self::BeyondHand { .. } | Self::GivenUp(_) | Self::Uncarried(_) | Self::WideReach => {
                None
            }
        }
    }
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Thinned { bars, wanted } => {
                let bars = in_bars(bars);
                write!(f, "thinned out {bars}: no {wanted} voicing fits there")
            }
            Self::MakesWay { bars } => {
                let bars = in_bars(bars);
                write!(f, "silent {bars}: the melody leaves no room for the hand")
            }
            Self::BeyondHand {
                hand,
                wanted,
                chords,
            } => {
                let chords: Vec<String> = chords.iter().map(thinner).collect();
                let chords = chords.join(", ");
                write!(
                    f,
                    "beyond a hand of {hand} as {wanted}: {chords}. {CAUTION}"
                )
            }
            Self::GivenBreaks { slot, violations } => f.write_str(&given_breaks(slot, violations)),
            Self::GivenStep { from, to, wished } => write!(
                f,
                "bar {}, {}: the step between given voicings, from bar {}, {}, is not as wished: \
                 `{wished}`",
                to.0, to.1, from.0, from.1
            ),
            Self::GivenUp(one) => f.write_str(&given_up(one)),
            Self::Uncarried(uncarried) => uncarried.fmt(f),
            Self::WideReach => f.write_str(CAUTION),
        }
    }
}

fn given_breaks(slot: &Slot, violations: &[Violation]) -> String {
    let words = violations.iter().map(|violation| in_words(violation, slot));
    let words: Vec<String> = words.collect();
    let (bar, symbol, words) = (slot.bar, slot.symbol.text(), words.join("; "));
    format!("bar {bar}, {symbol}: the given voicing breaks the rules: {words}")
}

fn given_up(one: &GivenUp) -> String {
    let tones: Vec<String> = one.tones.iter().map(ToString::to_string).collect();
    let (bars, tones) = (bars_in_words(&one.bars), listed(&tones, "and"));
    let (symbol, under) = (&one.symbol, &one.under);
    format!(
        "{bars}, {symbol} is played without its {tones}: the melody's {under} leaves no room for it"
    )
}

fn thinner(chord: &Thinner) -> String {
    let Thinner {
        symbol,
        bars,
        shape,
    } = chord;
    format!("{symbol} {} ({shape} instead)", in_bars(bars))
}
