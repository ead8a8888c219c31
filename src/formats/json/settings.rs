//! The settings of a voiced chart: as they are written, and which of those a chart tells are not in force.

use std::collections::BTreeMap;

use serde::{Deserialize, Deserializer};
use serde_json::Value;
use serde_json::value::RawValue;

use super::types::{SettingsJson, WeightsJson};
use crate::arrange::Settings;
use crate::hand::Reach;

/// The names in the JSON, each with the option that it says. What `check` has no part in has none.
const OPTIONS: [(&str, Option<&str>); 14] = [
    ("low", Some("low")),
    ("high", Some("high")),
    ("surcharges", Some("surcharge")),
    ("reach", Some("reach")),
    ("hand_mm", Some("hand")),
    ("limits", Some("limits")),
    ("count_bass", Some("count-bass")),
    ("palette", Some("palette")),
    ("colour", Some("colour")),
    ("ignore_melody", Some("ignore-melody")),
    ("plan", None),
    ("loop", Some("loop")),
    ("top", Some("top")),
    ("leap", Some("leap")),
];

/// The longest text of one setting that is read, in bytes. What is longer was not written by this program:
/// the longest it writes is the path of a table of limits.
const LONGEST: usize = 8192;

/// The settings under their stable names.
pub(super) fn settings_json(settings: &Settings) -> SettingsJson {
    let hand = &settings.voicing.hand;
    let weights = settings.voicing.surcharges;
    let (reach, hand_mm) = match hand.reach {
        Reach::Semitones(reach) => (Some(reach), None),
        Reach::Span(span) => (None, Some(span.0)),
    };
    SettingsJson {
        low: hand.range.low().midi(),
        high: hand.range.high().midi(),
        surcharges: WeightsJson {
            register: weights.register,
            floor: weights.floor.midi(),
            plain: weights.plain,
            melody: weights.melody,
        },
        reach,
        hand_mm,
        limits: hand.limits.name().to_owned(),
        count_bass: hand.bass,
        palette: settings.voicing.palette.names().collect(),
        colour: settings.voicing.colour.to_string(),
        ignore_melody: settings.ignore_melody,
        plan: if settings.as_played {
            "as-played"
        } else {
            "as-written"
        },
        looped: settings.looped,
        top: settings.top.map(|top| top.to_string()),
        leap: settings.leap,
    }
}

/// The options that a voiced chart in JSON was made with otherwise than `settings` say. What it doesn't say
/// is not compared.
///
/// ```
/// use compline::arrange::Settings;
/// use compline::formats::other_settings;
///
/// let line = r#"{"settings": {"low": 40, "high": 69, "colour": "natural", "leap": 3}}"#;
/// assert_eq!(other_settings(line, &Settings::default()), ["low", "leap"]);
/// ```
pub fn other_settings(line: &str, settings: &Settings) -> Vec<&'static str> {
    let Ok(VoicedUnder { settings: told }) = serde_json::from_str(line) else {
        return Vec::new();
    };
    let Ok(here) = serde_json::to_value(settings_json(settings)) else {
        debug_assert!(false, "settings have a JSON");
        return Vec::new();
    };
    let differs = |name: &str| {
        let told = told.0.get(name).filter(|told| says(name, told));
        told.is_some_and(|told| !is_same(told, &here[name]))
    };
    let options = OPTIONS.iter().filter(|(name, _)| differs(name));
    options.filter_map(|(_, option)| *option).collect()
}

#[derive(Deserialize)]
struct VoicedUnder<'a> {
    #[serde(borrow)]
    settings: ToldSettings<'a>,
}

/// What a chart tells of its settings, by the names in the JSON that the program knows.
struct ToldSettings<'a>(BTreeMap<&'static str, &'a RawValue>);

impl<'de: 'a, 'a> Deserialize<'de> for ToldSettings<'a> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_map(KnownNames)
    }
}

struct KnownNames;

impl<'de> serde::de::Visitor<'de> for KnownNames {
    type Value = ToldSettings<'de>;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("the settings of a voiced chart")
    }

    fn visit_map<A: serde::de::MapAccess<'de>>(self, mut from: A) -> Result<Self::Value, A::Error> {
        let mut told = BTreeMap::new();
        while let Some(name) = from.next_key::<std::borrow::Cow<'_, str>>()? {
            let value: &RawValue = from.next_value()?;
            let known = OPTIONS.iter().find(|(known, _)| *known == name);
            told.extend(known.map(|(known, _)| (*known, value)));
        }
        Ok(ToldSettings(told))
    }
}

/// Whether a value says something. Of the reach and the measured hand one is null, and the other says it.
fn says(name: &str, told: &RawValue) -> bool {
    !(matches!(name, "reach" | "hand_mm") && told.get() == "null")
}

fn is_same(told: &RawValue, here: &Value) -> bool {
    let short = Some(told.get()).filter(|told| told.len() <= LONGEST);
    let told = short.and_then(|told| serde_json::from_str::<Value>(told).ok());
    match (told, here) {
        (Some(Value::Object(told)), Value::Object(here)) => {
            let mut told = told.iter();
            told.all(|(name, told)| here.get(name).is_none_or(|here| here == told))
        }
        (told, here) => told.as_ref() == Some(here),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::TopWish;
    use crate::hand::{LimitTable, Millimetres, Range};
    use crate::pitch::Pitch;
    use crate::voicing::Colour;

    /// The line of a chart that was voiced under these settings.
    fn line(settings: &Settings) -> String {
        let settings = serde_json::to_string(&settings_json(settings)).unwrap();
        format!("{{\"settings\": {settings}}}")
    }

    fn with(change: impl FnOnce(&mut Settings)) -> Settings {
        let mut settings = Settings::default();
        change(&mut settings);
        settings
    }

    /// The usual settings but for one, with the option that it is.
    fn cases() -> Vec<(&'static str, Settings)> {
        let key = |midi| Pitch::new(midi).unwrap();
        let range = |low, high| {
            move |s: &mut Settings| s.voicing.hand.range = Range::new(key(low), key(high)).unwrap()
        };
        vec![
            ("low", with(range(47, 69))),
            ("high", with(range(48, 70))),
            ("surcharge", with(|s| s.voicing.surcharges.register += 1)),
            ("surcharge", with(|s| s.voicing.surcharges.floor = key(50))),
            ("surcharge", with(|s| s.voicing.surcharges.plain += 1)),
            ("surcharge", with(|s| s.voicing.surcharges.melody += 1)),
            (
                "reach",
                with(|s| s.voicing.hand.reach = Reach::Semitones(16)),
            ),
            (
                "hand",
                with(|s| s.voicing.hand.reach = Reach::Span(Millimetres(200))),
            ),
            (
                "limits",
                with(|s| s.voicing.hand.limits = LimitTable::named("series").unwrap()),
            ),
            ("count-bass", with(|s| s.voicing.hand.bass = Some(2))),
            (
                "palette",
                with(|s| s.voicing.palette = "shell".parse().unwrap()),
            ),
            ("colour", with(|s| s.voicing.colour = Colour::Written)),
            ("ignore-melody", with(|s| s.ignore_melody = true)),
            ("loop", with(|s| s.looped = true)),
            ("top", with(|s| s.top = Some(TopWish::Step))),
            ("leap", with(|s| s.leap = Some(3))),
        ]
    }

    #[test]
    fn every_setting_that_was_another_is_told() {
        for (option, settings) in cases() {
            let told = other_settings(&line(&settings), &Settings::default());
            assert_eq!(told, [option]);
            assert_eq!(
                other_settings(&line(&settings), &settings),
                [""; 0],
                "{option}"
            );
        }
        let tried = cases();
        let mut named = OPTIONS.iter().filter_map(|(_, option)| *option);
        assert!(named.all(|named| tried.iter().any(|(option, _)| *option == named)));
    }

    #[test]
    fn every_name_that_is_written_is_known() {
        let settings = with(|s| (s.top, s.leap) = (Some(TopWish::Held), Some(1)));
        let written = serde_json::to_value(settings_json(&settings)).unwrap();
        let mut written: Vec<&str> = written
            .as_object()
            .unwrap()
            .keys()
            .map(String::as_str)
            .collect();
        let mut known = OPTIONS.map(|(name, _)| name);
        written.sort_unstable();
        known.sort_unstable();
        assert_eq!(written, known);
    }

    #[test]
    fn what_is_not_told_is_not_compared() {
        let wide = with(|s| s.voicing.hand.bass = Some(2));
        for told in [
            "{}",
            r#"{"settings": {}}"#,
            r#"{"settings": {"size": 3, "surcharges": {"size": 3}}}"#,
        ] {
            assert_eq!(other_settings(told, &wide), [""; 0], "{told}");
        }
        // Null says that the bass was not counted in.
        let none = r#"{"settings": {"count_bass": null}}"#;
        assert_eq!(other_settings(none, &wide), ["count-bass"]);
        let long = format!(r#"{{"settings": {{"colour": "{}"}}}}"#, "x".repeat(LONGEST));
        assert_eq!(other_settings(&long, &wide), ["colour"]);
    }
}
