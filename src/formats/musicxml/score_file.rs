//! A score as a MusicXML file has it: what is known of its parts, and their measures.

use std::collections::BTreeMap;

use super::measure::{Measure, MeasureState, measure};
use super::tree::{Element, XmlPiece, pieces};
use crate::formats::unreadable::UnreadableFile;

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
    pub state: MeasureState,
    pub measures: Vec<Measure>,
}

impl ScoreFile {
    /// The score in the text of a file.
    ///
    /// # Errors
    ///
    /// Text that is no MusicXML, or damaged.
    pub fn of(text: &str) -> Result<Self, UnreadableFile> {
        let mut whole = Self::default();
        let mut places: BTreeMap<String, usize> = BTreeMap::new();
        pieces(text, |piece| {
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
        Ok(whole)
    }
}

impl ScorePart {
    /// Whether it has this name, or is called so in the file.
    pub(super) fn is_called(&self, name: &str) -> bool {
        self.id == name || self.name.trim().eq_ignore_ascii_case(name.trim())
    }
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
