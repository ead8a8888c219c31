//! A score taken apart, a piece at a time, so that memory grows with its notes and not with its XML.

use std::borrow::Cow;

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

use super::tree::{Element, Tree, checked, cut_off, event};
use crate::formats::encoding;
use crate::formats::unreadable::UnreadableFile;

/// What a score is taken apart into.
pub(super) enum XmlPiece<'t> {
    /// Anything that stands before the music.
    Head(Element<'t>),
    /// A measure of a part.
    Measure {
        /// The name of the part in the file.
        part: &'t str,
        /// What the file calls the measure.
        number: Option<Cow<'t, str>>,
        /// What has the notes in it.
        inside: Element<'t>,
    },
}

/// Takes a score apart, in the order of the file.
///
/// # Errors
///
/// Text that isn't XML, or whose first element is none of a score's; a file that is cut off; entities;
/// elements too deep or too many. And what `each` finds wrong.
pub(super) fn pieces(
    text: &str,
    mut each: impl FnMut(XmlPiece<'_>) -> Result<(), UnreadableFile>,
) -> Result<(), UnreadableFile> {
    let mut reader = Reader::from_str(text);
    let by_part = by_part(&root(&mut reader)?)?;
    let mut tree = Tree::default();
    let mut part: Option<String> = None;
    loop {
        match event(&mut reader)? {
            Event::Start(start) if by_part && part.is_none() && is(&start, "part") => {
                part = Some(id(&start)?);
            }
            Event::Start(start) => {
                let element = tree.fill(&mut reader, start)?;
                match (&part, element.name()) {
                    (Some(part), "measure") => each(XmlPiece::Measure {
                        part,
                        number: element.attribute("number"),
                        inside: element,
                    })?,
                    (None, "measure") => by_measure(element, &mut each)?,
                    _ => each(XmlPiece::Head(element))?,
                }
            }
            Event::End(_) if part.take().is_some() => {}
            Event::End(_) => return Ok(()),
            Event::Eof => return Err(cut_off()),
            _ => {}
        }
    }
}

/// The first file that a container lists.
///
/// # Errors
///
/// A container that is no sound XML.
pub(super) fn root_file(bytes: &[u8]) -> Result<Option<String>, UnreadableFile> {
    let text = encoding::of_xml(bytes)?;
    let mut reader = Reader::from_str(&text);
    let mut tree = Tree::default();
    loop {
        match event(&mut reader)? {
            Event::Start(start) => {
                let container = tree.fill(&mut reader, start)?;
                let files = container.child("rootfiles");
                let file = files.and_then(|files| files.child("rootfile"));
                let path = file.and_then(|file| file.attribute("full-path"));
                return Ok(path.map(Cow::into_owned));
            }
            Event::Eof => return Ok(None),
            _ => {}
        }
    }
}

/// The measures of a score that goes measure by measure, each with the parts in it.
fn by_measure(
    measure: Element<'_>,
    each: &mut impl FnMut(XmlPiece<'_>) -> Result<(), UnreadableFile>,
) -> Result<(), UnreadableFile> {
    for part in measure.all("part") {
        each(XmlPiece::Measure {
            part: &part.attribute("id").unwrap_or_default(),
            number: measure.attribute("number"),
            inside: part,
        })?;
    }
    Ok(())
}

/// Whether a score with this first element goes part by part.
fn by_part(root: &str) -> Result<bool, UnreadableFile> {
    match root {
        "score-partwise" => Ok(true),
        "score-timewise" => Ok(false),
        "opus" => Err(UnreadableFile::new(
            "this is a list of scores, and no score",
        )),
        other => {
            let why = format!("this is XML, and no score: its first element is `{other}`");
            Err(UnreadableFile::new(why).help("a MusicXML file was expected"))
        }
    }
}

fn root(reader: &mut Reader<&[u8]>) -> Result<String, UnreadableFile> {
    let name = |start: &BytesStart<'_>| start.local_name().into_inner().to_owned();
    loop {
        match event(reader)? {
            Event::Start(start) => return Ok(name(&start)),
            Event::Empty(start) => {
                let name = name(&start);
                let why = format!("this score is empty: there is nothing in `{name}`");
                return Err(UnreadableFile::new(why));
            }
            Event::Eof => return Err(UnreadableFile::new("this is no XML: it has no element")),
            _ => {}
        }
    }
}

fn is(start: &BytesStart<'_>, name: &str) -> bool {
    start.local_name().into_inner() == name
}

fn id(part: &BytesStart<'_>) -> Result<String, UnreadableFile> {
    checked(part)?;
    let mut attributes = part.attributes().flatten();
    let id = attributes.find(|attribute| attribute.key.as_ref() == "id");
    let value = id.map(|id| quick_xml::escape::unescape(&id.value).map(Cow::into_owned));
    Ok(value.and_then(Result::ok).unwrap_or_default())
}
