//! A table of low-interval limits by its name, or from a file.

use std::path::Path;

use anyhow::{Context, Result, anyhow, bail};
use compline::hand::{LimitMistake, LimitTable};

use crate::cli::files_read::ReadAs;
use crate::cli::read_file::read_text;
use crate::cli::visible::path_in_one_line;

/// A file longer than this is no table of limits.
const LONGEST: u64 = 64 << 10;

/// The table with this name, or in this file, as `--limits` asks for it.
///
/// # Errors
///
/// No table of this name and no such file, or a file with mistakes: all of them, with their lines.
pub fn limits(text: &str) -> Result<LimitTable> {
    table(text, Path::new(text), Quoting::Lines).context("--limits")
}

/// What is shown of a file that is no table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quoting {
    /// Its lines: whoever named it may read it.
    Lines,
    /// Where they are and what was expected. A settings file that came with a songbook can name a file
    /// that has nothing to do with it, and what is in that one is not to be printed.
    Places,
}

/// The table with this name, or else in the file at `path`.
///
/// # Errors
///
/// As [`limits`], without the name of the option.
pub fn table(name: &str, path: &Path, quoting: Quoting) -> Result<LimitTable> {
    if let Some(table) = LimitTable::named(name) {
        return Ok(table);
    }
    if !path.exists() {
        let names = LimitTable::OWN.map(|(name, _)| name).join(", ");
        bail!("there is no table `{name}` ({names}) and no such file");
    }
    let shown = path_in_one_line(path);
    let source = read_text(path, LONGEST, ReadAs::Beside)?;
    LimitTable::read(&source).map_err(|mistakes| match quoting {
        Quoting::Lines => {
            let lines: Vec<String> = mistakes
                .iter()
                .map(|mistake| format!("{shown}:{}: {mistake}", mistake.line))
                .collect();
            anyhow!("the table can't be used\n{}", lines.join("\n"))
        }
        Quoting::Places => unquoted(&shown, &mistakes),
    })
}

fn unquoted(shown: &str, mistakes: &[LimitMistake]) -> anyhow::Error {
    let line = mistakes.first().map_or(1, |mistake| mistake.line);
    anyhow!(
        "{shown} is no table of limits: line {line} is not an interval and a note, such as `m3 C3`; \
         --limits {shown} shows its lines"
    )
}
