//! Readers of tunes: which format a file has, and what a chart has to know of what is in it.

use super::abc::{self, is_abc};
use super::midi;
use super::musicxml;
use super::report::LossReport;
use super::song::{Song, into_chart};
use super::unreadable::UnreadableFile;
use super::zip::is_zip;
use crate::chart::{Bar, Chart};

/// A format that tunes are read from.
#[derive(Debug, Clone, Copy)]
pub struct Reader {
    /// The name it is asked for by.
    pub name: &'static str,
    /// The endings of its files.
    pub endings: &'static [&'static str],
    /// Whether a folder's files with such an ending are taken. Those that lie beside charts as often as not
    /// have to be named.
    pub in_folders: bool,
    /// Whether bytes look like it.
    tells: fn(&[u8]) -> bool,
    read: fn(&[u8], Option<&str>) -> Result<Song, UnreadableFile>,
}

/// Every format that tunes are read from, charts aside.
pub const READERS: &[Reader] = &[
    Reader {
        name: "musicxml",
        endings: &["musicxml", "mxl", "xml"],
        in_folders: true,
        tells: is_xml,
        read: musicxml::read,
    },
    Reader {
        name: "midi",
        endings: &["mid", "midi"],
        in_folders: false,
        tells: |bytes| bytes.starts_with(b"MThd"),
        read: midi::read,
    },
    Reader {
        name: "abc",
        endings: &["abc"],
        in_folders: true,
        tells: is_abc,
        read: |bytes, _| abc::read(bytes),
    },
];

/// A tune that was read from another format.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReadTune {
    /// Its chart.
    pub chart: Chart,
    /// The chart as text, in the standard layout.
    pub text: String,
    /// What could not be carried over.
    pub report: LossReport,
    /// What the file calls each written bar, such as `measure 3`.
    pub places: Vec<String>,
}

/// The format of a file that is no chart, told by its content, then by the ending of its name.
///
/// ```
/// use compline::formats::readers::told;
///
/// assert_eq!(told(b"MThd\0\0\0\x06", None).unwrap().name, "midi");
/// assert_eq!(told(b"T:No number\nK:C\nC|", Some("abc")).unwrap().name, "abc");
/// assert!(told(b"key: Eb\n| Fm7 |", Some("chart")).is_none());
/// ```
pub fn told(bytes: &[u8], ending: Option<&str>) -> Option<&'static Reader> {
    let by_content = READERS.iter().find(|reader| (reader.tells)(bytes));
    by_content.or_else(|| by_ending(ending?))
}

/// The format whose files have this ending.
pub fn by_ending(ending: &str) -> Option<&'static Reader> {
    let has = |reader: &&Reader| {
        reader
            .endings
            .iter()
            .any(|known| known.eq_ignore_ascii_case(ending))
    };
    READERS.iter().find(has)
}

/// The reader with this name.
pub fn reader(name: &str) -> Option<&'static Reader> {
    READERS.iter().find(|reader| reader.name == name)
}

/// A chart never starts with `<` or with a zip archive's mark.
fn is_xml(bytes: &[u8]) -> bool {
    let marked = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let wide = [&b"\xff\xfe<"[..], b"\xfe\xff\0<", b"<\0", b"\0<"];
    is_zip(bytes)
        || marked.trim_ascii_start().starts_with(b"<")
        || wide.iter().any(|start| bytes.starts_with(start))
}

impl Reader {
    /// The tune in a file. `part` names the part with the melody, where there are several.
    ///
    /// # Errors
    ///
    /// What is wrong with the file; that it has no chords.
    pub fn tune(&self, bytes: &[u8], part: Option<&str>) -> Result<ReadTune, UnreadableFile> {
        let song = (self.read)(bytes, part)?;
        if let Some(bar) = song
            .bars
            .iter()
            .find(|bar| bar.melody.len() > Bar::MOST_EVENTS)
        {
            let (most, place) = (Bar::MOST_EVENTS, &bar.place);
            let why =
                format!("no chart can hold this tune: more than {most} notes in one bar ({place})");
            return Err(UnreadableFile::new(why));
        }
        let places = song.bars.iter().map(|bar| bar.place.clone()).collect();
        let (chart, text, report) = into_chart(song).map_err(|problems| {
            let first = problems.first().map(ToString::to_string);
            let first = first.unwrap_or_default();
            UnreadableFile::new(format!("no chart can hold this tune: {first}"))
        })?;
        Ok(ReadTune {
            chart,
            text,
            report,
            places,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_endings_are_told_apart() {
        let endings: Vec<&str> = READERS
            .iter()
            .flat_map(|reader| reader.endings)
            .copied()
            .collect();
        for (at, one) in endings.iter().enumerate() {
            assert!(!endings[at + 1..].contains(one));
        }
    }

    #[test]
    fn formats_are_told_by_what_is_in_them() {
        for (bytes, name) in [
            (&b"<?xml version=\"1.0\"?><a/>"[..], Some("musicxml")),
            (b"\xff\xfe<\0a\0", Some("musicxml")),
            (b"PK\x03\x04", Some("musicxml")),
            (b"MThd", Some("midi")),
            (b"X:1\nK:G\nG|\n", Some("abc")),
            (b"| C |", None),
            (b"", None),
        ] {
            assert_eq!(
                told(bytes, None).map(|reader| reader.name),
                name,
                "{bytes:?}"
            );
        }
    }
}
