//! The record of known findings: today's written down, so that only tomorrow's fail.
//!
//! A finding is known by its chart (its path from the record's folder), rule, section, chord symbol and
//! notes, and by how often these come: so it stays known when bars are put in elsewhere.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Component, Path, PathBuf};

use anyhow::{Result, anyhow, bail};
use compline::formats::{Fingerprint, RecordEntry, RecordReport, Shown};

use crate::cli::files_read::ReadAs;
use crate::cli::folder::folder_of;
use crate::cli::output::{AtomicFile, Replacing};
use crate::cli::read_file::read_text;
use crate::cli::visible::path_in_one_line;

/// How often a chart has each finding.
pub type Counts = BTreeMap<Fingerprint, usize>;

/// A file longer than this is no record.
const LONGEST: u64 = 4 << 20;

const FORMAT: &str = "compline-known";

/// A record that was read.
#[derive(Debug, Default)]
pub struct Known {
    folder: PathBuf,
    charts: BTreeMap<String, Counts>,
}

impl Known {
    /// Reads a record.
    ///
    /// # Errors
    ///
    /// It can't be read, or is no record.
    pub fn read(path: &Path) -> Result<Self> {
        Self::of(path, &read_text(path, LONGEST, ReadAs::Record)?)
    }

    /// The record in a text, as if it were the file at a path.
    ///
    /// # Errors
    ///
    /// It is no record.
    pub fn of(path: &Path, text: &str) -> Result<Self> {
        let shown = path_in_one_line(path);
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let record: RecordReport = serde_json::from_str(text).map_err(|why| {
            let said = why.to_string();
            let said = said.split(" at line ").next().unwrap_or_default();
            anyhow!(
                "{shown}:{}:{}: not a record of findings: {said}",
                why.line(),
                why.column()
            )
        })?;
        if record.format != FORMAT || record.version != 1 {
            let (format, version) = (record.format, record.version);
            bail!("{shown} is `{format}`, version {version}, and not `{FORMAT}`, version 1");
        }
        let mut charts: BTreeMap<String, Counts> = BTreeMap::new();
        for entry in record.findings {
            let count = entry.count;
            let (chart, same) = entry.parted();
            let known = charts.entry(chart).or_default().entry(same).or_default();
            *known = known.saturating_add(count);
        }
        let folder = real(folder_of(path));
        Ok(Self { folder, charts })
    }

    /// Marks those findings of a chart that are on record.
    pub fn mark(&self, name: &ChartName, shown: &mut [Shown<'_>]) {
        let on_record = self.charts.get(&name.from(&self.folder));
        let mut left = on_record.cloned().unwrap_or_default();
        for shown in shown {
            let counted = shown.finding.suppressed.is_none();
            let count = left
                .get_mut(&shown.fingerprint())
                .filter(|count| counted && **count > 0);
            shown.known = Some(count.is_some());
            if let Some(count) = count {
                *count -= 1;
            }
        }
    }

    /// How many findings on record are gone: those of charts that were checked and don't have them any
    /// more, and those of charts that are no longer there. `checked` has the findings of every chart.
    pub fn gone(&self, checked: &BTreeMap<ChartName, Counts>) -> usize {
        let mut found: BTreeMap<String, Counts> = BTreeMap::new();
        let mut files = BTreeSet::new();
        for (name, counts) in checked {
            files.insert(name.file_from(&self.folder));
            let all = found.entry(name.from(&self.folder)).or_default();
            add(all, counts);
        }
        let gone = self.charts.iter().map(|(chart, counts)| {
            let is_checked = || files.iter().any(|file| is_of(chart, file));
            match found.get(chart) {
                Some(found) => missing(counts, found),
                None if is_checked() || !self.may_be_there(chart) => added(counts.values()),
                None => 0,
            }
        });
        gone.fold(0, usize::saturating_add)
    }

    /// Whether the file of a chart may still be there. Standard input is no file, and what is not UTF-8
    /// in a name is not known.
    fn may_be_there(&self, chart: &str) -> bool {
        let file = chart.rsplit_once(PART).map_or(chart, |(file, _)| file);
        chart.starts_with(STDIN)
            || chart.contains(char::REPLACEMENT_CHARACTER)
            || self.folder.join(chart).exists()
            || self.folder.join(file).exists()
    }
}

/// Adds counts to counts.
pub fn add(all: &mut Counts, more: &Counts) {
    for (same, count) in more {
        let sum = all.entry(same.clone()).or_default();
        *sum = sum.saturating_add(*count);
    }
}

/// How many of these are not found.
fn missing(counts: &Counts, found: &Counts) -> usize {
    let each = counts
        .iter()
        .map(|(same, count)| count.saturating_sub(found.get(same).copied().unwrap_or(0)));
    each.fold(0, usize::saturating_add)
}

/// Whether a record's name of a chart is that of a file, or of one of the charts in it.
fn is_of(chart: &str, file: &str) -> bool {
    let rest = chart.strip_prefix(file);
    rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(PART))
}

/// The sum of counts. A file may say anything, so it stops at the largest number there is.
fn added<'a>(counts: impl Iterator<Item = &'a usize>) -> usize {
    counts.fold(0, |sum: usize, count| sum.saturating_add(*count))
}

/// Parts the path of a file of JSON from the title of a chart in it.
const PART: char = '#';

/// What a record calls standard input.
const STDIN: &str = "<stdin>";

/// What a record calls a chart by.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct ChartName {
    /// The path; `None` for standard input.
    path: Option<PathBuf>,
    /// The title, for one of several charts of a file.
    part: Option<String>,
}

impl ChartName {
    /// The chart at a path, or one chart of the file at the path, by its title.
    pub fn of(path: Option<&Path>, part: Option<String>) -> Self {
        let path = path.map(|path| {
            let name = path.file_name().map(PathBuf::from).unwrap_or_default();
            real(folder_of(path)).join(name)
        });
        Self { path, part }
    }

    /// The name as seen from a folder, its parts joined by `/`.
    pub fn from(&self, folder: &Path) -> String {
        let file = self.file_from(folder);
        match &self.part {
            Some(title) => format!("{file}{PART}{title}"),
            None => file,
        }
    }

    /// The name of its file as seen from a folder.
    fn file_from(&self, folder: &Path) -> String {
        let path = self.path.as_ref().map(|path| way(folder, path));
        path.unwrap_or_else(|| STDIN.to_owned())
    }
}

/// The folder without links and dots; as it is where there is none such.
fn real(folder: &Path) -> PathBuf {
    fs::canonicalize(folder).unwrap_or_else(|_| folder.to_owned())
}

/// The way from a folder to a file.
fn way(folder: &Path, file: &Path) -> String {
    let (from, to): (Vec<Component<'_>>, Vec<Component<'_>>) =
        (folder.components().collect(), file.components().collect());
    let shared = from.iter().zip(&to).take_while(|(a, b)| a == b).count();
    let up = from.iter().skip(shared).map(|_| "..".to_owned());
    let down = to.iter().skip(shared);
    let down = down.map(|part| part.as_os_str().to_string_lossy().into_owned());
    up.chain(down).collect::<Vec<_>>().join("/")
}

/// A record that is being written.
pub struct Recorder {
    file: AtomicFile,
    folder: PathBuf,
    /// What was on record before.
    before: BTreeMap<String, Counts>,
    now: BTreeMap<String, Counts>,
    /// The files of these.
    files: BTreeSet<String>,
}

impl Recorder {
    /// Begins a record. What a record that is there says of other charts will be kept.
    ///
    /// # Errors
    ///
    /// Nothing can be written there; a file is there that is no record.
    pub fn begin(path: &Path, replacing: Replacing) -> Result<Self> {
        let file = AtomicFile::begin(path, replacing)?;
        let before = match path.exists() {
            true => Known::read(path)?.charts,
            false => BTreeMap::new(),
        };
        Ok(Self {
            file,
            folder: real(folder_of(path)),
            before,
            now: BTreeMap::new(),
            files: BTreeSet::new(),
        })
    }

    /// Notes the findings of a chart.
    pub fn add(&mut self, name: &ChartName, counts: Counts) {
        self.files.insert(name.file_from(&self.folder));
        let findings = self.now.entry(name.from(&self.folder)).or_default();
        add(findings, &counts);
    }

    /// Writes every finding down, a line each, by chart, and puts the complete record in its place. A
    /// chart that was not checked keeps what was on record, unless it is no longer there.
    ///
    /// # Errors
    ///
    /// It can't be written.
    pub fn finish(mut self) -> Result<()> {
        let head = format!("{{\"format\": \"{FORMAT}\", \"version\": 1, \"findings\": [");
        self.file.write(head.as_bytes())?;
        let before = Known {
            folder: self.folder.clone(),
            charts: std::mem::take(&mut self.before),
        };
        for (chart, counts) in &before.charts {
            let checked = self.files.iter().any(|file| is_of(chart, file));
            if !checked && before.may_be_there(chart) {
                self.now.insert(chart.clone(), counts.clone());
            }
        }
        let mut comma = "";
        for (chart, counts) in &self.now {
            for (same, count) in counts {
                let entry = RecordEntry::of(chart, same, *count);
                let line = format!("{comma}\n{}", serde_json::to_string(&entry)?);
                self.file.write(line.as_bytes())?;
                comma = ",";
            }
        }
        self.file.write(b"\n]}\n")?;
        self.file.finish().map(|_| ())
    }
}
