//! A table in the user's own file.
//!
//! ```text
//! ; what our room takes
//! name: harbour room
//! m2  E3
//! m3  C3
//! P8  -
//! ```
//!
//! One interval a line, in any order, with the lowest note its lower note may take, or `-` for
//! none. An interval that is not listed has no limit. `;` starts a comment.

use std::borrow::Cow;
use std::fmt;

use super::{INTERVALS, LimitTable, LowIntervalLimit, Provenance};
use crate::hand::range::key;

/// A line of a limits file that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LimitMistake {
    /// The line, from 1.
    pub line: usize,
    /// What is wrong with it, and what was expected.
    pub message: String,
}

impl fmt::Display for LimitMistake {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.message)
    }
}

impl std::error::Error for LimitMistake {}

impl LimitTable {
    /// The table a text describes.
    ///
    /// # Errors
    ///
    /// Every line that is neither `name: …` nor an interval with a note, that names the table or an interval
    /// twice, and a text without any interval.
    ///
    /// ```
    /// # use compline::hand::LimitTable;
    /// let table = LimitTable::read("name: harbour room\nm3 C3 ; read\n").unwrap();
    /// assert_eq!((table.name(), table.floor(3).map(|p| p.midi())), ("harbour room", Some(48)));
    /// assert_eq!(LimitTable::read("m3 X3").unwrap_err()[0].line, 1);
    /// ```
    pub fn read(text: &str) -> Result<Self, Vec<LimitMistake>> {
        let mut reader = LimitsReader::new();
        for (line, content) in (1..).zip(text.lines()) {
            reader.line(line, content);
        }
        reader.finish()
    }
}

struct LimitsReader {
    table: LimitTable,
    seen: [bool; INTERVALS.len()],
    named: bool,
    mistakes: Vec<LimitMistake>,
}

impl LimitsReader {
    fn new() -> Self {
        let mut table = LimitTable::none();
        table.name = Cow::Borrowed("file");
        for limit in &mut table.limits {
            limit.provenance = Provenance::File;
        }
        Self {
            table,
            seen: [false; INTERVALS.len()],
            named: false,
            mistakes: Vec::new(),
        }
    }

    fn line(&mut self, line: usize, content: &str) {
        let content = content.split(';').next().unwrap_or_default();
        let content = content.trim_start_matches('\u{feff}').trim();
        if content.is_empty() {
            return;
        }
        let read = match content.strip_prefix("name:") {
            Some(name) => self.name(name.trim()),
            None => self.interval(content),
        };
        if let Err(message) = read {
            self.mistakes.push(LimitMistake { line, message });
        }
    }

    fn name(&mut self, name: &str) -> Result<(), String> {
        if name.is_empty() {
            return Err("the name is empty".to_owned());
        }
        if std::mem::replace(&mut self.named, true) {
            return Err("the table has a name already".to_owned());
        }
        self.table.name = Cow::Owned(name.to_owned());
        Ok(())
    }

    fn interval(&mut self, content: &str) -> Result<(), String> {
        let (name, floor) = row(content)?;
        let at = INTERVALS
            .iter()
            .position(|known| *known == name)
            .ok_or_else(|| format!("`{name}` is not one of {}", INTERVALS.join(" ")))?;
        let floor = match floor {
            "-" => None,
            note => Some(key(note).ok_or_else(|| format!("`{note}` is not a note such as C3"))?),
        };
        if let Some(seen) = self.seen.get_mut(at) {
            if *seen {
                return Err(format!("{name} has been given before"));
            }
            *seen = true;
        }
        if let Some(limit) = self.table.limits.get_mut(at) {
            *limit = LowIntervalLimit {
                floor,
                provenance: Provenance::File,
            };
        }
        Ok(())
    }

    fn finish(mut self) -> Result<LimitTable, Vec<LimitMistake>> {
        if self.mistakes.is_empty() && !self.seen.contains(&true) {
            self.mistakes.push(LimitMistake {
                line: 1,
                message: "there is no interval in this table, such as `m3 C3`".to_owned(),
            });
        }
        match self.mistakes.is_empty() {
            true => Ok(self.table),
            false => Err(self.mistakes),
        }
    }
}

/// The two words of a row.
fn row(content: &str) -> Result<(&str, &str), String> {
    let mut words = content.split_whitespace();
    match (words.next(), words.next(), words.next()) {
        (Some(name), Some(floor), None) => Ok((name, floor)),
        _ => Err(format!(
            "`{content}` is not an interval and a note, such as `m3 C3`"
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_mistake_is_reported_with_its_line() {
        let text = "name:\nm3 C3\n\nq3 C3\nm3 C2\nP4 H2\nP5\nM2 D3 E3\n";
        let mistakes = LimitTable::read(text).unwrap_err();
        let lines: Vec<_> = mistakes.iter().map(|m| m.line).collect();
        assert_eq!(lines, [1, 4, 5, 6, 7, 8]);
        assert!(
            mistakes[1]
                .to_string()
                .starts_with("line 4: `q3` is not one of m2 M2")
        );
    }

    #[test]
    fn an_empty_table_is_a_mistake_and_an_unlisted_interval_is_free() {
        assert_eq!(LimitTable::read("; nothing\n").unwrap_err().len(), 1);
        let table = LimitTable::read("m2 E3\nP5 -").unwrap();
        assert_eq!((table.floor(7), table.floor(3)), (None, None));
        assert_eq!(table.name(), "file");
    }
}
