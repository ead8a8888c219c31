//! A chart laid through several keys, one after the other: what a player practises.
//!
//! Every key is a copy of the music, written out as it is played, with its key as the name of its
//! sections and its signature in front. The result is a chart like any other, so it is planned as one
//! performance, and each key begins where the one before left the hand.

use std::fmt;
use std::ops::RangeInclusive;

use super::sizes::MOST_BARS;
use super::{Chart, Diagnostics, RespelledKeys, Section, Stroke};
use crate::pitch::{Interval, Key, Pitch, Semitones};

/// A key on the way, and how fast it is played.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stop {
    /// The key.
    pub key: Key,
    /// Beats a minute; as before where there is none.
    pub tempo: Option<u32>,
}

/// Why a chart can't be laid through keys.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotLaid {
    /// The chart doesn't say its key.
    NoKey,
    /// A key of the other mode.
    OtherMode {
        /// The chart's key.
        from: Key,
        /// The key of the other mode.
        to: Key,
    },
    /// Moved to this key, the melody or a chord leaves what can be written.
    OutOfNames(Key),
    /// More bars than a chart may have: so many.
    TooLong(usize),
    /// The play order can't be played.
    PlayOrder(Diagnostics),
}

impl Chart {
    /// The chart through these keys. Repeats, endings and jumps are written out, or only the written
    /// `bars` are taken, counted from 1. The melody is moved up or down, whichever leaves it closest to
    /// the treble staff.
    ///
    /// ```
    /// use compline::chart::{Stop, read};
    ///
    /// let chart = read("title: Two Five\nkey: C\n| Dm7 | G7 |").unwrap();
    /// let stop = |key: &str, tempo| Stop { key: key.parse().unwrap(), tempo: Some(tempo) };
    /// let drill = chart.through_keys(&[stop("C", 60), stop("F", 66)], None).unwrap();
    /// assert_eq!(drill.tidy(), "\
    /// title: Two Five
    /// key: C
    /// tempo: 60
    ///
    /// [C]
    ///      | Dm7 | G7 ||
    ///
    /// [F]
    /// key: F
    /// tempo: 66
    ///      | Gm7 | C7 |]
    /// ");
    /// ```
    ///
    /// # Errors
    ///
    /// [`NotLaid`].
    pub fn through_keys(
        &self,
        stops: &[Stop],
        bars: Option<RangeInclusive<usize>>,
    ) -> Result<Self, NotLaid> {
        let from = self.key().ok_or(NotLaid::NoKey)?;
        let page = match bars {
            Some(bars) => self.written_out(bars.map(|bar| bar.saturating_sub(1))),
            None => self.unfolded(&self.play_order().map_err(NotLaid::PlayOrder)?),
        };
        let long = page.bars().count().saturating_mul(stops.len());
        if long > MOST_BARS {
            return Err(NotLaid::TooLong(long));
        }
        let copies = stops.iter().map(|stop| page.in_key_of(*stop, from));
        let copies: Vec<Self> = copies.collect::<Result<_, _>>()?;
        Ok(joined(copies, stops))
    }

    /// A copy in the key and the tempo of a stop.
    fn in_key_of(&self, stop: Stop, from: Key) -> Result<Self, NotLaid> {
        let to = stop.key;
        if from.mode() != to.mode() {
            return Err(NotLaid::OtherMode { from, to });
        }
        let up = Interval::between(from.tonic(), to.tonic());
        let moved = self.transposed(self.nearest_to_staff(up));
        let mut moved = moved.ok_or(NotLaid::OutOfNames(to))?;
        if let Some(tempo) = stop.tempo {
            moved.header.set_tempo(tempo);
        }
        Ok(moved)
    }

    /// The interval, or the same an octave lower: what leaves the melody between middle C and C6 or,
    /// if both do or it has none, what is the shorter way.
    fn nearest_to_staff(&self, up: Interval) -> Interval {
        let tune = self
            .bars()
            .filter_map(|bar| bar.melody.as_deref())
            .flatten();
        let pitches: Vec<Pitch> = tune.filter_map(|event| event.pitch()).collect();
        let beyond = |by: &Interval| -> i32 {
            let moved = |pitch: Option<&Pitch>| {
                pitch.map(|pitch| i32::from(pitch.midi()) + by.semitones().0)
            };
            let low = moved(pitches.iter().min()).map_or(0, |low| 60 - low);
            let high = moved(pitches.iter().max()).map_or(0, |high| high - 84);
            low.max(0) + high.max(0)
        };
        let semitones = up.semitones().0;
        let down = Interval::new(up.steps() - 7, Semitones(semitones - 12));
        let ways = [up, down].into_iter();
        let nearest = ways.min_by_key(|by| (beyond(by), by.semitones().0.abs()));
        nearest.unwrap_or(up)
    }
}

/// The copies one after the other, each saying what has to change where it begins.
fn joined(copies: Vec<Chart>, stops: &[Stop]) -> Chart {
    let count = copies.len();
    let header = copies.first().map(|copy| copy.header.clone());
    let mut sections = Vec::new();
    let mut held = None;
    for (at, (mut copy, stop)) in copies.into_iter().zip(stops).enumerate() {
        let first = copy.at_first();
        let last = copy.held().last().copied();
        let before = held.replace(last.unwrap_or(first)).unwrap_or(first);
        let mut lines = copy.sections.iter_mut().flat_map(|one| &mut one.lines);
        if let Some(line) = lines.next() {
            line.changes = line.changes.after(first).since(before);
        }
        name(&mut copy.sections, stop.key);
        close(&mut copy.sections, at + 1 == count);
        sections.append(&mut copy.sections);
    }
    Chart {
        header: header.unwrap_or_default(),
        sections,
        below: Vec::new(),
        respelled_keys: RespelledKeys::default(),
    }
}

/// Calls the sections by their key: `Eb`, or `Eb A` where there are several.
fn name(sections: &mut [Section], key: Key) {
    let several = sections.len() > 1;
    for section in sections {
        let own = section.name.take().filter(|_| several);
        section.name = Some(match own {
            Some(own) => format!("{key} {own}"),
            None => key.to_string(),
        });
    }
}

/// Ends a key with a double bar line, and only the last with the final one.
fn close(sections: &mut [Section], last: bool) {
    let lines = sections.iter_mut().flat_map(|section| &mut section.lines);
    let mut bars = lines.flat_map(|line| &mut line.bars);
    let end = bars.next_back();
    for bar in bars.filter(|bar| bar.closes.stroke == Stroke::Final) {
        bar.closes.stroke = Stroke::Double;
    }
    if let Some(end) = end {
        end.closes.stroke = if last { Stroke::Final } else { Stroke::Double };
    }
}

impl fmt::Display for NotLaid {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoKey => f.write_str(
                "the chart doesn't say which key it is in, so it can't be moved: add a line such as `key: Eb`",
            ),
            Self::OtherMode { from, to } => {
                write!(f, "the chart is in {from} and {to} is of the other mode")
            }
            Self::OutOfNames(key) => write!(
                f,
                "moved to {key}, the tune or a chord leaves what can be written"
            ),
            Self::TooLong(bars) => write!(f, "{bars} bars are more than the {MOST_BARS} a chart may have"),
            Self::PlayOrder(_) => f.write_str("its play order can't be played"),
        }
    }
}

impl std::error::Error for NotLaid {}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::read;

    fn laid(text: &str, keys: &str, bars: Option<RangeInclusive<usize>>) -> Chart {
        let stops = keys.split(' ').map(|key| Stop {
            key: key.parse().unwrap(),
            tempo: None,
        });
        let stops: Vec<Stop> = stops.collect();
        read(text).unwrap().through_keys(&stops, bars).unwrap()
    }

    #[test]
    fn repeats_and_signs_are_written_out_in_every_key() {
        let text = "key: C\n[A]\n|: C |1 F :|2 G |]\n";
        let expected = "key: C\n\n[C A]\n     | C | F |\n\n[C A]\n     | C | G ||\n\n\
                        [D A]\nkey: D\n     | D | G |\n\n[D A]\n     | D | A |]\n";
        assert_eq!(laid(text, "C D", None).tidy(), expected);
    }

    #[test]
    fn some_bars_are_taken_with_what_holds_there() {
        let text = "key: C\nmeter: 4/4\n| C | F |\nmeter: 3/4\n| % | G :|";
        let text = text.replace("| % |", "| F |");
        let drill = laid(&text, "C F", Some(3..=3));
        let expected =
            "key: C\nmeter: 4/4\n\n[C]\nmeter: 3/4\n     | F ||\n\n[F]\nkey: F\n     | Bb |]\n";
        assert_eq!(drill.tidy(), expected);
    }

    #[test]
    fn what_is_printed_is_read_back_alike() {
        let text =
            "key: Eb\ntempo: 100\n|: Fm7 | 3/4 Bb7 :|\nmel | C5:4 | D5:3 |\nlh | ? | Ab3.D4 |";
        let drill = laid(text, "Eb Gb B", None);
        let again = read(&drill.tidy()).unwrap();
        assert_eq!(again.tidy(), drill.tidy());
        assert_eq!(again.slots().len(), 12);
    }

    #[test]
    fn every_key_begins_in_its_own_tempo() {
        let text = "key: C\ntempo: 60\n| C |\ntempo: 80\n| F |\ntempo: 60\n| C |";
        let stop = |key: &str, tempo| Stop {
            key: key.parse().unwrap(),
            tempo,
        };
        let tempi = |stops: &[Stop]| -> Vec<Option<u32>> {
            let drill = read(text).unwrap().through_keys(stops, None).unwrap();
            drill.held().iter().map(|held| held.tempo).collect()
        };
        let as_written = tempi(&[stop("C", None), stop("D", None)]);
        assert_eq!(as_written, [60, 80, 60, 60, 80, 60].map(Some));
        let faster = tempi(&[stop("C", Some(100)), stop("D", Some(100))]);
        assert_eq!(faster, [100, 80, 60, 100, 80, 60].map(Some));
    }

    #[test]
    fn the_melody_stays_near_the_staff() {
        let lowest = |tune: &str, key: &str| {
            let text = format!("key: C\n| C |\nmel | {tune} |");
            let drill = laid(&text, key, None);
            drill.slots()[0].melody[0].midi()
        };
        // A fourth down would be below middle C.
        assert_eq!(lowest("E4:4", "G"), 71);
        assert_eq!(lowest("G4:4", "G"), 62);
        assert_eq!(lowest("C6:4", "F"), 77);
    }

    #[test]
    fn what_cannot_be_laid_is_told() {
        let minor = Stop {
            key: "Cm".parse().unwrap(),
            tempo: None,
        };
        let no_key = read("| C |").unwrap().through_keys(&[minor], None);
        assert_eq!(no_key, Err(NotLaid::NoKey));
        let other = read("key: C\n| C |").unwrap().through_keys(&[minor], None);
        assert!(matches!(other, Err(NotLaid::OtherMode { .. })));
        let stops = vec![minor; MOST_BARS + 1];
        let long = read("key: Am\n| Am |").unwrap().through_keys(&stops, None);
        assert_eq!(long, Err(NotLaid::TooLong(MOST_BARS + 1)));
    }
}
