//! A settings file, read: its own layer and one for each folder it names; or every mistake in it, with
//! its place.

use std::fs;
use std::ops::Range;
use std::path::{Path, PathBuf};

use anyhow::Result;
use compline::chart::Diagnostic;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::SettingsLayer;
use super::setting::{Origin, Setting};
use super::table;
use super::tables::{SettingTable, TABLES};
use super::tree::inside;
use super::values::{Refused, typed, typed_row};
use crate::cli::file_errors::FileErrors;
use crate::cli::read_file::read_text;

/// The name of a songbook's settings file.
pub const NAME: &str = "compline.toml";

/// The table of the folders that have settings of their own.
const FOLDERS: &str = "folder";

/// A file longer than this is no settings file.
const LONGEST: u64 = 1 << 20;

/// A settings file.
#[derive(Debug, PartialEq)]
pub struct SettingsFile {
    /// Where it is.
    pub path: PathBuf,
    own: SettingsLayer,
    /// By folder, relative to the file's.
    folders: Vec<(PathBuf, SettingsLayer)>,
}

impl SettingsFile {
    /// Reads a settings file.
    ///
    /// # Errors
    ///
    /// It can't be read; [`FileErrors`] with everything wrong in it.
    pub fn read(path: &Path) -> Result<Self> {
        let shown = path.display();
        let text = read_text(path, LONGEST)?;
        Self::of(path, &text).map_err(|problems| FileErrors::new(shown, text, problems).into())
    }

    /// The settings in a text.
    fn of(path: &Path, text: &str) -> Result<Self, Vec<Diagnostic>> {
        let (table, mistakes) = DeTable::parse_recoverable(text);
        let mut problems: Vec<Diagnostic> = mistakes.iter().map(|m| not_toml(m, text)).collect();
        let mut reader = SettingsReader {
            folder: folder_of(path),
            problems: Vec::new(),
        };
        let (own, folders) = reader.file(table.get_ref());
        problems.extend(reader.problems);
        problems.sort_by_key(|problem| problem.span.start);
        let path = path.to_owned();
        problems
            .is_empty()
            .then_some(Self { path, own, folders })
            .ok_or(problems)
    }

    /// What the file says for charts in a folder, given relative to the file's: its own settings, under
    /// those of every folder it names that holds this one, the nearest above the others.
    pub fn for_folder(&self, inside: Option<&Path>) -> SettingsLayer {
        let holds = self
            .folders
            .iter()
            .filter(|(folder, _)| inside.is_some_and(|inside| inside.starts_with(folder)));
        let mut holds: Vec<_> = holds.collect();
        holds.sort_by_key(|(folder, _)| folder.components().count());
        let over = |below: SettingsLayer, (_, layer): &(PathBuf, SettingsLayer)| layer.over(&below);
        holds.into_iter().fold(self.own.clone(), over)
    }

    /// The folders it names that are not there: their settings hold for nothing.
    pub fn no_folders(&self) -> Vec<NoFolder> {
        let home = folder_of(&self.path);
        let named = self.folders.iter().map(|(folder, _)| folder);
        let gone = named.filter(|folder| !home.join(folder).is_dir());
        gone.map(|folder| NoFolder {
            name: folder.display().to_string(),
            nearest: beside(&home.join(folder)),
        })
        .collect()
    }
}

/// A folder that a settings file names and that is not there.
#[derive(Debug, PartialEq)]
pub struct NoFolder {
    /// It, as seen from the file.
    pub name: String,
    /// The one that may be meant.
    pub nearest: Option<String>,
}

/// The folder nearest in name to one that isn't there, beside where it would be.
fn beside(path: &Path) -> Option<String> {
    let wanted = path.file_name()?.to_string_lossy().into_owned();
    let there = fs::read_dir(folder_of(path)).ok()?;
    let folders = there.flatten().filter(|entry| entry.path().is_dir());
    let mut names: Vec<String> = folders
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    nearest(&wanted, names.iter().map(String::as_str)).map(str::to_owned)
}

/// The folder a path stands in.
pub fn folder_of(path: &Path) -> &Path {
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty());
    folder.unwrap_or(Path::new("."))
}

fn not_toml(mistake: &toml::de::Error, text: &str) -> Diagnostic {
    let end = text.len();
    let span = mistake.span().unwrap_or(end..end);
    let message = format!("this is not TOML: {}", mistake.message());
    Diagnostic::error(span, message, "lines such as `low = \"C3\"`")
}

struct SettingsReader<'a> {
    folder: &'a Path,
    problems: Vec<Diagnostic>,
}

type TomlKey<'a> = Spanned<std::borrow::Cow<'a, str>>;
type TomlValue<'a> = Spanned<DeValue<'a>>;

impl SettingsReader<'_> {
    fn file(&mut self, table: &DeTable<'_>) -> (SettingsLayer, Vec<(PathBuf, SettingsLayer)>) {
        let own = self.layer(table, true);
        self.upright(table, &own);
        let mut folders = Vec::new();
        let named = table.get_key_value(FOLDERS);
        if let Some(all) = named.and_then(|(key, value)| self.table(key, value)) {
            folders = self.folders(all, &own);
        }
        (own, folders)
    }

    fn folders(
        &mut self,
        table: &DeTable<'_>,
        own: &SettingsLayer,
    ) -> Vec<(PathBuf, SettingsLayer)> {
        let mut folders = Vec::new();
        for (key, value) in table {
            let Some(settings) = self.table(key, value) else {
                continue;
            };
            let layer = self.layer(settings, false);
            self.upright(settings, &layer.over(own));
            match inside(key.get_ref()) {
                Some(path) => folders.push((path, layer)),
                None => self.refuse(
                    key.span(),
                    Refused {
                        message: format!("`{}` is not a folder below this file", key.get_ref()),
                        expected: "a folder such as \"ballads\" or \"sets/late\"".to_owned(),
                    },
                ),
            }
        }
        folders
    }

    fn layer(&mut self, table: &DeTable<'_>, whole: bool) -> SettingsLayer {
        let mut layer = SettingsLayer::default();
        for (key, value) in table {
            let name = key.get_ref().as_ref();
            let setting = table::all().find(|setting| setting.name == name);
            let rows = TABLES.into_iter().find(|table| table.name == name);
            match (setting, rows) {
                (Some(setting), _) => self.setting(setting, value, &mut layer),
                (None, Some(rows)) => self.rows(rows, (key, value), &mut layer),
                (None, None) if whole && name == FOLDERS => {}
                (None, None) => self.unknown(key),
            }
        }
        self.one_of_two(table);
        layer
    }

    fn setting(&mut self, setting: &Setting, value: &TomlValue<'_>, layer: &mut SettingsLayer) {
        let origin = Origin::FileIn(self.folder);
        let set = typed(setting, value.get_ref()).and_then(|text| {
            let refused = |message| Refused {
                message,
                expected: setting.expected(),
            };
            setting.set(layer, &text, origin).map_err(refused)
        });
        if let Err(refused) = set {
            self.refuse(value.span(), refused);
        }
    }

    fn rows(
        &mut self,
        table: &SettingTable,
        (key, value): (&TomlKey<'_>, &TomlValue<'_>),
        layer: &mut SettingsLayer,
    ) {
        let Some(rows) = self.table(key, value) else {
            return;
        };
        let known = (table.rows)();
        for (name, value) in rows {
            let row = name.get_ref().as_ref();
            if !known.contains(&row) {
                let label = meant(row, known.iter().copied(), table.what);
                let message = format!("there is no {} `{row}`", table.what);
                let problem = Diagnostic::error(name.span(), message, label);
                self.problems.push(problem.help((table.listed)()));
                continue;
            }
            let expected = (table.expected)(row);
            let set = typed_row(table.numbers, value.get_ref(), expected).and_then(|text| {
                let refused = |message| Refused {
                    message,
                    expected: expected.to_owned(),
                };
                table.set(layer, row, &text).map_err(refused)
            });
            if let Err(refused) = set {
                self.refuse(value.span(), refused);
            }
        }
    }

    fn table<'a>(
        &mut self,
        key: &TomlKey<'_>,
        value: &'a TomlValue<'_>,
    ) -> Option<&'a DeTable<'a>> {
        let table = value.get_ref().as_table();
        if table.is_none() {
            self.refuse(
                value.span(),
                Refused {
                    message: format!("`{}` is not a table here", key.get_ref()),
                    expected: "a table: a heading in brackets, and lines below it".to_owned(),
                },
            );
        }
        table
    }

    fn unknown(&mut self, key: &TomlKey<'_>) {
        let names = || table::all().map(|setting| setting.name);
        let tables = TABLES.map(|table| table.name);
        let name = key.get_ref().as_ref();
        let label = meant(name, names().chain(tables).chain([FOLDERS]), "setting");
        let known = names().collect::<Vec<_>>().join(", ");
        let tables = tables.map(|table| format!("[{table}]")).join(", ");
        let message = format!("there is no setting `{name}`");
        let help =
            format!("the settings are {known}, and the tables {tables} and [{FOLDERS}.\"NAME\"]");
        self.problems
            .push(Diagnostic::error(key.span(), message, label).help(help));
    }

    /// Two settings that say the same thing, such as a reach and a measured hand.
    fn one_of_two(&mut self, table: &DeTable<'_>) {
        for Setting {
            name, in_place_of, ..
        } in table::all()
        {
            let other = in_place_of.filter(|other| table.contains_key(*other));
            if let (Some(other), Some((key, _))) = (other, table.get_key_value(*name)) {
                let message = format!("`{other}` and `{name}` can't both be set");
                self.problems
                    .push(Diagnostic::error(key.span(), message, "one of the two"));
            }
        }
    }

    /// The range of a layer must not stand on its head.
    fn upright(&mut self, table: &DeTable<'_>, layer: &SettingsLayer) {
        let end = table.get("low").or_else(|| table.get("high"));
        if let (Some(end), Err(why)) = (end, layer.in_force()) {
            self.refuse(
                end.span(),
                Refused {
                    message: why.to_string(),
                    expected: "low must lie below high".to_owned(),
                },
            );
        }
    }

    fn refuse(&mut self, span: Range<usize>, refused: Refused) {
        let Refused { message, expected } = refused;
        self.problems
            .push(Diagnostic::error(span, message, expected));
    }
}

/// What a word may have been meant for, or else what was expected.
fn meant<'a>(word: &str, names: impl Iterator<Item = &'a str>, what: &str) -> String {
    match nearest(word, names) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("a {what}"),
    }
}

/// The name nearest to a word, if one is near.
fn nearest<'a>(word: &str, names: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let near = names.map(|name| (strsim::damerau_levenshtein(word, name), name));
    let near = near.filter(|(distance, name)| distance * 3 <= name.len());
    near.min().map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problems(text: &str) -> Vec<(String, String, String)> {
        let problems = SettingsFile::of(Path::new(NAME), text).expect_err("mistakes");
        let shown = |p: &Diagnostic| {
            (
                text[p.span.clone()].to_owned(),
                p.message.clone(),
                p.label.clone(),
            )
        };
        problems.iter().map(shown).collect()
    }

    #[test]
    fn what_the_longest_folder_says_wins_over_the_folders_around_it() {
        let text = "low = \"D3\"\nreach = 12\n[folder.\"sets\"]\nlow = \"E3\"\n\
                    [folder.\"sets/late/\"]\nreach = 13\n";
        let file = SettingsFile::of(Path::new(NAME), text).unwrap();
        let says = |folder: Option<&str>| {
            let settings = file.for_folder(folder.map(Path::new)).in_force().unwrap();
            let hand = settings.arrange.voicing.hand;
            (hand.range.low().midi(), hand.reach.to_string())
        };
        assert_eq!(says(Some("")), (50, "12".to_owned()));
        assert_eq!(says(Some("sets/early")), (52, "12".to_owned()));
        assert_eq!(says(Some("sets/late/third")), (52, "13".to_owned()));
        assert_eq!(says(Some("sets/latest")), (52, "12".to_owned()));
        assert_eq!(says(None), (50, "12".to_owned()));
    }

    #[test]
    fn every_mistake_is_told_at_its_place() {
        let text = "lw = \"C3\"\nhigh = \"H4\"\nreach = 30\ncolour = 3\nloop = \"yes\"\nleap = 200\n\
                    palette = [\"fistful\"]\ntop = \"up\"\nlimits = \"lore\"\nrules = 4\n";
        let found = problems(text);
        let marked: Vec<&str> = found.iter().map(|(marked, ..)| marked.as_str()).collect();
        let expected = [
            "lw",
            "\"H4\"",
            "30",
            "3",
            "\"yes\"",
            "200",
            "[\"fistful\"]",
            "\"up\"",
            "\"lore\"",
            "4",
        ];
        assert_eq!(marked, expected);
        assert_eq!(found[0].2, "did you mean `low`?");
        assert!(found[1].1.starts_with("`H4` is not a note"));
    }

    #[test]
    fn a_range_on_its_head_and_a_second_hand_are_told() {
        let upside = problems("high = \"C4\"\n[folder.\"low\"]\nlow = \"D4\"\n");
        assert_eq!(upside[0].0, "\"D4\"");
        assert_eq!(upside[0].1, "low, D4, would lie above high, C4");
        assert_eq!(problems("reach = 12\nhand = \"200mm\"\n")[0].0, "hand");
        assert_eq!(problems("[folder.\"../other\"]\n")[0].0, "\"../other\"");
    }

    #[test]
    fn what_is_not_toml_is_told_with_the_rest() {
        let found = problems("low = \nnonsense = 1\n");
        assert!(found[0].1.starts_with("this is not TOML"), "{found:?}");
        assert!(
            found
                .iter()
                .any(|(_, message, _)| message.contains("nonsense"))
        );
    }
}
