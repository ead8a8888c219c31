//! Compressed MusicXML: the score in the archive.

use super::pieces::root_file;
use crate::formats::unreadable::UnreadableFile;
use crate::formats::zip::Zip;

/// Where an archive lists its scores.
const CONTAINER: &str = "META-INF/container.xml";

/// The score of a compressed file: the first that its container lists. Where a container is missing, the
/// first score by its name.
///
/// # Errors
///
/// A damaged archive; one without a score.
pub(super) fn unpacked(bytes: &[u8]) -> Result<Vec<u8>, UnreadableFile> {
    let zip = Zip::open(bytes)?;
    let listed = zip.names().any(|name| name == CONTAINER);
    let name = match listed {
        true => root_file(&zip.file(CONTAINER)?)?,
        false => by_name(&zip),
    };
    let none = || UnreadableFile::new("this compressed file has no score in it");
    zip.file(&name.ok_or_else(none)?)
}

fn by_name(zip: &Zip<'_>) -> Option<String> {
    let score = |name: &&str| name.ends_with(".musicxml") || name.ends_with(".xml");
    zip.names().find(score).map(str::to_owned)
}
