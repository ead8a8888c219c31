//! What is checked: charts, and voiced charts in JSON, one object a line. Lines come one by one, so
//! that a stream of any length can be checked.

use std::fs::File;
use std::io::{self, BufRead, BufReader, Read};

use anyhow::{Context, Result, anyhow};
use compline::chart::sizes::MOST_JSON_BYTES;

use crate::cli::input::{Source, bounded};
use crate::cli::reading::ReadOptions;

/// The ending of a file of JSON.
const JSON: &str = "json";

/// A line longer than this is no chart.
const LONGEST_LINE: u64 = MOST_JSON_BYTES as u64;

/// One thing to check, or why there is none.
pub struct Piece {
    /// Its place among the sources.
    pub source: usize,
    /// What it is.
    pub what: What,
}

impl Piece {
    /// What it is called: its source, and for one of several charts of a source the line it is in.
    pub fn called(&self, source: &Source) -> String {
        match self.what {
            What::Line(number, _) => format!("{}:{number}", source.name()),
            _ => source.name(),
        }
    }
}

/// What a piece is.
pub enum What {
    /// A chart, still to be read.
    File,
    /// A chart from standard input.
    Text(Vec<u8>),
    /// A line of JSON, by its number from 1.
    Line(usize, Vec<u8>),
    /// It can't be read.
    Unreadable(anyhow::Error),
}

/// Everything there is to check in these sources, in order.
pub fn pieces<'a>(
    sources: &'a [Source],
    reading: &'a ReadOptions,
) -> impl Iterator<Item = Piece> + Send + 'a {
    let numbered = sources.iter().enumerate();
    numbered
        .flat_map(|(at, source)| of(source, reading).map(move |what| Piece { source: at, what }))
}

type Whats = Box<dyn Iterator<Item = What> + Send>;

fn of(source: &Source, reading: &ReadOptions) -> Whats {
    let opened = match source {
        Source::Stdin { .. } => stdin(source, reading),
        Source::File { .. } if reading.is_said() => Ok(once(What::File)),
        Source::File { path, .. } if path.extension().is_some_and(|ending| ending == JSON) => {
            let opened = File::open(path).with_context(|| format!("can't read {}", source.name()));
            opened.map(|file| lines(BufReader::new(file), source.name()))
        }
        Source::File { .. } | Source::Tune { .. } | Source::Made { .. } => Ok(once(What::File)),
    };
    opened.unwrap_or_else(|error| once(What::Unreadable(error)))
}

fn once(what: What) -> Whats {
    Box::new(std::iter::once(what))
}

/// Standard input is JSON if it begins with a brace.
fn stdin(source: &Source, reading: &ReadOptions) -> Result<Whats> {
    let told = "can't read standard input";
    let mut input = BufReader::new(io::stdin());
    let begins = input.fill_buf().context(told)?;
    let first = begins.iter().find(|byte| !byte.is_ascii_whitespace());
    if first == Some(&b'{') && !reading.is_said() {
        return Ok(lines(input, source.name()));
    }
    Ok(once(What::Text(bounded(input).context(told)?)))
}

/// The lines that are not empty.
fn lines(mut input: impl BufRead + Send + 'static, name: String) -> Whats {
    let (mut number, mut over) = (0, false);
    let next = move || {
        while !over {
            number += 1;
            match line(&mut input) {
                Ok(Some(line)) if line.trim_ascii().is_empty() => {}
                Ok(Some(line)) => return Some(What::Line(number, line)),
                Ok(None) => over = true,
                Err(error) => {
                    over = true;
                    return Some(What::Unreadable(error.context(format!("{name}:{number}"))));
                }
            }
        }
        None
    };
    Box::new(std::iter::from_fn(next))
}

fn line(input: &mut impl BufRead) -> Result<Option<Vec<u8>>> {
    let mut line = Vec::new();
    let read = input.take(LONGEST_LINE).read_until(b'\n', &mut line)?;
    if read as u64 == LONGEST_LINE {
        let most = LONGEST_LINE >> 20;
        return Err(anyhow!(
            "a line is longer than the {most} MiB a voiced chart may have"
        ));
    }
    Ok((read > 0).then_some(line))
}
