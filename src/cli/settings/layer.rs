//! What one place says about the settings: the command line, a settings file, a folder in it. One
//! layer is laid over another, and what nobody says is the program's own.

use std::collections::BTreeMap;
use std::fmt::Display;
use std::path::PathBuf;

use compline::arrange;
use compline::chart::TopWish;
use compline::check::{self, Allowance, Severity};
use compline::hand::{Hand, LimitTable, Range, Reach, name_of};
use compline::pitch::{Pitch, Spelling};
use compline::reharm::{ChangeWeights, SetChangeWeight};
use compline::voicing::{self, Colour, Palette, SetSurcharge, SurchargeWeights};

/// What one place says; `None` is silence.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SettingsLayer {
    /// The lowest key.
    pub low: Option<Pitch>,
    /// The highest key.
    pub high: Option<Pitch>,
    /// The reach, or the measured hand.
    pub reach: Option<Reach>,
    /// The low-interval limits.
    pub limits: Option<LimitTable>,
    /// The octave in which the bass is counted in.
    pub count_bass: Option<i32>,
    /// The shapes.
    pub palette: Option<Palette>,
    /// The colour.
    pub colour: Option<Colour>,
    /// How notes are named.
    pub spelling: Option<Spelling>,
    /// Whether the melody is left out of account.
    pub ignore_melody: Option<bool>,
    /// Whether the step back to the beginning counts.
    pub looped: Option<bool>,
    /// What the top note does.
    pub top: Option<TopWish>,
    /// How far a note may leap.
    pub leap: Option<u8>,
    /// The surcharges that are set, by name.
    pub surcharges: BTreeMap<&'static str, SetSurcharge>,
    /// The weights of a choice of changes that are set, by name.
    pub reharm: BTreeMap<&'static str, SetChangeWeight>,
    /// The severities of rules; `None` within is off.
    pub rules: BTreeMap<&'static str, Option<Severity>>,
    /// The least severity that fails.
    pub fail_on: Option<Severity>,
    /// The record of known findings.
    pub known: Option<PathBuf>,
    /// What one voicing may cost beyond its best alternative.
    pub detour: Option<u32>,
    /// How much more effort than the best plan a whole hand may make.
    pub restless: Option<Allowance>,
}

/// The low end of a range lies above its high end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UpsideDown(Pitch, Pitch);

impl Display for UpsideDown {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (low, high) = (name_of(self.0), name_of(self.1));
        write!(f, "low, {low}, would lie above high, {high}")
    }
}

impl SettingsLayer {
    /// This layer laid over another: what this one says wins.
    pub fn over(&self, below: &Self) -> Self {
        let mut rules = below.rules.clone();
        rules.extend(self.rules.clone());
        let mut surcharges = below.surcharges.clone();
        surcharges.extend(&self.surcharges);
        let mut reharm = below.reharm.clone();
        reharm.extend(&self.reharm);
        Self {
            low: self.low.or(below.low),
            high: self.high.or(below.high),
            reach: self.reach.or(below.reach),
            limits: self.limits.clone().or_else(|| below.limits.clone()),
            count_bass: self.count_bass.or(below.count_bass),
            palette: self.palette.clone().or_else(|| below.palette.clone()),
            colour: self.colour.or(below.colour),
            spelling: self.spelling.or(below.spelling),
            ignore_melody: self.ignore_melody.or(below.ignore_melody),
            looped: self.looped.or(below.looped),
            top: self.top.or(below.top),
            leap: self.leap.or(below.leap),
            surcharges,
            reharm,
            rules,
            fail_on: self.fail_on.or(below.fail_on),
            known: self.known.clone().or_else(|| below.known.clone()),
            detour: self.detour.or(below.detour),
            restless: self.restless.or(below.restless),
        }
    }

    /// The player's settings, what is left unsaid being the usual.
    ///
    /// # Errors
    ///
    /// A range that stands on its head.
    pub fn arrange(&self) -> Result<arrange::Settings, UpsideDown> {
        let usual = Hand::default();
        Ok(arrange::Settings {
            voicing: voicing::VoicingSettings {
                hand: Hand {
                    range: self.range(usual.range)?,
                    limits: self.limits.clone().unwrap_or(usual.limits),
                    reach: self.reach.unwrap_or(usual.reach),
                    bass: self.count_bass,
                },
                palette: self.palette.clone().unwrap_or_default(),
                colour: self.colour.unwrap_or_default(),
                surcharges: self.weights(),
                spelling: self.spelling,
            },
            looped: self.looped.unwrap_or_default(),
            ignore_melody: self.ignore_melody.unwrap_or_default(),
            top: self.top,
            leap: self.leap,
            ..arrange::Settings::default()
        })
    }

    /// The table of surcharges with the rows that are set.
    fn weights(&self) -> SurchargeWeights {
        let set = self.surcharges.values();
        set.fold(SurchargeWeights::default(), |weights, set| {
            set.in_table(weights)
        })
    }

    /// The weights of a choice of changes with the rows that are set.
    pub fn change_weights(&self) -> ChangeWeights {
        let set = self.reharm.values();
        set.fold(ChangeWeights::default(), |weights, set| {
            set.in_table(weights)
        })
    }

    fn range(&self, usual: Range) -> Result<Range, UpsideDown> {
        let low = self.low.unwrap_or(usual.low());
        let high = self.high.unwrap_or(usual.high());
        Range::new(low, high).ok_or(UpsideDown(low, high))
    }

    /// What charts are held against.
    ///
    /// # Errors
    ///
    /// As [`SettingsLayer::arrange`].
    pub fn check(&self) -> Result<check::RuleSettings, UpsideDown> {
        let mut settings = check::RuleSettings::of(self.arrange()?);
        settings.detour = self.detour.unwrap_or(settings.detour);
        settings.restless = self.restless.unwrap_or(settings.restless);
        for (name, severity) in &self.rules {
            // Only rules that there are get into a layer.
            let _ = settings.set(name, *severity);
        }
        Ok(settings)
    }

    /// The keys this layer sets although another says something else there, by name.
    pub fn against(&self, other: &Self) -> Vec<String> {
        let theirs = other.said();
        let mine = self.said().into_iter();
        mine.filter(|(key, value)| theirs.get(key).is_some_and(|their| their != value))
            .map(|(key, _)| key)
            .collect()
    }

    /// Every key that is set, with its value in words.
    fn said(&self) -> BTreeMap<String, String> {
        fn word<T: Display>(name: &str, value: Option<&T>) -> Option<(String, String)> {
            value.map(|value| (name.to_owned(), value.to_string()))
        }
        let key = |pitch: Option<Pitch>| pitch.map(name_of);
        let path = self.known.as_ref().map(|path| path.display());
        let rules = self.rules.iter().map(|(name, severity)| {
            let word = severity.map_or("off", Severity::name);
            (format!("rules.{name}"), word.to_owned())
        });
        let limits = self.limits.as_ref().map(|table| format!("{table:?}"));
        let surcharges = self.surcharges.values();
        let surcharges =
            surcharges.map(|set| (format!("surcharges.{}", set.name()), set.to_string()));
        let reharm = self.reharm.values();
        let reharm = reharm.map(|set| (format!("reharm.{}", set.name()), set.to_string()));
        [
            word("low", key(self.low).as_ref()),
            word("high", key(self.high).as_ref()),
            word("reach", self.reach.as_ref()),
            word("limits", limits.as_ref()),
            word("count-bass", self.count_bass.as_ref()),
            word("palette", self.palette.as_ref()),
            word("colour", self.colour.as_ref()),
            word("spelling", self.spelling.as_ref()),
            word("ignore-melody", self.ignore_melody.as_ref()),
            word("loop", self.looped.as_ref()),
            word("top", self.top.as_ref()),
            word("leap", self.leap.as_ref()),
            word("fail-on", self.fail_on.as_ref()),
            word("known", path.as_ref()),
            word("detour", self.detour.as_ref()),
            word("restless", self.restless.as_ref()),
        ]
        .into_iter()
        .flatten()
        .chain(rules)
        .chain(surcharges)
        .chain(reharm)
        .collect()
    }
}
