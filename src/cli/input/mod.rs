//! Which charts a command is about: files, those of a folder, the tunes of a book, or standard input.

mod source;

use std::collections::BTreeSet;
use std::ffi::{OsStr, OsString};
use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};

use anyhow::{Result, anyhow};
use compline::formats::abc;
use compline::formats::readers::by_ending;

use super::files_read::{self, ReadAs, real_place};
use super::read_file::read_file;
pub use super::reading::ENDING;
use super::reading::{ReadOptions, is_chart_by_name, is_chart_ending};
use super::set_list::{self, Asked, SetList, is_set_list};
use crate::cli::visible::path_in_one_line;
use source::{LONGEST_SCORE, slug};

pub use source::{Source, bounded};

/// The charts the arguments name, in order; a folder's charts in the order of their names, its
/// hidden and ignored files left out.
///
/// # Errors
///
/// A path that isn't there, a folder without charts, standard input named twice.
pub fn sources(arguments: &[PathBuf], reading: &ReadOptions) -> Result<Vec<Source>> {
    Ok(found(arguments, reading)?.sources)
}

/// As [`sources`], with the title of the set list, where it is the only argument.
///
/// # Errors
///
/// As [`sources`].
pub fn titled_sources(
    arguments: &[PathBuf],
    reading: &ReadOptions,
) -> Result<(Option<String>, Vec<Source>)> {
    let found = found(arguments, reading)?;
    let title = found.title.filter(|_| arguments.len() == 1);
    Ok((title, found.sources))
}

fn found(arguments: &[PathBuf], reading: &ReadOptions) -> Result<FoundCharts> {
    let mut found = FoundCharts::read_as(reading);
    for argument in arguments {
        found.add(argument);
        if !found.troubles.is_empty() {
            return Err(found.troubles.swap_remove(0));
        }
    }
    let mut found = found.end();
    match found.troubles.pop() {
        Some(trouble) => Err(trouble),
        None => Ok(found),
    }
}

/// As [`sources`], and a tune book on standard input is taken apart as well.
///
/// # Errors
///
/// As [`sources`]; standard input can't be read.
pub fn tunes(arguments: &[PathBuf], reading: &ReadOptions) -> Result<Vec<Source>> {
    let found = sources(arguments, reading)?
        .into_iter()
        .map(|source| match source {
            Source::Stdin { ref path } => Ok(stdin_tunes(source.read()?, path.as_deref())),
            other => Ok(vec![other]),
        });
    let found: Result<Vec<Vec<Source>>> = found.collect();
    Ok(found?.into_iter().flatten().collect())
}

/// Standard input, or the tunes in it if it is a book.
fn stdin_tunes(bytes: Vec<u8>, path: Option<&Path>) -> Vec<Source> {
    let stem = path.and_then(Path::file_stem).unwrap_or("stdin".as_ref());
    match book_tunes(&bytes, path, stem) {
        tunes if tunes.len() > 1 => tunes,
        _ => vec![Source::Tune {
            path: path.map(Path::to_owned),
            stem: stem.to_owned(),
            number: 1,
            bytes: bytes.into(),
        }],
    }
}

/// The tunes of a book. Each is called by the book, its number and its title. There are none in a book that is
/// too large, which is told when it is read.
fn book_tunes(bytes: &[u8], path: Option<&Path>, book: &OsStr) -> Vec<Source> {
    let tunes = abc::book(bytes).unwrap_or_default();
    let digits = tunes.len().to_string().len();
    let numbered = (1..).zip(&tunes).map(|(number, tune)| Source::Tune {
        path: path.map(Path::to_owned),
        stem: {
            let mut stem = book.to_owned();
            stem.push(format!("-{number:0digits$}{}", slug(&tune.title)));
            stem
        },
        number,
        bytes: abc::alone(bytes, tune).into(),
    });
    numbered.collect()
}

/// As [`sources`], but what can't be read keeps nothing else from being found.
pub fn all_sources(arguments: &[PathBuf], reading: &ReadOptions) -> FoundCharts {
    let mut found = FoundCharts::read_as(reading);
    arguments.iter().for_each(|argument| found.add(argument));
    found.end()
}

/// What the arguments name.
#[derive(Debug, Default)]
pub struct FoundCharts {
    /// The charts, each once.
    pub sources: Vec<Source>,
    /// What could not be read.
    pub troubles: Vec<anyhow::Error>,
    /// Links to folders elsewhere, which were not looked into.
    pub elsewhere: Vec<PathBuf>,
    /// The title of the set list that was read last.
    title: Option<String>,
    known: BTreeSet<PathBuf>,
    reading: ReadOptions,
    /// Whether standard input is among them.
    has_stdin: bool,
}

impl FoundCharts {
    fn read_as(reading: &ReadOptions) -> Self {
        Self {
            reading: reading.clone(),
            ..Self::default()
        }
    }

    /// This one alone.
    pub fn of(source: Source) -> Self {
        if let Some(path) = source.path() {
            files_read::note(path, ReadAs::Chart);
        }
        Self {
            sources: vec![source],
            ..Self::default()
        }
    }

    fn add(&mut self, argument: &Path) {
        if argument == Path::new("-") {
            self.add_stdin();
        } else if argument.is_dir() {
            self.add_folder(argument);
        } else if is_set_list(argument) {
            self.add_set(argument);
        } else {
            let chart = Source::file(argument);
            // A file named twice, however it is written, is one chart.
            if self.is_new(argument) {
                self.add_file(chart);
            }
        }
    }

    fn is_new(&mut self, path: &Path) -> bool {
        let real = real_place(path);
        files_read::note_real(real.clone(), path, ReadAs::Chart);
        self.known.insert(real)
    }

    /// The tunes of a set list, in its order; a tune may come again. Their results are numbered.
    fn add_set(&mut self, list: &Path) {
        let SetList { title, tunes } = match set_list::read(list) {
            Ok(list) => list,
            Err(error) => return self.troubles.push(error),
        };
        self.title = title;
        let digits = tunes.len().to_string().len().max(2);
        let folder = list.parent().unwrap_or(Path::new(""));
        for (number, tune) in (1..).zip(tunes) {
            let path = folder.join(tune.file);
            files_read::note(&path, ReadAs::Chart);
            let mut inside = OsString::from(format!("{number:0digits$}-"));
            inside.push(path.file_name().unwrap_or_default());
            self.sources.push(Source::File {
                inside: inside.into(),
                path,
                asked: tune.asked,
            });
        }
    }

    /// A tune book is all its tunes. One that can't be read is told when it is.
    fn add_file(&mut self, chart: Source) {
        let path = chart.path().filter(|path| self.reading.is_book(Some(path)));
        let tunes = path.and_then(|path| {
            let stem = path.file_stem().unwrap_or_default();
            Some(book_tunes(
                &read_file(path, LONGEST_SCORE, ReadAs::Chart).ok()?,
                Some(path),
                stem,
            ))
        });
        match tunes.filter(|tunes| tunes.len() > 1) {
            Some(tunes) => self.sources.extend(tunes),
            None => self.sources.push(chart),
        }
    }

    /// What is said to be a tune book is all its tunes.
    fn add_stdin(&mut self) {
        if self.has_stdin {
            let twice = "standard input (`-`) is named twice: it can be read only once";
            return self.troubles.push(anyhow!(twice));
        }
        self.has_stdin = true;
        let path = self.reading.stdin_path().map(Path::to_owned);
        if let Some(path) = &path {
            files_read::note(path, ReadAs::Chart);
        }
        let stdin = Source::Stdin { path: path.clone() };
        if !self.reading.is_book(path.as_deref()) {
            return self.sources.push(stdin);
        }
        match stdin.read() {
            Ok(bytes) => self.sources.extend(stdin_tunes(bytes, path.as_deref())),
            Err(error) => self.troubles.push(error),
        }
    }

    /// A name for standard input is of no use where that is not read.
    fn end(mut self) -> Self {
        if let Some(path) = self.reading.stdin_path().filter(|_| !self.has_stdin) {
            let path = path_in_one_line(path);
            self.troubles.push(anyhow!(
                "--stdin-as {path}: standard input is not among what is read: name it with `-`"
            ));
        }
        self
    }

    fn add_folder(&mut self, folder: &Path) {
        let walk = ignore::WalkBuilder::new(folder)
            .require_git(false)
            .sort_by_file_path(Path::cmp)
            .build();
        let mut charts = 0;
        let before = self.troubles.len();
        for entry in walk {
            match entry {
                Ok(entry) if is_chart(entry.path()) => {
                    charts += 1;
                    self.add_chart(entry.into_path(), folder);
                }
                Ok(entry) => {
                    let path = entry.into_path();
                    self.elsewhere
                        .extend(leads_out(&path, folder).then_some(path));
                }
                Err(error) => {
                    let told = format!("can't read {}", path_in_one_line(folder));
                    self.troubles.push(anyhow::Error::new(error).context(told));
                }
            }
        }
        if charts == 0 && self.troubles.len() == before {
            let folder = path_in_one_line(folder);
            self.troubles.push(anyhow!(
                "no charts in {folder}: charts are files whose name ends in .{ENDING}, .musicxml, .mxl or .abc"
            ));
        }
    }

    /// A link that leads out of the charts is not followed: what is wrong with a chart is quoted, and a folder
    /// that came from somewhere must not lead to what it doesn't hold.
    fn add_chart(&mut self, path: PathBuf, folder: &Path) {
        if fs::canonicalize(&path).is_ok_and(|real| !is_chart_by_name(&real)) {
            let shown = path_in_one_line(&path);
            let told = format!("{shown} is a link to what is no chart by its name: it is not read");
            return self.troubles.push(anyhow!(told));
        }
        let inside = path.strip_prefix(folder).unwrap_or(&path).to_owned();
        if self.is_new(&path) {
            let asked = Asked::default();
            self.add_file(Source::File {
                path,
                inside,
                asked,
            });
        }
    }
}

/// Whether this is a link to a folder outside this one. What is linked inside is found where it is.
fn leads_out(path: &Path, folder: &Path) -> bool {
    if !(path.is_symlink() && path.is_dir()) {
        return false;
    }
    let real = |path: &Path| fs::canonicalize(path).ok();
    let ends = real(path).zip(real(folder));
    ends.is_some_and(|(to, home)| !to.starts_with(home))
}

/// Whether this is a chart by its name, or a file that a chart can be made of. A link that leads nowhere
/// is one as well: that it can't be read is to be told. One that leads to a device or a named pipe is none,
/// since to read that may never end. Of other XML, which may be anything, only scores
/// are taken.
fn is_chart(path: &Path) -> bool {
    if !path.is_file() && (path.exists() || !path.is_symlink()) {
        return false;
    }
    let ending = path.extension().and_then(|ending| ending.to_str());
    match ending {
        Some(ending) if is_chart_ending(ending) => true,
        Some(ending) if ending.eq_ignore_ascii_case("xml") => is_score(path),
        Some(ending) => by_ending(ending).is_some_and(|reader| reader.in_folders),
        None => false,
    }
}

/// Whether the first kilobytes of a file name a score's first element.
fn is_score(path: &Path) -> bool {
    let mut head = Vec::new();
    let read = fs::File::open(path).and_then(|file| file.take(4096).read_to_end(&mut head));
    let text = String::from_utf8_lossy(&head);
    read.is_ok() && (text.contains("<score-partwise") || text.contains("<score-timewise"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_folder_gives_its_charts_in_order_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        for name in ["b.chart", "a.chart", "notes.txt", ".hidden.chart"] {
            fs::write(folder.path().join(name), "").unwrap();
        }
        fs::create_dir(folder.path().join("sub")).unwrap();
        fs::write(folder.path().join("sub/c.chart"), "").unwrap();
        let found = sources(&[folder.path().to_owned()], &ReadOptions::default()).unwrap();
        let names: Vec<PathBuf> = found.iter().map(|s| s.result_name("json")).collect();
        assert_eq!(names, ["a.json", "b.json", "sub/c.json"].map(PathBuf::from));
    }

    #[test]
    fn an_empty_folder_is_an_error() {
        let folder = tempfile::tempdir().unwrap();
        let refused = sources(&[folder.path().to_owned()], &ReadOptions::default())
            .unwrap_err()
            .to_string();
        assert!(refused.starts_with("no charts in"), "{refused}");
    }

    #[test]
    fn standard_input_is_read_once() {
        assert!(sources(&["-".into(), "-".into()], &ReadOptions::default()).is_err());
    }
}
