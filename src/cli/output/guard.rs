//! A slip of the hand must not cost anybody a file: every file that a run is about to write is held against
//! all that it reads and all else that it writes, before anything is written.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use anyhow::{Result, bail};

use super::atomic::is_device;
use crate::cli::files_read::{self, FileRead, ReadAs, real_place};
use crate::cli::settings::NAME as SETTINGS_FILE;
use crate::cli::visible::path_in_one_line;

/// The files that a run will write, by what they are behind all links; each with what is written there.
#[derive(Debug, Default)]
pub struct Guard {
    written: BTreeMap<PathBuf, String>,
}

impl Guard {
    /// Holds a file that will be written against the others.
    ///
    /// # Errors
    ///
    /// It is read, or something else is written there as well, or it is named as settings files are.
    pub fn add(&mut self, place: &Path, what: String) -> Result<()> {
        self.add_unless(place, what, |_| true)
    }

    /// As [`Guard::add`], for a record of known findings that may be read as well.
    ///
    /// # Errors
    ///
    /// As [`Guard::add`].
    pub fn add_record(&mut self, place: &Path) -> Result<()> {
        let what = "the record".to_owned();
        self.add_unless(place, what, |read| read.what > ReadAs::Record)
    }

    /// As [`Guard::add`], for a chart of which these files will be written and none at the place they are
    /// named after.
    ///
    /// # Errors
    ///
    /// As [`Guard::add`].
    pub fn add_parts(
        &mut self,
        named_after: &Path,
        mut parts: impl Iterator<Item = PathBuf>,
        what: String,
    ) -> Result<()> {
        parts.try_for_each(|part| refuse(&part, &real_place(&part), |_| true))?;
        // Parts of two charts are one file only where both are named after one.
        self.add_unless(named_after, what, |_| false)
    }

    fn add_unless(
        &mut self,
        place: &Path,
        what: String,
        kept: impl Fn(&FileRead) -> bool,
    ) -> Result<()> {
        // What is written to as it is takes the place of nothing.
        if is_device(place) {
            return Ok(());
        }
        let real = real_place(place);
        refuse(place, &real, kept)?;
        if let Some(first) = self.written.get(&real) {
            bail!(
                "{first} and {what} would both be written to {}: give one of them another name, or write \
                 them to different folders",
                path_in_one_line(place)
            );
        }
        self.written.insert(real, what);
        Ok(())
    }
}

fn refuse(place: &Path, real: &Path, kept: impl Fn(&FileRead) -> bool) -> Result<()> {
    let shown = path_in_one_line(place);
    if let Some(read) = files_read::at(real).filter(kept) {
        let original = path_in_one_line(&read.shown);
        let in_place = match read.what {
            ReadAs::Chart => " (`voice` and `tidy` rewrite charts with --in-place)",
            ReadAs::Record | ReadAs::Beside => "",
        };
        bail!("{shown} would overwrite {original}, which is read: write somewhere else{in_place}");
    }
    if place.file_name() == Some(SETTINGS_FILE.as_ref()) {
        bail!("{shown}: {SETTINGS_FILE} is the name of settings files: take another");
    }
    Ok(())
}

/// Refuses to rewrite charts in their places where one of them is read as something else as well.
///
/// # Errors
///
/// One is.
pub fn refuse_in_place<'a>(charts: impl Iterator<Item = &'a Path>) -> Result<()> {
    for chart in charts {
        refuse(chart, &real_place(chart), |read| read.what != ReadAs::Chart)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_record_may_be_written_anew_and_by_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("known.json");
        std::fs::write(&path, "{}").unwrap();
        files_read::note(&path, ReadAs::Record);
        assert!(Guard::default().add_record(&path).is_ok());
        let refused = Guard::default().add(&path, "a.chart".into()).unwrap_err();
        assert!(refused.to_string().contains("would overwrite"), "{refused}");
    }
}
