//! Set lists: which tunes are played, in which order, in which keys and how fast.
//!
//! ```text
//! ; The Quay Trio on Saturday
//! title: Saturday at the Bell
//! lamplight-on-the-quay.chart
//! fog-signal.chart      key: Dm  tempo: 120
//! ```
//!
//! A line a tune: a file, named from the list's own folder, then its key and its tempo if they are others than
//! the chart's. `;` starts a comment, `title:` names the evening. Every mistake is told at its place.

use std::fs;
use std::ops::Range;
use std::path::{Path, PathBuf};

use anyhow::Result;
use compline::chart::{Chart, Diagnostic, Header, nearest};
use compline::pitch::Key;

use super::file_errors::FileErrors;
use super::files_read::ReadAs;
use super::read_file::read_text;
use super::reading::is_chart_by_name;
use crate::cli::visible::path_in_one_line;

/// The ending of a set list's name.
pub const ENDING: &str = "set";

/// A longer set list is not read, in bytes.
const LONGEST: u64 = 64 << 10;

/// What a set list asks of a tune.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Asked {
    /// The key to play it in.
    pub key: Option<Key>,
    /// Beats a minute.
    pub tempo: Option<u32>,
}

/// One tune of a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListedTune {
    /// Its file, as it is named in the list.
    pub file: String,
    /// What is asked of it.
    pub asked: Asked,
}

/// A set list.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SetList {
    /// The name of the evening.
    pub title: Option<String>,
    /// The tunes, in the order they are played.
    pub tunes: Vec<ListedTune>,
}

/// Reads a set list, and looks whether its files are there.
///
/// # Errors
///
/// It can't be read; [`FileErrors`] with everything wrong in it.
pub fn read(path: &Path) -> Result<SetList> {
    let text = read_text(path, LONGEST, ReadAs::Beside)?;
    let folder = path.parent().unwrap_or(Path::new(""));
    let there = |file: &str| {
        let real = fs::canonicalize(folder.join(file)).ok();
        real.filter(|real| real.is_file())
    };
    parse(&text, there)
        .map_err(|problems| FileErrors::new(path_in_one_line(path), text, problems).into())
}

/// Whether this is a set list by its name.
pub fn is_set_list(path: &Path) -> bool {
    path.extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case(ENDING))
}

fn parse(text: &str, there: impl Fn(&str) -> Option<PathBuf>) -> Result<SetList, Vec<Diagnostic>> {
    let mut list = SetList::default();
    let mut problems = Vec::new();
    // The byte order mark, which some editors write.
    let lines = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut at = text.len() - lines.len();
    for line in lines.split_inclusive('\n') {
        let words = line.split(';').next().unwrap_or_default();
        let words = ListText {
            text: words.trim_end(),
            at,
        }
        .trimmed();
        match words.text.strip_prefix("title:") {
            _ if words.text.is_empty() => {}
            Some(title) => list.title = Some(title.trim().to_owned()),
            None => match tune(words, &there) {
                Ok(tune) => list.tunes.push(tune),
                Err(problem) => problems.push(problem),
            },
        }
        at += line.len();
    }
    if list.tunes.is_empty() && problems.is_empty() {
        let message = "this set list names no tune";
        problems.push(Diagnostic::error(
            0..0,
            message,
            "the name of a chart on a line",
        ));
    }
    if problems.is_empty() {
        Ok(list)
    } else {
        Err(problems)
    }
}

/// A part of the list, and where it begins.
#[derive(Clone, Copy)]
struct ListText<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> ListText<'a> {
    fn trimmed(self) -> Self {
        let text = self.text.trim_start();
        Self {
            text: text.trim_end(),
            at: self.at + self.text.len() - text.len(),
        }
    }

    fn range(self) -> Range<usize> {
        self.at..self.at + self.text.len()
    }

    /// What stands before and behind a place.
    fn parted(self, place: usize) -> (Self, Self) {
        let (before, behind) = self.text.split_at(place);
        let at = self.at;
        let before = Self { text: before, at };
        let behind = Self {
            text: behind,
            at: at + place,
        };
        (before, behind)
    }
}

const SETTINGS: [&str; 2] = ["key:", "tempo:"];

fn tune(
    line: ListText<'_>,
    there: &impl Fn(&str) -> Option<PathBuf>,
) -> Result<ListedTune, Diagnostic> {
    let found = SETTINGS
        .iter()
        .filter_map(|name| line.text.find(&format!(" {name}")));
    let (file, mut rest) = line.parted(found.min().unwrap_or(line.text.len()));
    let file = file.trimmed();
    let mut asked = Asked::default();
    rest = rest.trimmed();
    while !rest.text.is_empty() {
        rest = setting(rest, &mut asked)?;
    }
    // A list comes with a songbook, and what is wrong with a file it names is quoted: it is to lead to nothing else.
    let refused = |message, expected| Err(Diagnostic::error(file.range(), message, expected));
    if !is_chart_by_name(Path::new(file.text)) {
        if let Some(problem) = misspelled(file) {
            return Err(problem);
        }
        let message = format!("{} is no chart by its name", file.text);
        return refused(message, "a file such as fog-signal.chart");
    }
    match there(file.text) {
        None => {
            let message = format!("there is no file {}", file.text);
            return refused(message, "a chart, named from the folder of this list");
        }
        Some(real) if !is_chart_by_name(&real) => {
            let message = format!("{} is a link to what is no chart by its name", file.text);
            return refused(message, "a file such as fog-signal.chart");
        }
        Some(_) => {}
    }
    Ok(ListedTune {
        file: file.text.to_owned(),
        asked,
    })
}

/// A word behind the file that is nearly the name of a setting.
fn misspelled(line: ListText<'_>) -> Option<Diagnostic> {
    let names = SETTINGS.map(|name| name.trim_end_matches(':'));
    let mut at = 0;
    line.text.split_inclusive(' ').find_map(|piece| {
        let (_, here) = line.parted(at);
        at += piece.len();
        let word = piece
            .trim_end()
            .strip_suffix(':')
            .filter(|_| here.at > line.at)?;
        let meant = nearest(word, names)?;
        let message = format!("`{word}:` is neither a key nor a tempo");
        let range = here.at..here.at + word.len() + 1;
        Some(Diagnostic::error(
            range,
            message,
            format!("did you mean `{meant}:`?"),
        ))
    })
}

/// Reads a setting; gives what stands behind it.
fn setting<'a>(text: ListText<'a>, asked: &mut Asked) -> Result<ListText<'a>, Diagnostic> {
    let Some(name) = SETTINGS.iter().find(|name| text.text.starts_with(**name)) else {
        let expected = "key: and a key, or tempo: and a number";
        let message = format!("`{}` is neither a key nor a tempo", text.text);
        return Err(Diagnostic::error(text.range(), message, expected));
    };
    let (_, behind) = text.parted(name.len());
    let behind = behind.trimmed();
    let end = behind.text.find(char::is_whitespace);
    let (value, rest) = behind.parted(end.unwrap_or(behind.text.len()));
    let wrong = |what: &str, expected: &str| {
        let message = format!("`{}` is not {what}", value.text);
        Diagnostic::error(value.range(), message, expected)
    };
    if *name == "key:" {
        let key = value.text.parse();
        asked.key = Some(key.map_err(|_| wrong("a key", "a key such as Eb or F#m"))?);
    } else {
        let tempo = value
            .text
            .parse()
            .ok()
            .filter(|tempo| Header::TEMPI.contains(tempo));
        let expected = "beats a minute, from 1 to 999";
        asked.tempo = Some(tempo.ok_or_else(|| wrong("a tempo", expected))?);
    }
    Ok(rest.trimmed())
}

/// The chart in the tempo that is asked for.
pub fn in_tempo(mut chart: Chart, tempo: Option<u32>) -> Chart {
    if let Some(tempo) = tempo {
        chart.header.set_tempo(tempo);
    }
    chart
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every file is there, and is no link.
    fn there(file: &str) -> Option<PathBuf> {
        Some(PathBuf::from(file))
    }

    #[test]
    fn a_link_leads_to_a_chart_or_to_nothing() {
        let leads = |_: &str| Some(PathBuf::from("/srv/band/.git/config"));
        let problems = parse("a.chart\n", leads).unwrap_err();
        assert_eq!(
            problems[0].message,
            "a.chart is a link to what is no chart by its name"
        );
    }

    #[test]
    fn a_line_is_a_tune_with_its_key_and_tempo() {
        let text = "; Saturday\ntitle: At the Bell\n\nfog signal.chart ; slow\n  a.chart  tempo: 120 key: F#m\n";
        let list = parse(text, there).unwrap();
        assert_eq!(list.title.as_deref(), Some("At the Bell"));
        let tunes: Vec<(&str, Option<String>, Option<u32>)> = list
            .tunes
            .iter()
            .map(|tune| {
                let Asked { key, tempo } = tune.asked;
                (tune.file.as_str(), key.map(|key| key.to_string()), tempo)
            })
            .collect();
        let expected = [
            ("fog signal.chart", None, None),
            ("a.chart", Some("F#m".to_owned()), Some(120)),
        ];
        assert_eq!(tunes, expected);
        assert_eq!(parse(&format!("\u{feff}{text}"), there).unwrap(), list);
    }

    #[test]
    fn every_mistake_is_told_at_its_place() {
        let text = "a.chart key: H\nb.chart tempo: fast\nc.chart\nd.chart key: C in two\n/etc/passwd\nb.chart kee: Bb\n";
        let problems = parse(text, |file| there(file).filter(|_| file != "c.chart")).unwrap_err();
        let found: Vec<(&str, &str)> = problems
            .iter()
            .map(|problem| (problem.message.as_str(), &text[problem.span.clone()]))
            .collect();
        let expected = [
            ("`H` is not a key", "H"),
            ("`fast` is not a tempo", "fast"),
            ("there is no file c.chart", "c.chart"),
            ("`in two` is neither a key nor a tempo", "in two"),
            ("/etc/passwd is no chart by its name", "/etc/passwd"),
            ("`kee:` is neither a key nor a tempo", "kee:"),
        ];
        assert_eq!(found, expected);
        assert_eq!(parse("; nothing\n", there).unwrap_err().len(), 1);
    }
}
