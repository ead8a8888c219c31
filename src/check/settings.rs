//! What a chart is held against: the player's settings, the rules' severities, the allowances.

use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;

use super::Severity;
use crate::arrange;
use crate::chart::Chart;

/// Everything that decides a report, besides the chart.
///
/// ```
/// use compline::check::{RuleSettings, Severity, rule};
///
/// let mut settings = RuleSettings::default();
/// let untidy = rule("untidy").unwrap();
/// assert_eq!(settings.severity(untidy), None);
/// settings.set("untidy", Some(Severity::Note)).unwrap();
/// assert_eq!(settings.severity(untidy), Some(Severity::Note));
/// let unknown = settings.set("mudy", None).unwrap_err();
/// assert_eq!(unknown.to_string(), "there is no rule `mudy`; did you mean `muddy`?");
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RuleSettings {
    /// The hand, the shapes, the colour, and what is wished for every step. The page is held as it is
    /// written: [`arrange::Settings::as_played`] and `alternatives` play no part.
    pub arrange: arrange::Settings,
    /// How far the hand may move beyond the best plan.
    pub restless: Allowance,
    /// How many semitones of motion one voicing may cost beyond its best alternative, each time it is
    /// played. The default, [`DETOUR`], is this program's own choice: no text gives a number.
    pub detour: u32,
    /// The least severity of the findings that [`mend`](super::mend()) mends; `None` mends all.
    pub mend_from: Option<Severity>,
    /// The severities that were set, by the names of the rules; see [`Self::set`].
    pub(super) severities: BTreeMap<&'static str, Option<Severity>>,
}

/// What one voicing may cost beyond its best alternative unless the settings say otherwise: the hand
/// may open or shift by a fourth more than it need.
pub const DETOUR: u32 = 5;

impl Default for RuleSettings {
    fn default() -> Self {
        Self::of(arrange::Settings::default())
    }
}

impl RuleSettings {
    /// These settings for a chart, whose notes are named as it says; see [`arrange::Settings::on`].
    pub(super) fn on(&self, chart: &Chart) -> Self {
        Self {
            arrange: self.arrange.on(chart),
            ..self.clone()
        }
    }

    /// The default rules under these settings of the player.
    pub fn of(arrange: arrange::Settings) -> Self {
        Self {
            arrange,
            restless: Allowance::default(),
            detour: DETOUR,
            mend_from: None,
            severities: BTreeMap::new(),
        }
    }
}

/// How much more than the best plan a hand may move before it counts as restless: more than
/// `numerator`/`denominator` of the best motion, and more than `semitones` beyond it.
///
/// The default, half as much again and more than an octave beyond, is this program's own choice: no
/// text gives a number. The two together leave short tunes alone, where a few semitones are a large share.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Allowance {
    /// The upper number of the ratio.
    pub numerator: u32,
    /// The lower number of the ratio; 0 counts as 1.
    pub denominator: u32,
    /// The semitones beyond the best plan that are always allowed.
    pub semitones: u32,
}

impl Default for Allowance {
    fn default() -> Self {
        Self {
            numerator: 3,
            denominator: 2,
            semitones: 12,
        }
    }
}

impl Allowance {
    /// The most motion that is allowed where the best plan has `best`.
    ///
    /// ```
    /// use compline::check::Allowance;
    ///
    /// let allowance = Allowance::default();
    /// assert_eq!(allowance.most(100), 150);
    /// assert_eq!(allowance.most(10), 22);
    /// ```
    pub fn most(self, best: u64) -> u64 {
        let share = u128::from(best) * u128::from(self.numerator);
        let share = share / u128::from(self.denominator.max(1));
        let share = u64::try_from(share).unwrap_or(u64::MAX);
        share.max(best.saturating_add(u64::from(self.semitones)))
    }
}

/// As it is typed: `3/2+12`.
impl fmt::Display for Allowance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            numerator,
            denominator,
            semitones,
        } = self;
        write!(f, "{numerator}/{denominator}+{semitones}")
    }
}

/// Reads `3/2+12`.
///
/// ```
/// use compline::check::Allowance;
///
/// assert_eq!("3/2+12".parse(), Ok(Allowance::default()));
/// assert!("3/0+12".parse::<Allowance>().is_err() && "1.5".parse::<Allowance>().is_err());
/// ```
impl FromStr for Allowance {
    type Err = NotAnAllowance;

    fn from_str(text: &str) -> Result<Self, NotAnAllowance> {
        let parts = || {
            let (ratio, semitones) = text.split_once('+')?;
            let (numerator, denominator) = ratio.split_once('/')?;
            let number = |text: &str| text.trim().parse::<u32>().ok();
            let denominator = number(denominator).filter(|number| *number > 0)?;
            Some(Self {
                numerator: number(numerator)?,
                denominator,
                semitones: number(semitones)?,
            })
        };
        parts().ok_or_else(|| NotAnAllowance(text.to_owned()))
    }
}

/// A text that is no allowance.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotAnAllowance(String);

impl fmt::Display for NotAnAllowance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(text) = self;
        write!(
            f,
            "`{text}` is no allowance: write 3/2+12 for half as much again and an octave more"
        )
    }
}

impl std::error::Error for NotAnAllowance {}
