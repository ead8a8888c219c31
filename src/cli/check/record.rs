//! The record of known findings: today's written down, so that only tomorrow's fail.
//!
//! A finding is known by its chart (its path from the record's folder), rule, section, chord symbol and
//! notes, and by how often these come: so it stays known when bars are put in elsewhere.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Component, Path, PathBuf};

use anyhow::{Result, anyhow, bail};
use compline::formats::{Fingerprint, RecordEntry, RecordReport, Shown};

use crate::cli::output::{AtomicFile, Replacing};
use crate::cli::read_file::read_text;
use crate::cli::settings::folder_of;
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
        Self::of(path, &read_text(path, LONGEST)?)
    }

    /// The record in a text, as if it were the file at a path.
    ///
    /// # Errors
    ///
    /// It is no record.
    pub fn of(path: &Path, text: &str) -> Result<Self> {
        let shown = path_in_one_line(path);
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

    /// Marks those findings of a chart that are on record, and says how many on record are gone.
    pub fn mark(&self, name: &ChartName, shown: &mut [Shown<'_>]) -> usize {
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
        added(left.values())
    }

    /// How many findings are on record for charts that were not checked and are no longer there.
    pub fn gone(&self, checked: &BTreeSet<PathBuf>) -> usize {
        let files = self
            .charts
            .iter()
            .map(|(chart, counts)| (self.folder.join(file(chart)), counts));
        let gone = files.filter(|(path, _)| !checked.contains(path) && !path.exists());
        added(gone.flat_map(|(_, counts)| counts.values()))
    }
}

/// The sum of counts. A file may say anything, so it stops at the largest number there is.
fn added<'a>(counts: impl Iterator<Item = &'a usize>) -> usize {
    counts.fold(0, |sum: usize, count| sum.saturating_add(*count))
}

/// The file of a chart that may be a part of one.
fn file(chart: &str) -> &str {
    chart.split_once(PART).map_or(chart, |(file, _)| file)
}

/// Parts the path of a file of JSON from the title of a chart in it.
const PART: &str = ".json#";

/// What a record calls a chart by.
#[derive(Debug, Clone)]
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

    /// The path, without links and dots.
    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// The name as seen from a folder, its parts joined by `/`.
    pub fn from(&self, folder: &Path) -> String {
        let path = self.path.as_ref().map(|path| way(folder, path));
        let path = path.unwrap_or_else(|| "<stdin>".to_owned());
        match &self.part {
            Some(title) => format!("{path}#{title}"),
            None => path,
        }
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
        })
    }

    /// Notes the findings of a chart.
    pub fn add(&mut self, name: &ChartName, counts: Counts) {
        let findings = self.now.entry(name.from(&self.folder)).or_default();
        for (same, count) in counts {
            *findings.entry(same).or_default() += count;
        }
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
        let checked: BTreeSet<String> = self.now.keys().map(|name| file(name).to_owned()).collect();
        for (chart, counts) in std::mem::take(&mut self.before) {
            let path = file(&chart);
            if !checked.contains(path) && self.folder.join(path).exists() {
                self.now.insert(chart, counts);
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
