//! The folder a path stands in.

use std::path::Path;

/// The folder a path stands in.
pub fn folder_of(path: &Path) -> &Path {
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty());
    folder.unwrap_or(Path::new("."))
}
