//! How a SARIF log names a chart: below the folder the check was started in where that can be.

use std::path::{Component, Path, PathBuf};

use compline::formats::Artifact;

use crate::cli::input::Source;

/// Where a chart is.
pub enum Location {
    /// Below the current folder.
    Inside(String),
    /// Elsewhere.
    Outside(String),
    /// Standard input.
    Stdin,
}

impl Location {
    /// The place of a source.
    pub fn of(source: &Source) -> Self {
        match source.path() {
            None => Self::Stdin,
            Some(path) => Self::of_path(path),
        }
    }

    fn of_path(path: &Path) -> Self {
        let leaves = path.components().any(|part| part == Component::ParentDir);
        if path.is_relative() && !leaves {
            return Self::Inside(joined(path));
        }
        let real = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        let here = std::fs::canonicalize(".").ok();
        let inside: Option<PathBuf> =
            here.and_then(|here| real.strip_prefix(here).ok().map(Path::to_owned));
        match inside {
            Some(inside) => Self::Inside(joined(&inside)),
            None => Self::Outside(joined(&real)),
        }
    }

    /// For the log.
    pub fn artifact(&self) -> Artifact<'_> {
        match self {
            Self::Inside(path) => Artifact::Relative(path),
            Self::Outside(path) => Artifact::Absolute(path),
            Self::Stdin => Artifact::Stdin,
        }
    }
}

/// The parts of a path with `/` between them, and before them where it is absolute.
fn joined(path: &Path) -> String {
    let parts = path.components().filter_map(|part| match part {
        Component::CurDir | Component::RootDir => None,
        part => Some(part.as_os_str().to_string_lossy().into_owned()),
    });
    let root = if path.is_absolute() { "/" } else { "" };
    format!("{root}{}", parts.collect::<Vec<_>>().join("/"))
}
