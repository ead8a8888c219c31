//! A score as a MusicXML file has it: what is known of its parts, and their measures.

use std::borrow::Cow;
use std::collections::BTreeMap;

use super::measure::{Measure, MeasureState, measure};
use super::pieces::{XmlPiece, pieces};
use super::tree::Element;
use crate::chart::sizes::{MOST_BARS, MOST_MEASURES};
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
        let mut measures = 0;
        pieces(text, |piece| {
            match piece {
                XmlPiece::Head(element) => head(element, &mut whole, &mut places),
                XmlPiece::Measure {
                    part,
                    number,
                    inside,
                } => {
                    let at = match places.get(part) {
                        Some(at) => *at,
                        None => whole.add_part(part, "", &mut places),
                    };
                    measures += 1;
                    if let Some(part) = whole.parts.get_mut(at) {
                        part.room(measures)?;
                        let measure = measure(number.as_deref(), inside, &mut part.state);
                        part.measures.push(measure);
                    }
                }
            }
            Ok(())
        })?;
        Ok(whole)
    }

    /// One more part, and its place among them.
    fn add_part(&mut self, id: &str, name: &str, places: &mut BTreeMap<String, usize>) -> usize {
        places.insert(id.to_owned(), self.parts.len());
        self.parts.push(ScorePart {
            id: id.to_owned(),
            name: name.to_owned(),
            ..ScorePart::default()
        });
        self.parts.len() - 1
    }
}

impl ScorePart {
    /// Whether there is room for one more measure, which makes so many of them in all parts.
    ///
    /// # Errors
    ///
    /// There is none.
    fn room(&self, measures: usize) -> Result<(), UnreadableFile> {
        let why = if self.measures.len() >= MOST_BARS {
            format!("this score has a part of more than {MOST_BARS} measures")
        } else if measures > MOST_MEASURES {
            format!("the parts of this score have more than {MOST_MEASURES} measures together")
        } else {
            return Ok(());
        };
        Err(UnreadableFile::new(why))
    }

    /// Whether it has this name, or is called so in the file.
    pub(super) fn is_called(&self, name: &str) -> bool {
        self.id == name || self.name.trim().eq_ignore_ascii_case(name.trim())
    }
}

fn head(element: Element<'_>, whole: &mut ScoreFile, places: &mut BTreeMap<String, usize>) {
    match element.name() {
        "work" => {
            let title = element.text_of("work-title");
            whole.title = whole.title.take().or(title.map(str::to_owned));
        }
        "movement-title" if whole.title.is_none() => whole.title = Some(element.text().to_owned()),
        "identification" => identification(element, whole),
        "part-list" => {
            for listed in element.all("score-part") {
                let id = listed.attribute("id").unwrap_or_default();
                let name = listed.text_of("part-name").unwrap_or_default();
                whole.add_part(&id, name, places);
            }
        }
        _ => {}
    }
}

fn identification(element: Element<'_>, whole: &mut ScoreFile) {
    let mut remark = |name: Option<Cow<'_, str>>, otherwise: &str, text: &str| {
        let name = name.map_or_else(|| otherwise.to_owned(), Cow::into_owned);
        whole.remarks.push((name, text.to_owned()));
    };
    for creator in element.all("creator") {
        remark(creator.attribute("type"), "composer", creator.text());
    }
    for field in element.all("miscellaneous").flat_map(Element::children) {
        remark(field.attribute("name"), "", field.text());
    }
}
