//! Reads the JSON of a voiced chart back: the other end of [`crate::formats::json()`].
//!
//! The page comes back as bars of chords with the left hand and the melody under them. What the JSON
//! does not say, comments, repeats and jumps, does not come back: instead of them [`ChartFromJson::played`]
//! says in which order the slots are played.

use super::not_voiced::{NotVoiced, refuse, wrong};
use super::read_page::sections;
use super::types::{FORMAT, VERSION, VoicedChart};
use crate::chart::{Chart, Entry, Field, Header, Remarks, RespelledKeys, Span};

/// A chart from JSON.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChartFromJson {
    /// The page, every voicing given and every silence written.
    pub chart: Chart,
    /// The slots in played order, by their place among [`Chart::slots`].
    pub played: Vec<usize>,
    /// What the chart waives, as [`crate::check::waivers`] says it.
    pub waivers: Vec<String>,
}

/// The voiced chart in one object of JSON.
///
/// ```
/// use compline::arrange::{Settings, arrange};
/// use compline::{chart, formats};
///
/// let chart = chart::read("title: Back Again\n|: Dm7 | G7 :|\nmel | F4:4 | r:4 |").unwrap();
/// let arrangement = arrange(chart, &Settings::default(), &mut Default::default()).unwrap();
/// let json = formats::json(&arrangement, &formats::Style::default());
/// let voiced = formats::read_voiced(&json).unwrap();
/// assert_eq!(voiced.played, [0, 1, 0, 1]);
/// assert_eq!(voiced.chart.slots()[0].melody[0].midi(), 65);
/// ```
///
/// # Errors
///
/// The first thing in which the text is no voiced chart of version 2.
pub fn read_voiced(text: &str) -> Result<ChartFromJson, NotVoiced> {
    let json: VoicedChart<'_> = serde_json::from_str(text).map_err(|why| not_json(&why))?;
    if json.format != FORMAT || json.version != VERSION {
        let (format, version) = (&json.format, json.version);
        return refuse(format!(
            "this is `{format}`, version {version}, and not `{FORMAT}`, version {VERSION}"
        ));
    }
    if json.slots.is_empty() {
        return refuse("a chart has at least one slot".to_owned());
    }
    if let Some(at) = json.played.iter().find(|at| **at >= json.slots.len()) {
        return refuse(format!("slot {at} is played, and there is none"));
    }
    let mut chart = Chart {
        header: header(&json)?,
        sections: sections(&json.slots)?,
        below: Vec::new(),
        respelled_keys: RespelledKeys::default(),
    };
    chart.untie_loose();
    Ok(ChartFromJson {
        chart,
        played: json.played,
        waivers: json.waivers,
    })
}

fn not_json(why: &serde_json::Error) -> NotVoiced {
    let said = why.to_string();
    let said = said.split(" at line ").next().unwrap_or_default();
    NotVoiced::new(format!("column {}: {said}", why.column()))
}

fn header(json: &VoicedChart<'_>) -> Result<Header, NotVoiced> {
    let mut fields = Vec::new();
    fields.extend(json.title.clone().map(Field::Title));
    if let Some(key) = &json.key {
        let read = key.parse().map_err(|_| wrong(key, "a key"))?;
        fields.push(Field::Key(read));
    }
    if let Some(spelling) = &json.spelling {
        let read = spelling.parse();
        let read = read.map_err(|_| wrong(spelling, "practical or strict"))?;
        fields.push(Field::Spelling(read));
    }
    if let Some(meter) = &json.meter {
        let read = meter.parse().map_err(|_| wrong(meter, "a meter"))?;
        fields.push(Field::Meter(read));
    }
    fields.extend(json.tempo.map(Field::Tempo));
    let entries = fields.into_iter().map(|field| Entry {
        field,
        remarks: Remarks::default(),
        span: Span::default(),
    });
    Ok(Header {
        entries: entries.collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arrange::{Cache, Settings, arrange};
    use crate::chart::Wish;
    use crate::formats::{Style, json};

    const CHART: &str = "title: Low Water\nkey: Eb\nspelling: strict\nmeter: 3/4\n| Dm7 G7 / | 4/4 Cm7 F7 |\n\
                         mel | r:3/2 G4:3/2- | G4:3 r:1 |\n[B]\n| N.C. | Ebmaj7 |\nlh | - | G3.Bb3.D4 |\n";

    fn written() -> String {
        let chart = crate::chart::read(CHART).unwrap();
        let planned = arrange(chart, &Settings::default(), &mut Cache::default()).unwrap();
        json(&planned, &Style::default())
    }

    #[test]
    fn the_home_key_is_told_as_given_or_found() {
        for (key, home) in [
            ("key: Eb\n", r#""home":{"key":"Eb","how":"given"}"#),
            ("", r#""home":{"key":"F","how":"found"}"#),
        ] {
            let chart = crate::chart::read(&format!("{key}| Gm7 | C7 | Fmaj7 |\n")).unwrap();
            let planned = arrange(chart, &Settings::default(), &mut Cache::default()).unwrap();
            let written = json(&planned, &Style::default());
            assert!(written.contains(home), "{written}");
        }
    }

    #[test]
    fn what_is_written_is_read_back_slot_for_slot() {
        let chart = crate::chart::read(CHART).unwrap();
        let voiced = read_voiced(&written()).unwrap();
        assert_eq!(voiced.played, [0, 1, 2, 3, 4, 5]);
        assert_eq!(voiced.chart.title(), Some("Low Water"));
        assert_eq!(voiced.chart.key(), chart.key());
        assert_eq!(voiced.chart.meter(), chart.meter());
        assert_eq!(
            voiced.chart.header.spelling(),
            Some(crate::pitch::Spelling::Strict)
        );
        for (read, written) in voiced.chart.slots().iter().zip(chart.slots()) {
            assert_eq!(read.section, written.section);
            assert_eq!(
                (read.bar, read.beat, read.beats),
                (written.bar, written.beat, written.beats)
            );
            assert_eq!(read.symbol, written.symbol);
            assert_eq!(read.melody_notes, written.melody_notes);
            assert!(matches!(read.wish, Wish::Given(_) | Wish::Silent));
        }
    }

    #[test]
    fn what_is_no_voiced_chart_is_told() {
        let good = written();
        for (from, to, said) in [
            ("compline-voiced", "compline-other", "`compline-other`"),
            ("\"version\":2", "\"version\":3", "version 3"),
            ("\"key\":\"Eb\"", "\"key\":\"H\"", "`H` is not a key"),
            (
                "\"symbol\":\"Cm7\"",
                "\"symbol\":\"Zm7\"",
                "bar 2: `Zm7` is not a chord symbol",
            ),
            ("\"bar\":2", "\"bar\":7", "this is 7"),
            (
                "\"beat\":\"3\"",
                "\"beat\":\"9\"",
                "does not follow at once",
            ),
            ("\"played\":[0", "\"played\":[77", "slot 77 is played"),
            (
                "\"midi\":55",
                "\"midi\":56",
                "is not the key with the number 56",
            ),
            ("\"slots\":[", "\"slots\":[{", "column"),
            ("\"slots\":", "\"slits\":", "missing field `slots`"),
        ] {
            assert!(good.contains(from), "{from}");
            let why = read_voiced(&good.replacen(from, to, 1))
                .unwrap_err()
                .to_string();
            assert!(why.contains(said), "{from}: {why}");
        }
        for text in ["", "{", "[]", "null", "{}", "\u{0}"] {
            assert!(read_voiced(text).is_err(), "{text}");
        }
    }
}
