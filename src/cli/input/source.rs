//! One chart to read: a file, a tune of a book, standard input, or what was typed.

use std::ffi::OsString;
use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use anyhow::{Context, Result};
use compline::chart::sizes;
use compline::formats::readers;

use crate::cli::read_file::within;
use crate::cli::set_list::Asked;
use crate::cli::visible::{in_one_line, path_in_one_line};

/// A chart of more bytes than this is not read.
const LONGEST: u64 = sizes::MOST_BYTES as u64;

/// A file of another format of more bytes than this is not read.
pub(super) const LONGEST_SCORE: u64 = sizes::MOST_FOREIGN_BYTES as u64;

/// What messages call standard input.
const STDIN: &str = "<stdin>";

/// One chart to read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Source {
    /// Standard input.
    Stdin {
        /// The file that its text is said to be of.
        path: Option<PathBuf>,
    },
    /// One tune of a tune book.
    Tune {
        /// Where the book is; `None` for standard input that has no name.
        path: Option<PathBuf>,
        /// What the tune's own file would be called, without an ending.
        stem: OsString,
        /// Its place in the book, from 1.
        number: usize,
        /// The tune.
        bytes: Arc<[u8]>,
    },
    /// A chart that was made of what was typed.
    Made {
        /// What was typed.
        name: String,
        /// The chart.
        bytes: Arc<[u8]>,
    },
    /// A file, and the part of its path that is kept in an output folder.
    File {
        /// Where it is.
        path: PathBuf,
        /// Its name below the argument it was found by.
        inside: PathBuf,
        /// What a set list asks of it.
        asked: Asked,
    },
}

impl Source {
    /// The chart at `path`, named on its own.
    pub fn file(path: impl Into<PathBuf>) -> Self {
        let path = path.into();
        let inside = path.file_name().map_or_else(|| path.clone(), PathBuf::from);
        let asked = Asked::default();
        Self::File {
            path,
            inside,
            asked,
        }
    }

    /// The name messages call it by.
    pub fn name(&self) -> String {
        match self {
            Self::Stdin { path: None } => STDIN.to_owned(),
            Self::Made { name, .. } => in_one_line(name).into_owned(),
            Self::Stdin { path: Some(path) } | Self::File { path, .. } => {
                in_one_line(&path.to_string_lossy()).into_owned()
            }
            Self::Tune { path, number, .. } => {
                let book = path.as_ref().map(|path| path.to_string_lossy());
                format!(
                    "{}, tune {number}",
                    in_one_line(book.as_deref().unwrap_or(STDIN))
                )
            }
        }
    }

    /// The name programs know it by: the path as it is.
    pub fn path_name(&self) -> String {
        match self {
            Self::Stdin { path: None } | Self::Tune { .. } | Self::Made { .. } => self.name(),
            Self::Stdin { path: Some(path) } | Self::File { path, .. } => {
                path.to_string_lossy().into_owned()
            }
        }
    }

    /// What a set list asks of it.
    pub fn asked(&self) -> Asked {
        match self {
            Self::File { asked, .. } => *asked,
            _ => Asked::default(),
        }
    }

    /// The path it is known by: its own, or the one that standard input is said to be of.
    pub fn path(&self) -> Option<&Path> {
        match self {
            Self::Made { .. } => None,
            Self::File { path, .. } => Some(path),
            Self::Stdin { path } | Self::Tune { path, .. } => path.as_deref(),
        }
    }

    /// Whether it comes from standard input, whatever it is called.
    pub const fn is_stdin(&self) -> bool {
        matches!(self, Self::Stdin { .. })
    }

    /// The name of its result in an output folder: the same name with another ending.
    pub fn result_name(&self, ending: &str) -> PathBuf {
        match self {
            Self::Stdin { path } => {
                let name = path.as_deref().and_then(Path::file_name);
                Path::new(name.unwrap_or("stdin".as_ref())).with_extension(ending)
            }
            Self::File { inside, .. } => inside.with_extension(ending),
            // A dot in it is the book's own, and no ending begins there.
            Self::Tune { stem, .. } => {
                let mut name = stem.clone();
                name.push(".");
                name.push(ending);
                name.into()
            }
            Self::Made { name, .. } => {
                let stem = slug(name);
                PathBuf::from(stem.trim_start_matches('-')).with_extension(ending)
            }
        }
    }

    /// Its bytes.
    ///
    /// # Errors
    ///
    /// The file can't be read, or standard input can't.
    pub fn read(&self) -> Result<Vec<u8>> {
        match self {
            Self::Stdin { .. } => {
                let read = bounded(std::io::stdin());
                read.context("can't read standard input")
            }
            Self::Tune { bytes, .. } | Self::Made { bytes, .. } => Ok(bytes.to_vec()),
            Self::File { path, .. } => {
                let opened = fs::File::open(path).map_err(anyhow::Error::from);
                let read = opened.and_then(bounded);
                read.with_context(|| format!("can't read {}", path_in_one_line(path)))
            }
        }
    }
}

/// Everything that can be read, as long as it is no longer than a chart can be, or a file of the format that
/// its beginning tells; no more is read than that.
///
/// # Errors
///
/// It can't be read, or there is more.
pub fn bounded(mut from: impl Read) -> Result<Vec<u8>> {
    // Most charts fit, so that no bytes are moved.
    let mut bytes = Vec::with_capacity(1 << 14);
    from.by_ref().take(LONGEST + 1).read_to_end(&mut bytes)?;
    let longest = match bytes.len() as u64 > LONGEST && readers::told(&bytes, None).is_some() {
        true => LONGEST_SCORE,
        false => LONGEST,
    };
    let more = (longest + 1).saturating_sub(bytes.len() as u64);
    from.take(more).read_to_end(&mut bytes)?;
    within(bytes, longest)
}

/// A title as the end of a file's name: small letters and digits, with hyphens between the words.
pub(super) fn slug(title: &str) -> String {
    let lower = title.to_lowercase().replace('\'', "");
    let words = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty());
    let words: String = words.take(8).map(|word| format!("-{word}")).collect();
    words.chars().take(60).collect()
}
