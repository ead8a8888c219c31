//! The text of a settings file, read into layers; every mistake in it is told at its place.

use std::borrow::Cow;
use std::ops::Range;
use std::path::{Path, PathBuf};

use compline::chart::Diagnostic;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::SettingsLayer;
use super::nearest::meant;
use super::setting::{Setting, ValueOrigin};
use super::table;
use super::tables::{SettingTable, TABLES};
use super::tree::inside;
use super::values::{Refused, typed, typed_row};

/// The table of the folders that have settings of their own.
const FOLDERS: &str = "folder";

/// Of a longer text only the first place is told where it is no TOML: the parser keeps a copy of the text for
/// each, so that a long file of nothing but mistakes would take it many seconds.
const LONGEST_MISTAKEN: usize = 4 << 10;

/// What a settings file says.
#[derive(Debug, Default)]
pub struct FileLayers {
    /// For all its charts.
    pub own: SettingsLayer,
    /// For those of a folder, relative to the file's.
    pub folders: Vec<(PathBuf, SettingsLayer)>,
}

/// The layers in a text; files that it names are looked for in this folder.
///
/// # Errors
///
/// Every mistake in it.
pub fn layers(text: &str, folder: &Path) -> Result<FileLayers, Vec<Diagnostic>> {
    let (table, mut problems) = match DeTable::parse(text) {
        Err(first) if text.len() > LONGEST_MISTAKEN => return Err(vec![not_toml(&first, text)]),
        Err(_) => recovered(text),
        Ok(table) => (table, Vec::new()),
    };
    let mut reader = SettingsReader {
        folder,
        problems: Vec::new(),
    };
    let layers = reader.file(table.get_ref());
    problems.extend(reader.problems);
    problems.sort_by_key(|problem| problem.span.start);
    problems.is_empty().then_some(layers).ok_or(problems)
}

/// What can be read of a text with mistakes, and the mistakes.
fn recovered(text: &str) -> (Spanned<DeTable<'_>>, Vec<Diagnostic>) {
    let (table, mistakes) = DeTable::parse_recoverable(text);
    let problems = mistakes.iter().map(|mistake| not_toml(mistake, text));
    (table, problems.collect())
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

type TomlKey<'a> = Spanned<Cow<'a, str>>;
type TomlValue<'a> = Spanned<DeValue<'a>>;

impl SettingsReader<'_> {
    fn file(&mut self, table: &DeTable<'_>) -> FileLayers {
        let own = self.layer(table, true);
        self.upright(table, &own);
        let mut folders = Vec::new();
        let named = table.get_key_value(FOLDERS);
        if let Some(all) = named.and_then(|(key, value)| self.table(key, value)) {
            folders = self.folders(all, &own);
        }
        FileLayers { own, folders }
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
        let origin = ValueOrigin::FileIn(self.folder);
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
