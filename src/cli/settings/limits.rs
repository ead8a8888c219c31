//! A table of low-interval limits by its name, or from a file.

use std::path::Path;

use anyhow::{Context, Result, anyhow, bail};
use compline::hand::LimitTable;

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
    table(text, Path::new(text)).context("--limits")
}

/// The table with this name, or else in the file at `path`.
///
/// # Errors
///
/// As [`limits`], without the name of the option.
pub fn table(name: &str, path: &Path) -> Result<LimitTable> {
    if let Some(table) = LimitTable::named(name) {
        return Ok(table);
    }
    if !path.exists() {
        let names = LimitTable::OWN.map(|(name, _)| name).join(", ");
        bail!("there is no table `{name}` ({names}) and no such file");
    }
    let shown = path_in_one_line(path);
    let source = read_text(path, LONGEST)?;
    LimitTable::read(&source).map_err(|mistakes| {
        let lines: Vec<String> = mistakes
            .iter()
            .map(|mistake| format!("{shown}:{}: {mistake}", mistake.line))
            .collect();
        anyhow!("the table can't be used\n{}", lines.join("\n"))
    })
}
