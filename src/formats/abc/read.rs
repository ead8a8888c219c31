//! A song from ABC.

use super::body::TuneBody;
use super::book::book;
use super::fields::{meter, tempo, unit, usual_unit};
use super::key::signature;
use super::order::order;
use crate::chart::sizes::{MOST_BARS, MOST_EVENTS, MOST_TUNE_BYTES};
use crate::formats::encoding;
use crate::formats::report::{LYRICS, MODES, OTHER, WORDS};
use crate::formats::song::Song;
use crate::formats::unreadable::UnreadableFile;

/// Fields whose text a chart keeps, and the names it keeps them by.
const KEPT: [(char, &str); 9] = [
    ('C', "composer"),
    ('R', "style"),
    ('O', "origin"),
    ('S', "source"),
    ('Z', "transcription"),
    ('B', "book"),
    ('A', "area"),
    ('H', "history"),
    ('N', "notes"),
];

/// The song in one tune of ABC, from its `X:` on.
///
/// # Errors
///
/// Text without a tune in it; a tune without chord symbols.
pub fn read(bytes: &[u8]) -> Result<Song, UnreadableFile> {
    let count = book(bytes)?.len();
    if count > 1 {
        let why = format!("this is a book of {count} tunes, and one is wanted");
        return Err(UnreadableFile::new(why)
            .help("`compline convert` with -o FOLDER makes a chart of each"));
    }
    if bytes.len() > MOST_TUNE_BYTES {
        return Err(UnreadableFile::new(format!(
            "this tune has more than {} MiB",
            MOST_TUNE_BYTES >> 20
        )));
    }
    let text = encoding::of_text(bytes)?;
    let mut reader = AbcReader::default();
    for line in text.lines() {
        reader.line(line);
        if reader.body.as_ref().is_some_and(TuneBody::is_full) {
            let why = format!(
                "this tune has more than {MOST_BARS} bars or {MOST_EVENTS} notes and chords"
            );
            return Err(UnreadableFile::new(why));
        }
    }
    let Some(body) = reader.body else {
        return Err(UnreadableFile::new(
            "this tune has no music: its header ends with a key, such as `K:G`",
        ));
    };
    let song = body.finish();
    if song.bars.iter().all(|bar| bar.chords.is_empty()) {
        return Err(UnreadableFile::no_chords("this tune"));
    }
    Ok(song)
}

/// Goes through a tune line by line: fields, then music once there is a key.
#[derive(Default)]
struct AbcReader {
    song: Song,
    meter: Option<crate::chart::Meter>,
    unit: Option<crate::score::Quarters>,
    tempo: Option<String>,
    body: Option<TuneBody>,
    /// Whether the next line goes on with a field that is not for us.
    history: bool,
}

impl AbcReader {
    fn line(&mut self, line: &str) {
        let line = uncommented(line);
        let field = field(line);
        if line.trim().is_empty() || (self.history && field.is_none() && self.body.is_none()) {
            return;
        }
        match (field, &mut self.body) {
            (Some((name, text)), None) => self.header(name, text),
            (Some((name, text)), Some(body)) => body.field(name, text),
            (None, Some(body)) => body.music(line),
            (None, None) => self.song.report.add(OTHER, "header"),
        }
    }

    fn header(&mut self, name: char, text: &str) {
        let text = text.trim();
        self.history = name == 'H';
        match name {
            'X' => {}
            'T' if self.song.title.is_none() => self.song.title = Some(text.to_owned()),
            'T' => self.song.report.add(WORDS, "header"),
            'M' => self.meter = meter(text),
            'L' => self.unit = unit(text),
            'Q' => self.tempo = Some(text.to_owned()),
            'P' => self.song.play = order(text),
            'K' => self.begin(text),
            'w' | 'W' => self.song.report.add(LYRICS, "header"),
            _ => {
                if let Some((_, kept)) = KEPT.into_iter().find(|(kept, _)| *kept == name) {
                    self.keep(kept, text)
                }
            }
        }
    }

    fn keep(&mut self, name: &str, text: &str) {
        let known = self
            .song
            .remarks
            .iter_mut()
            .find(|(known, _)| known == name);
        match known {
            Some((_, value)) => {
                value.push_str(" / ");
                value.push_str(text);
            }
            None => self.song.remarks.push((name.to_owned(), text.to_owned())),
        }
    }

    /// The key ends the header.
    fn begin(&mut self, text: &str) {
        let signature = signature(text);
        let mut song = std::mem::take(&mut self.song);
        song.key = signature.key;
        if !signature.plain {
            song.report.add(MODES, "header");
        }
        let unit = self.unit.unwrap_or_else(|| usual_unit(self.meter));
        song.tempo = self.tempo.as_deref().and_then(|text| tempo(text, unit));
        self.body = Some(TuneBody::new(song, signature, self.meter, unit));
    }
}

/// The line without its comment. A percent sign with a backslash before it is one.
fn uncommented(line: &str) -> &str {
    let comment = line
        .match_indices('%')
        .find(|(at, _)| !line.get(..*at).is_some_and(|l| l.ends_with('\\')));
    comment.map_or(line, |(at, _)| line.get(..at).unwrap_or_default())
}

/// A field: a letter and a colon at the beginning of a line. `|:` and the like are music.
fn field(line: &str) -> Option<(char, &str)> {
    let name = line
        .chars()
        .next()
        .filter(|c| c.is_ascii_alphabetic() || *c == '+')?;
    Some((name, line.get(1..)?.strip_prefix(':')?))
}
