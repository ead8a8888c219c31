//! What a reader of another format could not carry over into a chart, counted by kind.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

/// Something a chart has no place for.
#[derive(Debug, PartialEq, Eq)]
pub struct Loss {
    /// Its name in JSON.
    pub name: &'static str,
    /// Several of them, in words.
    pub many: &'static str,
    /// One of them.
    pub one: &'static str,
    /// What became of them.
    pub fate: Fate,
}

/// What became of something a chart has no place for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fate {
    /// It is not in the chart.
    LeftOut,
    /// It is in the chart, less fine.
    Rounded,
    /// It is in the chart, put right.
    Mended,
    /// Something else, in words.
    Other(&'static str),
}

impl fmt::Display for Fate {
    /// As it stands behind what was lost.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::LeftOut => f.write_str(" left out"),
            Self::Rounded => f.write_str(" rounded"),
            Self::Mended => f.write_str(" mended"),
            Self::Other(words) => write!(f, ": {words}"),
        }
    }
}

macro_rules! losses {
    ($($(#[$doc:meta])* $id:ident = $name:literal, $one:literal, $many:literal, $fate:expr;)*) => {
        $($(#[$doc])* pub const $id: &Loss = &Loss { name: $name, one: $one, many: $many, fate: $fate };)*
        /// Every kind of loss.
        pub const LOSSES: &[&Loss] = &[$($id),*];
    };
}

losses! {
    /// Notes without a length of their own.
    GRACE_NOTES = "grace-notes", "grace note", "grace notes", Fate::LeftOut;
    /// Notes under the top one of a chord in the melody.
    CHORD_NOTES = "lower-notes", "lower note of a chord in the melody", "lower notes of chords in the melody", Fate::LeftOut;
    /// Notes of further voices.
    OTHER_VOICES = "other-voices", "note of a second voice", "notes of other voices", Fate::LeftOut;
    /// Parts that are neither melody nor hand.
    OTHER_PARTS = "other-parts", "further part", "further parts", Fate::LeftOut;
    /// Notes without a pitch.
    UNPITCHED = "unpitched-notes", "note without a pitch", "notes without a pitch", Fate::Other("read as rests");
    /// Words that are sung.
    LYRICS = "lyrics", "syllable of the words", "syllables of the words", Fate::LeftOut;
    /// Articulations, ornaments, slurs and the like.
    MARKS = "marks", "mark on a note", "marks on notes", Fate::LeftOut;
    /// Dynamics, pedals and the like.
    DYNAMICS = "dynamics", "dynamic or pedal mark", "dynamics and pedal marks", Fate::LeftOut;
    /// Words above the staff that say nothing to a player's path.
    WORDS = "words", "line of text on the page", "lines of text on the page", Fate::LeftOut;
    /// Notes tied to nothing.
    TIES = "ties", "tie that leads nowhere", "ties that lead nowhere", Fate::LeftOut;
    /// Changes of key within a bar.
    KEY_CHANGES = "key-changes", "change of key within a bar", "changes of key within bars", Fate::Other("taken from the next bar on");
    /// Key signatures that are no key's, or not the upper staff's.
    ODD_KEYS = "odd-keys", "key signature that a chart has no key for", "key signatures that a chart has no key for", Fate::LeftOut;
    /// Modes a chart's key has no word for.
    MODES = "modes", "mode", "modes", Fate::Other("read as the major or minor key it is nearest to");
    /// Changes of tempo within a bar.
    TEMPO_CHANGES = "tempo-changes", "change of tempo within a bar", "changes of tempo within bars", Fate::Other("taken from the next bar on");
    /// Changes of tempo that come all the time.
    WAVERING = "wavering-tempo", "change of a tempo that wavers", "changes of a tempo that wavers", Fate::LeftOut;
    /// Tempi slower or faster than a chart's.
    ODD_TEMPI = "odd-tempi", "tempo that no chart has", "tempi that no chart has", Fate::LeftOut;
    /// Chord symbols moved to a beat.
    MOVED_CHORDS = "moved-chords", "chord symbol off the beat", "chord symbols off the beat", Fate::Other("moved to the nearest beat");
    /// Chord symbols that were not understood.
    UNREAD_CHORDS = "unread-chords", "chord symbol that can't be read", "chord symbols that can't be read", Fate::LeftOut;
    /// Chord symbols of which only a part can be written.
    SIMPLER_CHORDS = "simpler-chords", "chord symbol with degrees that have no spelling", "chord symbols with degrees that have no spelling", Fate::Other("written without them");
    /// Chord symbols whose printed text says something else.
    OTHER_TEXT = "other-text", "chord symbol printed otherwise than it is meant", "chord symbols printed otherwise than they are meant", Fate::Other("its meaning was taken");
    /// Two chord symbols at one place.
    CROWDED_CHORDS = "crowded-chords", "chord symbol at the place of another", "chord symbols at the places of others", Fate::LeftOut;
    /// Several chords of the left hand under one symbol.
    HAND_MOVES = "hand-moves", "chord in which the left hand moves", "chords in which the left hand moves", Fate::Other("only its first notes are kept");
    /// More notes at once than a hand is written with.
    HAND_NOTES = "hand-notes", "note of the left hand beyond ten at once", "notes of the left hand beyond ten at once", Fate::LeftOut;
    /// Chords of a played hand that are struck again.
    STRUCK_AGAIN = "struck-again", "chord struck again while it lasts", "chords struck again while they last", Fate::Other("taken as one");
    /// Chords of a played hand that come before their place.
    STRUCK_AHEAD = "struck-ahead", "chord struck ahead of its place", "chords struck ahead of their places", Fate::Other("taken for the next chord");
    /// Chords of a played hand that come after their place.
    STRUCK_LATE = "struck-late", "chord struck only after its place", "chords struck only after their places", Fate::Other("taken as if struck there");
    /// Notes of a played hand under no chord.
    NO_CHORD_NOTES = "notes-without-chord", "note where the chart has no chord", "notes where the chart has no chord", Fate::LeftOut;
    /// Notes of a played hand beyond the end of the chart.
    BEHIND_END = "notes-behind-end", "note behind the end of the chart", "notes behind the end of the chart", Fate::LeftOut;
    /// Chords of the chart that a played hand leaves out.
    NOT_PLAYED = "chords-not-played", "chord that the hand does not play", "chords that the hand does not play", Fate::Other("taken as silent");
    /// Times too fine for a chart.
    ROUGHER_TIMES = "rounded-times", "time too fine to be written", "times too fine to be written", Fate::Rounded;
    /// Bars that are longer or shorter than the meter of the tune, where nothing explains it.
    BAR_LENGTHS = "bar-lengths", "bar longer or shorter than its meter", "bars longer or shorter than their meter", Fate::Other("written in a meter of that length");
    /// Bars whose length no meter has.
    ODD_BARS = "odd-bars", "bar of a length that no meter has", "bars of lengths that no meter has", Fate::Other("filled with a rest");
    /// Notes written in another key than they sound in.
    TRANSPOSITION = "transposition", "part for a transposing instrument", "parts for transposing instruments", Fate::Other("read as written");
    /// Instructions that don't fit together.
    JUMPS = "jumps", "jump that leads nowhere", "jumps that lead nowhere", Fate::LeftOut;
    /// Repeats and endings that a chart can't follow.
    REPEATS = "repeats", "repeat or ending that does not fit together", "repeats or endings that do not fit together", Fate::Mended;
    /// An order of parts that the tune does not have.
    ORDER = "order", "order of parts that are not in the tune", "orders of parts that are not in the tune", Fate::LeftOut;
    /// Anything else that the format has and a chart has not.
    OTHER = "other", "other thing a chart has no place for", "other things a chart has no place for", Fate::LeftOut;
}

/// What could not be carried over from one tune.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct LossReport {
    items: Vec<(&'static Loss, usize, String)>,
}

/// One kind of loss in a report.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct LossItem {
    /// How many there were.
    pub count: usize,
    /// Where the first was, as the file counts, such as `measure 3`.
    pub first: String,
    /// Its kind.
    pub kind: &'static str,
    /// All that in words.
    pub text: String,
}

impl LossReport {
    /// Counts one more; `place` says where it is.
    pub fn add(&mut self, loss: &'static Loss, place: &str) {
        self.add_many(loss, 1, place);
    }

    /// Counts so many more, the first of them at `place`.
    pub fn add_many(&mut self, loss: &'static Loss, count: usize, place: &str) {
        if count == 0 {
            return;
        }
        match self.items.iter_mut().find(|(known, _, _)| *known == loss) {
            Some((_, so_far, _)) => *so_far += count,
            None => self.items.push((loss, count, place.to_owned())),
        }
    }

    /// Adds everything of another report.
    pub fn merge(&mut self, other: &Self) {
        for (loss, count, first) in &other.items {
            self.add_many(loss, *count, first);
        }
    }

    /// Whether everything was carried over.
    pub fn is_empty(&self) -> bool {
        self.items.is_empty()
    }

    /// One item a kind, in the order they were met.
    ///
    /// ```
    /// use compline::formats::report::{GRACE_NOTES, LossReport};
    ///
    /// let mut report = LossReport::default();
    /// report.add(GRACE_NOTES, "measure 3");
    /// report.add(GRACE_NOTES, "measure 8");
    /// let items = report.items();
    /// assert_eq!(items[0].text, "2 grace notes left out (first: measure 3)");
    /// ```
    pub fn items(&self) -> Vec<LossItem> {
        let items = self.items.iter().map(|(loss, count, first)| LossItem {
            kind: loss.name,
            count: *count,
            first: first.clone(),
            text: words(loss, *count, first),
        });
        items.collect()
    }
}

/// What one tune lost, under its stable names.
#[derive(Debug, Serialize, JsonSchema)]
pub struct TuneLosses<'a> {
    /// The file it was read from.
    file: &'a str,
    /// Every kind of loss, in the order they were met.
    lost: Vec<LossItem>,
    /// The tune's title.
    title: Option<&'a str>,
}

/// A report on one tune as a line of JSON: its file, its title, and each kind of loss.
pub fn json(file: &str, title: Option<&str>, report: &LossReport) -> String {
    let lost = report.items();
    super::json::line(&TuneLosses { file, lost, title })
}

/// The JSON Schema of the line, as indented text.
pub fn schema() -> String {
    super::json::schema_text::<TuneLosses<'_>>()
}

fn words(loss: &Loss, count: usize, first: &str) -> String {
    let place = match (first.is_empty(), count) {
        (true, _) => String::new(),
        (false, 1) => format!(" ({first})"),
        (false, _) => format!(" (first: {first})"),
    };
    let what = if count == 1 { loss.one } else { loss.many };
    format!("{count} {what}{}{place}", loss.fate)
}

impl fmt::Display for LossReport {
    /// A line for every kind.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for item in self.items() {
            writeln!(f, "{}", item.text)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_told_apart() {
        for (at, one) in LOSSES.iter().enumerate() {
            assert!(LOSSES[at + 1..].iter().all(|other| other.name != one.name));
        }
    }

    #[test]
    fn one_and_many_read_well() {
        let mut report = LossReport::default();
        report.add(KEY_CHANGES, "measure 2");
        report.add_many(LYRICS, 30, "measure 1");
        let text = "1 change of key within a bar: taken from the next bar on (measure 2)\n\
                    30 syllables of the words left out (first: measure 1)\n";
        assert_eq!(report.to_string(), text);
    }
}
