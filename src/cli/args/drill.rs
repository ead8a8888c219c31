//! The arguments of `drill`, as they are typed.

use std::str::FromStr;

use clap::{Args, ValueEnum};
use compline::chart::{Form, Header};
use compline::pitch::Cycle;

use super::{BarsOrChord, WritingArguments};

const DRILL: &str = "The drill";

/// Arguments of `drill`.
#[derive(Debug, Args)]
pub struct DrillArguments {
    /// A chart, `-` for standard input, or a formula of chords such as ii-V-I
    #[arg(value_name = "CHART or FORMULA")]
    pub what: String,

    /// Only these written bars, such as 5-8
    #[arg(long, value_name = "BARS", help_heading = DRILL)]
    pub bar: Option<BarsOrChord>,

    /// The step from key to key, until all twelve have come
    ///
    /// Whole steps and minor thirds come round before that, and go on a half step further. `--key` says
    /// where to begin, or, with several keys, which to take and in which order.
    #[arg(long, value_name = "STEP", default_value = "fourths", help_heading = DRILL)]
    pub by: CycleName,

    /// Go down by that step, not up
    #[arg(long, help_heading = DRILL)]
    pub down: bool,

    /// The form of the first voicing: A, the third lowest, or B, the seventh lowest
    #[arg(long, value_name = "FORM", ignore_case = true, help_heading = DRILL)]
    pub first: Option<FirstForm>,

    /// Beats a minute, or from the first key to the last, such as 60..120 [default: the chart's]
    #[arg(long, value_name = "TEMPO", help_heading = DRILL)]
    pub tempo: Option<Tempi>,

    #[command(flatten)]
    pub writing: WritingArguments,
}

/// The step from key to key, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum CycleName {
    /// C F Bb Eb
    Fourths,
    /// C Db D Eb
    HalfSteps,
    /// C D E Gb, and from Db the other six
    WholeSteps,
    /// C Eb Gb A, then from Db, then from D
    MinorThirds,
}

impl From<CycleName> for Cycle {
    fn from(name: CycleName) -> Self {
        match name {
            CycleName::Fourths => Self::Fourths,
            CycleName::HalfSteps => Self::HalfSteps,
            CycleName::WholeSteps => Self::WholeSteps,
            CycleName::MinorThirds => Self::MinorThirds,
        }
    }
}

/// The form of the first voicing, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FirstForm {
    /// The third lowest
    #[value(name = "A")]
    A,
    /// The seventh lowest
    #[value(name = "B")]
    B,
}

impl From<FirstForm> for Form {
    fn from(form: FirstForm) -> Self {
        match form {
            FirstForm::A => Self::A,
            FirstForm::B => Self::B,
        }
    }
}

/// The tempo of the first key and of the last, in beats a minute.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tempi {
    first: u32,
    last: u32,
}

impl FromStr for Tempi {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let (first, last) = text.split_once("..").unwrap_or((text, text));
        let tempo = |text: &str| {
            let read = text.trim().parse().ok();
            read.filter(|tempo| Header::TEMPI.contains(tempo)).ok_or_else(|| {
                format!("`{text}` is no tempo: write beats a minute from 1 to 999, such as 60 or 60..120")
            })
        };
        Ok(Self {
            first: tempo(first)?,
            last: tempo(last)?,
        })
    }
}

impl Tempi {
    /// The tempo of one of several keys, from 0: rising, or falling, by equal steps, rounded.
    pub fn of(self, at: usize, count: usize) -> u32 {
        let steps = i64::try_from(count.saturating_sub(1))
            .unwrap_or(i64::MAX)
            .max(1);
        let at = i64::try_from(at).unwrap_or(i64::MAX).min(steps);
        let way = i64::from(self.last) - i64::from(self.first);
        let gone = (2 * way * at + steps).div_euclid(2 * steps);
        u32::try_from(i64::from(self.first) + gone).unwrap_or(self.last)
    }
}

#[cfg(test)]
mod tests {
    use super::Tempi;

    #[test]
    fn tempi_rise_by_equal_steps() {
        let rising: Tempi = "60..120".parse().unwrap();
        let tempi: Vec<u32> = (0..12).map(|at| rising.of(at, 12)).collect();
        assert_eq!(tempi, [60, 65, 71, 76, 82, 87, 93, 98, 104, 109, 115, 120]);
        let falling: Tempi = "90..80".parse().unwrap();
        assert_eq!([falling.of(0, 2), falling.of(1, 2)], [90, 80]);
        let one: Tempi = "72".parse().unwrap();
        assert_eq!([one.of(0, 1), one.of(7, 12)], [72, 72]);
        for wrong in ["", "0", "60..", "60..1000", "60-120", "x"] {
            assert!(wrong.parse::<Tempi>().is_err(), "{wrong}");
        }
    }
}
