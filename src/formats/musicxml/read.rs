//! A song from MusicXML.

use std::borrow::Cow;

use super::combine::song;
use super::compressed::unpacked;
use super::score_file::ScoreFile;
use crate::chart::sizes::MOST_FOREIGN_BYTES;
use crate::formats::encoding;
use crate::formats::song::Song;
use crate::formats::unreadable::UnreadableFile;
use crate::formats::zip::is_zip;

/// The song in a MusicXML file, plain or compressed. The melody is the top voice of the part that is
/// named, or of the first one with notes.
///
/// # Errors
///
/// A file that is no MusicXML or damaged; no such part; a score without chord symbols.
pub fn read(bytes: &[u8], part: Option<&str>) -> Result<Song, UnreadableFile> {
    if bytes.len() > MOST_FOREIGN_BYTES {
        return Err(UnreadableFile::new(format!(
            "this score has more than {} MiB",
            MOST_FOREIGN_BYTES >> 20
        )));
    }
    let bytes: Cow<'_, [u8]> = match is_zip(bytes) {
        true => Cow::Owned(unpacked(bytes)?),
        false => Cow::Borrowed(bytes),
    };
    let text = encoding::of_xml(&bytes)?;
    song(ScoreFile::of(&text)?, part)
}
