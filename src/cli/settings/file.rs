//! A settings file, read: its own layer and one for each folder it names; or every mistake in it, with
//! its place.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::Result;
use compline::chart::Diagnostic;

use super::SettingsLayer;
use super::file_reader::{FileLayers, layers};
use crate::cli::file_errors::FileErrors;
use crate::cli::files_read::ReadAs;
use crate::cli::folder::folder_of;
use crate::cli::read_file::read_text;
use crate::cli::visible::path_in_one_line;

/// The name of a songbook's settings file.
pub const NAME: &str = "compline.toml";

/// A file longer than this is no settings file.
const LONGEST: u64 = 64 << 10;

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
        let shown = path_in_one_line(path);
        let text = read_text(path, LONGEST, ReadAs::Beside)?;
        Self::of(path, &text).map_err(|problems| FileErrors::new(shown, text, problems).into())
    }

    /// The settings in a text, as if it were the file at a path.
    ///
    /// # Errors
    ///
    /// Everything wrong in it.
    pub fn of(path: &Path, text: &str) -> Result<Self, Vec<Diagnostic>> {
        let FileLayers { own, folders } = layers(text, folder_of(path))?;
        let path = path.to_owned();
        Ok(Self { path, own, folders })
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
            name: path_in_one_line(folder),
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
    compline::chart::nearest(&wanted, names.iter().map(String::as_str)).map(str::to_owned)
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
