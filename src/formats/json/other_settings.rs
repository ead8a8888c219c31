//! Which settings a voiced chart was made under that are not those in force.

use serde::Deserialize;

use crate::arrange::Settings;
use crate::hand::Reach;

#[derive(Deserialize)]
struct SettingsLine {
    settings: OwnSettings,
}

/// What a chart says of its settings; what it doesn't say is not compared.
#[derive(Deserialize)]
struct OwnSettings {
    low: Option<u8>,
    high: Option<u8>,
    reach: Option<u8>,
    hand_mm: Option<u16>,
    limits: Option<String>,
    palette: Option<Vec<String>>,
    colour: Option<String>,
    ignore_melody: Option<bool>,
    #[serde(rename = "loop")]
    looped: Option<bool>,
}

/// The options that a voiced chart in JSON was made with otherwise than `settings` say.
///
/// ```
/// use compline::arrange::Settings;
/// use compline::formats::other_settings;
///
/// let line = r#"{"settings": {"low": 40, "high": 69, "colour": "natural", "loop": true}}"#;
/// assert_eq!(other_settings(line, &Settings::default()), ["low", "loop"]);
/// ```
pub fn other_settings(line: &str, settings: &Settings) -> Vec<&'static str> {
    let Ok(SettingsLine { settings: told }) = serde_json::from_str(line) else {
        return Vec::new();
    };
    let hand = &settings.voicing.hand;
    let palette = || {
        settings
            .voicing
            .palette
            .names()
            .map(str::to_owned)
            .collect()
    };
    let (reach, span) = match hand.reach {
        Reach::Semitones(reach) => (Some(reach), None),
        Reach::Span(span) => (None, Some(span.0)),
    };
    let all = [
        ("low", is_other(told.low, || hand.range.low().midi())),
        ("high", is_other(told.high, || hand.range.high().midi())),
        ("reach", told.reach.is_some() && told.reach != reach),
        ("hand", told.hand_mm.is_some() && told.hand_mm != span),
        (
            "limits",
            is_other(told.limits, || hand.limits.name().to_owned()),
        ),
        ("palette", is_other(told.palette, palette)),
        (
            "colour",
            is_other(told.colour, || settings.voicing.colour.to_string()),
        ),
        (
            "ignore-melody",
            is_other(told.ignore_melody, || settings.ignore_melody),
        ),
        ("loop", is_other(told.looped, || settings.looped)),
    ];
    let other = all.into_iter().filter(|(_, other)| *other);
    other.map(|(name, _)| name).collect()
}

fn is_other<T: PartialEq>(told: Option<T>, here: impl FnOnce() -> T) -> bool {
    told.is_some_and(|told| told != here())
}
