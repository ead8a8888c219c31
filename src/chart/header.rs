//! The `name: value` lines above the music, and what the program makes of them.

use std::fmt;
use std::ops::RangeInclusive;

use super::{Meter, Remarks, Span};
use crate::pitch::{Key, Note, Pitch, Spelling};

/// The header lines, in the order they were written.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Header {
    /// The lines.
    pub entries: Vec<Entry>,
}

/// One header line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// What it says.
    pub field: Field,
    /// The comments above it and beside it.
    pub remarks: Remarks,
    /// The value in the source.
    pub span: Span,
}

/// What a header line says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Field {
    /// `title`
    Title(String),
    /// `key`
    Key(Key),
    /// `meter`
    Meter(Meter),
    /// `tempo`: beats a minute, 1 to 999
    Tempo(u32),
    /// `play`: the sections in the order they are played
    Play(Vec<Played>),
    /// `middle-c`: what the chart calls middle C
    MiddleC(MiddleC),
    /// `spelling`: how the notes of the hand are named
    Spelling(Spelling),
    /// Any other line, kept as it is
    Other {
        /// The name before the colon
        name: String,
        /// The text after it
        value: String,
    },
}

/// One section name in the `play` line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Played {
    /// The section's name.
    pub name: String,
    /// The name in the source.
    pub span: Span,
}

/// How a chart counts octaves: the name it gives to middle C (MIDI 60).
///
/// The model always holds notes with middle C = C4; this only says how they are read and printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum MiddleC {
    /// Middle C is C3.
    C3,
    /// Middle C is C4, the default.
    #[default]
    C4,
    /// Middle C is C5.
    C5,
}

impl MiddleC {
    /// Every way of counting.
    pub const ALL: [Self; 3] = [Self::C3, Self::C4, Self::C5];

    /// The octave number written for middle C.
    pub const fn octave(self) -> i32 {
        match self {
            Self::C3 => 3,
            Self::C4 => 4,
            Self::C5 => 5,
        }
    }

    /// A note as a chart that counts octaves in this way writes it.
    ///
    /// ```
    /// # use compline::chart::MiddleC;
    /// let middle = "C4".parse().unwrap();
    /// assert_eq!(MiddleC::C3.written(middle), "C3");
    /// ```
    pub fn written(self, note: Note) -> String {
        self.renamed(note).to_string()
    }

    /// A key as such a chart writes it: by this note where there is one, else by its usual name.
    ///
    /// ```
    /// # use compline::chart::MiddleC;
    /// # use compline::pitch::{Note, Pitch};
    /// let key = Pitch::new(61).unwrap();
    /// assert_eq!(MiddleC::C3.named(key, None), "C#3");
    /// assert_eq!(MiddleC::C3.named(key, Note::spelled(key, "Db".parse().unwrap())), "Db3");
    /// ```
    pub fn named(self, key: Pitch, note: Option<Note>) -> String {
        self.written(note.unwrap_or_else(|| Note::usual(key)))
    }

    /// A note under the name such a chart has for it: only to be printed.
    pub const fn renamed(self, note: Note) -> Note {
        Note::new(note.name(), note.octave() + self.octaves())
    }

    /// By how much the octave numbers of such a chart differ from those of one where middle C is C4.
    pub const fn octaves(self) -> i32 {
        self.octave() - Self::C4.octave()
    }
}

impl fmt::Display for MiddleC {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "C{}", self.octave())
    }
}

impl Field {
    /// The names the program knows.
    pub const KNOWN: [&'static str; 7] = [
        "title", "key", "meter", "tempo", "play", "middle-c", "spelling",
    ];

    /// The name before the colon.
    pub fn name(&self) -> &str {
        match self {
            Self::Title(_) => "title",
            Self::Key(_) => "key",
            Self::Meter(_) => "meter",
            Self::Tempo(_) => "tempo",
            Self::Play(_) => "play",
            Self::MiddleC(_) => "middle-c",
            Self::Spelling(_) => "spelling",
            Self::Other { name, .. } => name,
        }
    }

    /// The text after the colon.
    pub fn value(&self) -> String {
        match self {
            Self::Title(text) => text.clone(),
            Self::Key(key) => key.to_string(),
            Self::Meter(meter) => meter.to_string(),
            Self::Tempo(tempo) => tempo.to_string(),
            Self::Play(names) => names
                .iter()
                .map(|n| n.name.as_str())
                .collect::<Vec<_>>()
                .join(", "),
            Self::MiddleC(middle_c) => middle_c.to_string(),
            Self::Spelling(spelling) => spelling.to_string(),
            Self::Other { value, .. } => value.clone(),
        }
    }
}

impl Header {
    /// The tempi a chart can have, in beats a minute.
    pub const TEMPI: RangeInclusive<u32> = 1..=999;

    /// The `title` line.
    pub fn title(&self) -> Option<&str> {
        self.find(|field| match field {
            Field::Title(title) => Some(title.as_str()),
            _ => None,
        })
    }

    /// The `spelling` line.
    pub fn spelling(&self) -> Option<Spelling> {
        self.find(|field| match field {
            Field::Spelling(spelling) => Some(*spelling),
            _ => None,
        })
    }

    /// The `key` line.
    pub fn key(&self) -> Option<Key> {
        self.find(|field| match field {
            Field::Key(key) => Some(*key),
            _ => None,
        })
    }

    /// The `meter` line.
    pub fn meter(&self) -> Option<Meter> {
        self.find(|field| match field {
            Field::Meter(meter) => Some(*meter),
            _ => None,
        })
    }

    /// The `tempo` line, in beats a minute.
    pub fn tempo(&self) -> Option<u32> {
        self.find(|field| match field {
            Field::Tempo(tempo) => Some(*tempo),
            _ => None,
        })
    }

    /// Says another tempo, in place of the `tempo` line or in a new one.
    pub fn set_tempo(&mut self, beats: u32) {
        let field = Field::Tempo(beats);
        let mut entries = self.entries.iter_mut();
        match entries.find(|entry| matches!(entry.field, Field::Tempo(_))) {
            Some(entry) => entry.field = field,
            None => self.entries.push(Entry {
                field,
                remarks: Remarks::default(),
                span: Span::default(),
            }),
        }
    }

    /// The `play` line.
    pub fn play(&self) -> Option<&[Played]> {
        self.find(|field| match field {
            Field::Play(names) => Some(names.as_slice()),
            _ => None,
        })
    }

    /// The `middle-c` line, or C4.
    pub fn middle_c(&self) -> MiddleC {
        self.find(|field| match field {
            Field::MiddleC(middle_c) => Some(*middle_c),
            _ => None,
        })
        .unwrap_or_default()
    }

    fn find<'a, T>(&'a self, pick: impl Fn(&'a Field) -> Option<T>) -> Option<T> {
        self.entries.iter().find_map(|entry| pick(&entry.field))
    }
}
