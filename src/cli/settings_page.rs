//! The manual page of the settings file: its keys and tables are those of the tables of settings, its example
//! the one that is to be copied.

use super::settings::{Setting, TABLES, all_settings};

/// The name of the page's file.
pub const NAME: &str = "compline.toml.5";

/// The example: a songbook's settings with every key.
const EXAMPLE: &str = include_str!("../../examples/songbook/compline.toml");

const DESCRIPTION: &str = "\
compline.toml holds the settings of the charts in its folder and below. It is written in TOML.
For each chart the nearest one in its folder or above counts, alone, up to the top of its
repository (the folder with .git). An option on the command line comes before it; --settings
names another file, and --no-settings leaves it out. Files that it names are files in its own
folder or below.
";

const FOLDERS: &str = "\
[folder.\"NAME\"] begins what else holds for the charts in that folder and below, named from the
file's own folder: any key above. Its tables are [folder.\"NAME\".rules] and so on. A folder
takes what the file and the folders above it say, and what it says itself comes before that.
";

/// The sections of the page, each with its title.
pub fn sections() -> Vec<(&'static str, String)> {
    let keys: Vec<String> = all_settings().map(key).collect();
    let tables = TABLES.iter().map(|table| {
        let rows = (table.rows)();
        let rows = rows.iter().map(|row| {
            let expected = (table.expected)(row);
            format!("    {row} = {expected}\n")
        });
        format!("[{}]\n{}", table.name, rows.collect::<String>())
    });
    vec![
        ("DESCRIPTION", DESCRIPTION.to_owned()),
        ("KEYS", keys.join("")),
        ("TABLES", tables.collect::<Vec<_>>().join("\n")),
        ("FOLDERS", FOLDERS.to_owned()),
        ("EXAMPLE", EXAMPLE.to_owned()),
    ]
}

fn key(setting: &'static Setting) -> String {
    let usual = setting.usual;
    let usual = usual.map_or_else(String::new, |usual| format!(" (unless set: {usual})"));
    let (name, expected, help) = (setting.name, setting.expected(), setting.help);
    format!("{name} = {expected}\n    {help}{usual}.\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_key_and_every_row_of_a_table_is_named() {
        let page: String = sections().into_iter().map(|(_, text)| text).collect();
        for setting in all_settings() {
            assert!(page.contains(&format!("{} = ", setting.name)));
        }
        for row in TABLES.iter().flat_map(|table| (table.rows)()) {
            assert!(page.contains(&format!("    {row} = ")), "{row}");
        }
    }
}
