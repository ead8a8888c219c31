//! A song from MusicXML.

use std::borrow::Cow;
use std::collections::BTreeMap;

use super::combine::song;
use super::compressed::unpacked;
use super::measure::{Measure, State, measure};
use super::tree::{Element, XmlPiece, pieces};
use crate::formats::encoding;
use crate::formats::song::Song;
use crate::formats::unreadable::UnreadableFile;
use crate::formats::zip::is_zip;

/// The most bytes a score may have: 64 MiB.
const MOST: usize = 64 << 20;

/// A score as the file has it.
#[derive(Debug, Default)]
pub(super) struct ScoreFile {
    pub title: Option<String>,
    pub remarks: Vec<(String, String)>,
    /// The parts in the order of the list.
    pub parts: Vec<ScorePart>,
}

/// A part.
#[derive(Debug, Default)]
pub(super) struct ScorePart {
    id: String,
    pub name: String,
    pub state: State,
    pub measures: Vec<Measure>,
}

/// The song in a MusicXML file, plain or compressed. The melody is the top voice of the part that is
/// named, or of the first one with notes.
///
/// # Errors
///
/// A file that is no MusicXML or damaged; no such part; a score without chord symbols.
pub fn read(bytes: &[u8], part: Option<&str>) -> Result<Song, UnreadableFile> {
    if bytes.len() > MOST {
        return Err(UnreadableFile::new(format!(
            "this score has more than {} MiB",
            MOST >> 20
        )));
    }
    let bytes: Cow<'_, [u8]> = match is_zip(bytes) {
        true => Cow::Owned(unpacked(bytes)?),
        false => Cow::Borrowed(bytes),
    };
    let text = encoding::of_xml(&bytes)?;
    let mut whole = ScoreFile::default();
    let mut places: BTreeMap<String, usize> = BTreeMap::new();
    pieces(&text, |piece| {
        match piece {
            XmlPiece::Head(element) => head(&element, &mut whole, &mut places),
            XmlPiece::Measure(id, element) => {
                let at = *places.entry(id.clone()).or_insert_with(|| {
                    whole.parts.push(ScorePart {
                        id,
                        ..ScorePart::default()
                    });
                    whole.parts.len() - 1
                });
                if let Some(part) = whole.parts.get_mut(at) {
                    let measure = measure(&element, &mut part.state);
                    part.measures.push(measure);
                }
            }
        }
        Ok(())
    })?;
    song(whole, part)
}

fn head(element: &Element, whole: &mut ScoreFile, places: &mut BTreeMap<String, usize>) {
    match element.name.as_str() {
        "work" => {
            whole.title = whole
                .title
                .take()
                .or(element.text_of("work-title").map(str::to_owned))
        }
        "movement-title" if whole.title.is_none() => whole.title = Some(element.text.clone()),
        "identification" => identification(element, whole),
        "part-list" => {
            for listed in element.all("score-part") {
                let id = listed.attribute("id").unwrap_or_default().to_owned();
                places.insert(id.clone(), whole.parts.len());
                whole.parts.push(ScorePart {
                    id,
                    name: listed.text_of("part-name").unwrap_or_default().to_owned(),
                    ..ScorePart::default()
                });
            }
        }
        _ => {}
    }
}

fn identification(element: &Element, whole: &mut ScoreFile) {
    for creator in element.all("creator") {
        let who = creator.attribute("type").unwrap_or("composer").to_owned();
        whole.remarks.push((who, creator.text.clone()));
    }
    let fields = element.all("miscellaneous").flat_map(|all| &all.children);
    for field in fields {
        let name = field.attribute("name").unwrap_or_default().to_owned();
        whole.remarks.push((name, field.text.clone()));
    }
}

impl ScorePart {
    /// Whether it has this name, or is called so in the file.
    pub(super) fn is_called(&self, name: &str) -> bool {
        self.id == name || self.name.trim().eq_ignore_ascii_case(name.trim())
    }
}
