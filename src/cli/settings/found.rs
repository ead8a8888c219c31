//! Which settings hold for which chart: the options over the nearest settings file above it, worked
//! out once a folder.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;

use anyhow::{Result, anyhow, bail};

use super::file::{NAME, NoFolder, SettingsFile};
use super::tree::{is_at_home, is_foreign};
use super::{InForce, SettingsLayer, UpsideDown};
use crate::cli::folder::folder_of;
use crate::cli::input::Source;
use crate::cli::terminal::Terminal;
use crate::cli::visible::path_in_one_line;

/// Where settings files are looked for.
enum Where {
    /// The nearest above each chart.
    Above,
    /// In this one.
    Here(Box<SettingsFile>),
    /// Nowhere.
    Nowhere,
}

/// What the command line says about the settings.
#[derive(Debug, Default)]
pub struct AskedSettings {
    /// The settings it gives a value.
    pub layer: SettingsLayer,
    /// The settings file it names.
    pub file: Option<PathBuf>,
    /// Whether it says that there is none.
    pub no_file: bool,
}

impl AskedSettings {
    /// With what other options say.
    #[must_use]
    pub fn with(self, more: &SettingsLayer) -> Self {
        let layer = more.over(&self.layer);
        Self { layer, ..self }
    }
}

/// Finds the settings of each chart.
pub struct Finder {
    asked: SettingsLayer,
    place: Where,
    files: BTreeMap<PathBuf, Rc<SettingsFile>>,
    folders: BTreeMap<PathBuf, Arc<InForce>>,
    /// What a command does otherwise than others, unless it is told.
    usual: SettingsLayer,
    known: Vec<(SettingsLayer, Arc<InForce>)>,
    told: BTreeSet<(PathBuf, PathBuf)>,
    /// The files whose folders were looked for.
    looked: BTreeSet<PathBuf>,
}

impl Finder {
    /// Under what the command line says.
    ///
    /// # Errors
    ///
    /// A settings file that was named and can't be used; a range that stands on its head.
    pub fn new(asked: AskedSettings) -> Result<Self> {
        let place = match &asked.file {
            _ if asked.no_file => Where::Nowhere,
            Some(path) => Where::Here(Box::new(SettingsFile::read(path)?)),
            None => Where::Above,
        };
        let asked = asked.layer;
        if let Where::Nowhere | Where::Above = place {
            asked
                .in_force()
                .map_err(|_| anyhow!("--low must lie below --high"))?;
        }
        Ok(Self {
            asked,
            place,
            files: BTreeMap::new(),
            folders: BTreeMap::new(),
            usual: SettingsLayer::default(),
            known: Vec::new(),
            told: BTreeSet::new(),
            looked: BTreeSet::new(),
        })
    }

    /// The same with other usual values, for what neither the command line nor a file says.
    #[must_use]
    pub fn usually(mut self, usual: SettingsLayer) -> Self {
        self.usual = usual;
        self
    }

    /// The settings of every chart, in order.
    ///
    /// # Errors
    ///
    /// As [`Finder::of`].
    pub fn all(
        &mut self,
        sources: &[Source],
        terminal: &mut Terminal,
    ) -> Result<Vec<Arc<InForce>>> {
        sources
            .iter()
            .map(|source| self.of(source, terminal))
            .collect()
    }

    /// The settings of a chart; says where two files disagree about them.
    ///
    /// # Errors
    ///
    /// A settings file that can't be used; options that contradict it.
    pub fn of(&mut self, source: &Source, terminal: &mut Terminal) -> Result<Arc<InForce>> {
        let folder = source.path().map_or(Path::new("."), folder_of);
        if let Some(known) = self.folders.get(folder) {
            return Ok(Arc::clone(known));
        }
        let (layer, file) = self.said_for(&real(folder), terminal)?;
        let settings = self.shared(self.asked.over(&layer).over(&self.usual), file.as_deref())?;
        self.folders
            .insert(folder.to_owned(), Arc::clone(&settings));
        Ok(settings)
    }

    /// What settings files say for charts in a folder, and which file that is.
    fn said_for(
        &mut self,
        folder: &Path,
        terminal: &mut Terminal,
    ) -> Result<(SettingsLayer, Option<PathBuf>)> {
        match &self.place {
            Where::Nowhere => Ok((SettingsLayer::default(), None)),
            Where::Here(file) => {
                if self.looked.insert(file.path.clone()) {
                    tell_no_folders(file, terminal);
                }
                Ok((said(file, folder), Some(file.path.clone())))
            }
            Where::Above => self.nearest(folder, terminal),
        }
    }

    fn nearest(
        &mut self,
        folder: &Path,
        terminal: &mut Terminal,
    ) -> Result<(SettingsLayer, Option<PathBuf>)> {
        let above = above(folder).map(|above| above.join(NAME));
        let mut there = above.filter(|path| path.is_file());
        let Some(path) = there.next() else {
            return Ok((SettingsLayer::default(), None));
        };
        let file = self.file(&path)?;
        if self.looked.insert(path.clone()) {
            if terminal.verbose() {
                terminal.say(&format!("settings: {}\n", path_in_one_line(&file.path)));
            }
            tell_no_folders(&file, terminal);
            if is_foreign(&path, folder) {
                tell_foreign(&file, terminal);
            }
        }
        let layer = said(&file, folder);
        for outer in there {
            // What doesn't hold can't be wrong either.
            if let Ok(outer) = self.file(&outer) {
                self.compare((&file, &layer), (&outer, &said(&outer, folder)), terminal);
            }
        }
        Ok((layer, Some(file.path.clone())))
    }

    /// A file, read once.
    fn file(&mut self, path: &Path) -> Result<Rc<SettingsFile>> {
        if let Some(file) = self.files.get(path) {
            return Ok(Rc::clone(file));
        }
        let shown = shown(path);
        if !is_at_home(path) {
            bail!(
                "{} is a link out of its folder, and settings are not taken from elsewhere: name the file \
                 with --settings, or use --no-settings",
                path_in_one_line(&shown)
            );
        }
        let file = Rc::new(SettingsFile::read(&shown)?);
        self.files.insert(path.to_owned(), Rc::clone(&file));
        Ok(file)
    }

    fn compare(
        &mut self,
        near: (&SettingsFile, &SettingsLayer),
        far: (&SettingsFile, &SettingsLayer),
        terminal: &mut Terminal,
    ) {
        let keys = near.1.against(far.1);
        let pair = (near.0.path.clone(), far.0.path.clone());
        if keys.is_empty() || !self.told.insert(pair) {
            return;
        }
        let (near, far) = (
            path_in_one_line(&near.0.path),
            path_in_one_line(&far.0.path),
        );
        let message = format!(
            "{near} and {far} disagree on {}: {near} wins",
            keys.join(", ")
        );
        let help = "the settings file nearest to a chart counts alone; nothing is taken from those above it";
        terminal.warning(&message, Some(help));
    }

    fn shared(&mut self, layer: SettingsLayer, file: Option<&Path>) -> Result<Arc<InForce>> {
        if let Some((_, settings)) = self.known.iter().find(|(known, _)| *known == layer) {
            return Ok(Arc::clone(settings));
        }
        let settings = layer.in_force().map_err(|why| contradiction(why, file))?;
        let settings = Arc::new(settings);
        self.known.push((layer, Arc::clone(&settings)));
        Ok(settings)
    }
}

/// The folders in which settings for a chart are looked for: its own and those above it, up to the top
/// of its repository.
fn above(folder: &Path) -> impl Iterator<Item = &Path> {
    let mut within = true;
    folder.ancestors().take_while(move |above| {
        let taken = within;
        within = !above.join(".git").exists();
        taken
    })
}

/// Says that a file belongs to somebody else.
fn tell_foreign(file: &SettingsFile, terminal: &mut Terminal) {
    let message = format!(
        "{} belongs to another user than the charts it holds for",
        path_in_one_line(&file.path)
    );
    terminal.warning(
        &message,
        Some("with --no-settings it is left out of account"),
    );
}

/// Says which folders a file names that are not there.
fn tell_no_folders(file: &SettingsFile, terminal: &mut Terminal) {
    let path = path_in_one_line(&file.path);
    for NoFolder { name, nearest } in file.no_folders() {
        let message = format!("{path}: there is no folder `{name}` beside it");
        let help = match nearest {
            Some(nearest) => format!("did you mean `{nearest}`?"),
            None => "what it says for that folder holds for no chart".to_owned(),
        };
        terminal.warning(&message, Some(&help));
    }
}

fn contradiction(why: UpsideDown, file: Option<&Path>) -> anyhow::Error {
    match file {
        Some(file) => anyhow!(
            "with the options and {} together, {why}",
            path_in_one_line(file)
        ),
        None => anyhow!("{why}"),
    }
}

fn said(file: &SettingsFile, folder: &Path) -> SettingsLayer {
    let home = real(folder_of(&file.path));
    file.for_folder(folder.strip_prefix(home).ok())
}

/// The folder without links and dots; as it is where there is none such.
fn real(folder: &Path) -> PathBuf {
    let real = fs::canonicalize(folder).or_else(|_| std::path::absolute(folder));
    real.unwrap_or_else(|_| folder.to_owned())
}

/// The path as somebody in this folder would write it.
fn shown(path: &Path) -> PathBuf {
    let inside = path.strip_prefix(real(Path::new("."))).ok();
    inside.unwrap_or(path).to_owned()
}
