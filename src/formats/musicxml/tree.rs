//! XML as small trees, a piece of the score at a time.
//!
//! A score is read measure by measure, so that memory doesn't grow with it more than the notes do.
//! Entities are never expanded: a reference to any but the five of XML itself is an error.

use quick_xml::Reader;
use quick_xml::escape::resolve_predefined_entity;
use quick_xml::events::{BytesStart, Event};

use crate::formats::encoding;
use crate::formats::unreadable::UnreadableFile;

/// How deep elements may lie in each other.
const DEEPEST: usize = 40;

/// How many elements a piece may have. A crowded page has a few thousand.
const MOST: usize = 100_000;

/// An element with everything in it.
#[derive(Debug, Default)]
pub(super) struct Element {
    pub name: String,
    pub attributes: Vec<(String, String)>,
    /// The text directly in it.
    pub text: String,
    pub children: Vec<Self>,
}

impl Element {
    /// The first element of this name in it.
    pub(super) fn child(&self, name: &str) -> Option<&Self> {
        self.children.iter().find(|child| child.name == name)
    }

    /// The elements of this name in it.
    pub(super) fn all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a Self> {
        self.children.iter().filter(move |child| child.name == name)
    }

    /// Whether it has an element of this name.
    pub(super) fn has(&self, name: &str) -> bool {
        self.child(name).is_some()
    }

    /// The text of its first element of this name, without the blanks around it.
    pub(super) fn text_of(&self, name: &str) -> Option<&str> {
        self.child(name).map(|child| child.text.trim())
    }

    /// The same as a number.
    pub(super) fn number<T: std::str::FromStr>(&self, name: &str) -> Option<T> {
        self.text_of(name)?.parse().ok()
    }

    /// An attribute's value.
    pub(super) fn attribute(&self, name: &str) -> Option<&str> {
        let mut attributes = self.attributes.iter();
        attributes
            .find(|(known, _)| known == name)
            .map(|(_, value)| value.as_str())
    }
}

/// What a score is taken apart into.
pub(super) enum XmlPiece {
    /// Anything that stands before the music.
    Head(Element),
    /// A measure of the part with this name.
    Measure(String, Element),
}

/// Takes a score apart, in the order of the file.
///
/// # Errors
///
/// Text that isn't XML, or whose first element is none of a score's; a file that is cut off; entities;
/// elements too deep or too many. And what `each` finds wrong.
pub(super) fn pieces(
    text: &str,
    mut each: impl FnMut(XmlPiece) -> Result<(), UnreadableFile>,
) -> Result<(), UnreadableFile> {
    let mut reader = Reader::from_str(text);
    let root = root(&mut reader)?;
    let by_part = match root.as_str() {
        "score-partwise" => true,
        "score-timewise" => false,
        "opus" => {
            return Err(UnreadableFile::new(
                "this is a list of scores, and no score",
            ));
        }
        other => {
            let why = format!("this is XML, and no score: its first element is `{other}`");
            return Err(UnreadableFile::new(why).help("a MusicXML file was expected"));
        }
    };
    let mut part: Option<String> = None;
    loop {
        match event(&mut reader)? {
            Event::Start(start) if by_part && part.is_none() && name(&start) == "part" => {
                part = Some(attribute(&start, "id")?);
            }
            Event::Start(start) => {
                let element = element(&mut reader, &start)?;
                match (&part, element.name.as_str()) {
                    (Some(part), "measure") => each(XmlPiece::Measure(part.clone(), element))?,
                    (None, "measure") => timewise(element, &mut each)?,
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
    loop {
        match event(&mut reader)? {
            Event::Start(start) => {
                let container = element(&mut reader, &start)?;
                let file = container
                    .child("rootfiles")
                    .and_then(|files| files.child("rootfile"));
                return Ok(file
                    .and_then(|file| file.attribute("full-path"))
                    .map(str::to_owned));
            }
            Event::Eof => return Ok(None),
            _ => {}
        }
    }
}

/// A measure that has parts in it.
fn timewise(
    measure: Element,
    each: &mut impl FnMut(XmlPiece) -> Result<(), UnreadableFile>,
) -> Result<(), UnreadableFile> {
    let (name, attributes) = (measure.name, measure.attributes);
    for part in measure
        .children
        .into_iter()
        .filter(|child| child.name == "part")
    {
        let id = part.attribute("id").unwrap_or_default().to_owned();
        let element = Element {
            name: name.clone(),
            attributes: attributes.clone(),
            ..part
        };
        each(XmlPiece::Measure(id, element))?;
    }
    Ok(())
}

fn cut_off() -> UnreadableFile {
    UnreadableFile::new("this score is cut off: its last element is never closed")
}

fn root(reader: &mut Reader<&[u8]>) -> Result<String, UnreadableFile> {
    loop {
        match event(reader)? {
            Event::Start(start) => return Ok(name(&start)),
            Event::Empty(start) => {
                let why = format!(
                    "this score is empty: there is nothing in `{}`",
                    name(&start)
                );
                return Err(UnreadableFile::new(why));
            }
            Event::Eof => return Err(UnreadableFile::new("this is no XML: it has no element")),
            _ => {}
        }
    }
}

fn event<'a>(reader: &mut Reader<&'a [u8]>) -> Result<Event<'a>, UnreadableFile> {
    reader.read_event().map_err(|error| {
        let at = reader.error_position();
        UnreadableFile::new(format!("this is no sound XML: byte {at}: {error}"))
    })
}

fn name(start: &BytesStart<'_>) -> String {
    // Some programs put all names into a namespace.
    start.local_name().into_inner().to_owned()
}

fn attribute(start: &BytesStart<'_>, name: &str) -> Result<String, UnreadableFile> {
    let found = attributes(start)?
        .into_iter()
        .find(|(known, _)| known == name);
    Ok(found.map(|(_, value)| value).unwrap_or_default())
}

fn attributes(start: &BytesStart<'_>) -> Result<Vec<(String, String)>, UnreadableFile> {
    let mut attributes = Vec::new();
    for attribute in start.attributes() {
        let bad =
            |why: String| UnreadableFile::new(format!("an attribute of `{}`: {why}", name(start)));
        let attribute = attribute.map_err(|error| bad(error.to_string()))?;
        let value =
            quick_xml::escape::unescape(&attribute.value).map_err(|_| entity(&attribute.value))?;
        attributes.push((attribute.key.as_ref().to_owned(), value.into_owned()));
    }
    Ok(attributes)
}

fn entity(name: &str) -> UnreadableFile {
    let name: String = name.chars().take(20).collect();
    UnreadableFile::new(format!(
        "`{name}` refers to an entity; entities of a file's own are not read"
    ))
}

/// The element that has been started, with everything up to its end.
fn element(reader: &mut Reader<&[u8]>, start: &BytesStart<'_>) -> Result<Element, UnreadableFile> {
    let mut open = vec![begun(start)?];
    let mut count = 0;
    loop {
        let event = event(reader)?;
        let done = match event {
            Event::Start(start) => {
                open.push(begun(&start)?);
                count += 1;
                None
            }
            Event::Empty(start) => {
                count += 1;
                Some(begun(&start)?)
            }
            Event::End(_) => open.pop(),
            Event::Text(text) => {
                add_text(&mut open, &text.xml10_content());
                None
            }
            Event::CData(text) => {
                add_text(&mut open, &text);
                None
            }
            Event::GeneralRef(reference) => {
                let sign = reference
                    .resolve_char_ref()
                    .map_err(|_| entity(&reference))?;
                match (sign, resolve_predefined_entity(&reference)) {
                    (Some(sign), _) => add_text(&mut open, sign.encode_utf8(&mut [0; 4])),
                    (None, Some(known)) => add_text(&mut open, known),
                    (None, None) => return Err(entity(&reference)),
                }
                None
            }
            Event::Eof => return Err(cut_off()),
            _ => None,
        };
        if open.len() > DEEPEST || count > MOST {
            return Err(UnreadableFile::new(format!(
                "this is no score that anybody wrote: an element has more than {MOST} others in it, or \
                 more than {DEEPEST} in each other"
            )));
        }
        if let Some(done) = done {
            match open.last_mut() {
                Some(parent) => parent.children.push(done),
                None => return Ok(done),
            }
        }
    }
}

fn begun(start: &BytesStart<'_>) -> Result<Element, UnreadableFile> {
    Ok(Element {
        name: name(start),
        attributes: attributes(start)?,
        ..Element::default()
    })
}

fn add_text(open: &mut [Element], text: &str) {
    if let Some(element) = open.last_mut().filter(|_| !text.trim().is_empty()) {
        element.text.push_str(text);
    }
}
