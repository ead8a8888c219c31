//! XML as small trees, an element with everything in it at a time.
//!
//! The elements lie in one list in the order they begin, and borrow their names and texts from the file. A
//! tree is filled again and again, so that reading a score allocates next to nothing.
//! Entities are never expanded: a reference to any but the five of XML itself is an error.

use std::borrow::Cow;
use std::ops::Range;

use quick_xml::Reader;
use quick_xml::escape::{resolve_predefined_entity, unescape};
use quick_xml::events::{BytesRef, BytesStart, BytesText, Event};

use crate::chart::sizes::LONGEST_TEXT;
use crate::formats::unreadable::UnreadableFile;

/// How deep elements may lie in each other.
const DEEPEST: usize = 40;

/// How many elements a tree may have. A crowded page has a few thousand.
const MOST: usize = 100_000;

/// An element with everything in it.
#[derive(Debug, Default)]
pub(super) struct Tree<'a> {
    nodes: Vec<Node<'a>>,
    /// The elements that are not closed yet.
    open: Vec<usize>,
}

#[derive(Debug)]
struct Node<'a> {
    start: BytesStart<'a>,
    /// Where its name stands in what starts it, without a namespace.
    name: Range<usize>,
    /// The text directly in it.
    text: Cow<'a, str>,
    /// Behind the last element in it.
    end: usize,
}

/// An element of a tree.
#[derive(Debug, Clone, Copy)]
pub(super) struct Element<'t> {
    tree: &'t Tree<'t>,
    at: usize,
}

impl<'t> Element<'t> {
    fn node(self) -> Option<&'t Node<'t>> {
        self.tree.nodes.get(self.at)
    }

    /// Its name, without a namespace.
    pub(super) fn name(self) -> &'t str {
        let name = |node: &'t Node<'t>| node.start.get(node.name.clone());
        self.node().and_then(name).unwrap_or_default()
    }

    /// The text directly in it.
    pub(super) fn text(self) -> &'t str {
        self.node().map_or("", |node| &node.text)
    }

    /// The elements directly in it.
    pub(super) fn children(self) -> impl Iterator<Item = Self> + 't {
        let end = self.node().map_or(0, |node| node.end);
        let mut next = self.at + 1;
        std::iter::from_fn(move || {
            let child = Self {
                tree: self.tree,
                at: next,
            };
            next = child.node()?.end;
            (child.at < end).then_some(child)
        })
    }

    /// The first element of this name in it.
    pub(super) fn child(self, name: &str) -> Option<Self> {
        self.children().find(|child| child.name() == name)
    }

    /// The elements of this name in it.
    pub(super) fn all(self, name: &'t str) -> impl Iterator<Item = Self> + 't {
        self.children().filter(move |child| child.name() == name)
    }

    /// Whether it has an element of this name.
    pub(super) fn has(self, name: &str) -> bool {
        self.child(name).is_some()
    }

    /// The text of its first element of this name, without the blanks around it.
    pub(super) fn text_of(self, name: &str) -> Option<&'t str> {
        self.child(name).map(|child| child.text().trim())
    }

    /// The same as a number.
    pub(super) fn number<T: std::str::FromStr>(self, name: &str) -> Option<T> {
        self.text_of(name)?.parse().ok()
    }

    /// An attribute's value.
    pub(super) fn attribute(self, name: &str) -> Option<Cow<'t, str>> {
        let mut attributes = self.node()?.start.attributes();
        let found = attributes
            .with_checks(false)
            .flatten()
            .find(|attribute| attribute.key.as_ref() == name)?;
        // That it can be unescaped was seen when the tree was filled.
        let unescaped = match unescape(&found.value) {
            Ok(Cow::Owned(value)) => Some(value),
            _ => None,
        };
        Some(unescaped.map_or(found.value, Cow::Owned))
    }

    /// Whether an attribute has this value.
    pub(super) fn says(self, name: &str, value: &str) -> bool {
        self.attribute(name).is_some_and(|said| said == value)
    }
}

impl<'a> Tree<'a> {
    /// Fills the tree with the element that has been started, up to its end.
    ///
    /// # Errors
    ///
    /// What is no sound XML; a file that is cut off; entities; elements too deep or too many.
    pub(super) fn fill(
        &mut self,
        reader: &mut Reader<&'a [u8]>,
        start: BytesStart<'a>,
    ) -> Result<Element<'_>, UnreadableFile> {
        self.nodes.clear();
        self.open.clear();
        self.begin(start)?;
        while !self.open.is_empty() {
            match event(reader)? {
                Event::Start(start) => self.begin(start)?,
                Event::Empty(start) => {
                    self.begin(start)?;
                    self.end();
                }
                Event::End(_) => self.end(),
                Event::Text(text) => self.text(unified(text))?,
                Event::CData(text) => self.text(text.into_inner())?,
                Event::GeneralRef(reference) => self.text(resolved(&reference)?)?,
                Event::Eof => return Err(cut_off()),
                _ => {}
            }
        }
        Ok(Element { tree: self, at: 0 })
    }

    fn begin(&mut self, start: BytesStart<'a>) -> Result<(), UnreadableFile> {
        if self.open.len() >= DEEPEST || self.nodes.len() > MOST {
            return Err(UnreadableFile::new(format!(
                "this is no score that anybody wrote: an element has more than {MOST} others in it, or \
                 more than {DEEPEST} in each other"
            )));
        }
        checked(&start)?;
        self.open.push(self.nodes.len());
        let whole = start.name().as_ref().len();
        // Some programs put all names into a namespace.
        let name = whole - start.local_name().into_inner().len()..whole;
        self.nodes.push(Node {
            start,
            name,
            text: Cow::Borrowed(""),
            end: 0,
        });
        Ok(())
    }

    fn end(&mut self) {
        let end = self.nodes.len();
        let node = self.open.pop().and_then(|at| self.nodes.get_mut(at));
        if let Some(node) = node {
            node.end = end;
        }
    }

    fn text(&mut self, text: Cow<'a, str>) -> Result<(), UnreadableFile> {
        let node = self.open.last().and_then(|at| self.nodes.get_mut(*at));
        let so_far = node.as_ref().map_or(0, |node| node.text.len());
        if so_far + text.len() > LONGEST_TEXT {
            let most = LONGEST_TEXT >> 10;
            let why =
                format!("this score has a text of more than {most} KiB, which no chart can hold");
            return Err(UnreadableFile::new(why));
        }
        // Blanks between elements say nothing; those between two references are part of the text.
        match node {
            None => {}
            Some(node) if !node.text.is_empty() => node.text.to_mut().push_str(&text),
            Some(_) if text.trim().is_empty() => {}
            Some(node) => node.text = text,
        }
        Ok(())
    }
}

/// The next thing in the file.
///
/// # Errors
///
/// What is no sound XML.
pub(super) fn event<'a>(reader: &mut Reader<&'a [u8]>) -> Result<Event<'a>, UnreadableFile> {
    reader.read_event().map_err(|error| {
        let at = reader.error_position();
        UnreadableFile::new(format!("this is no sound XML: byte {at}: {error}"))
    })
}

/// A file that ends within an element.
pub(super) fn cut_off() -> UnreadableFile {
    UnreadableFile::new("this score is cut off: its last element is never closed")
}

/// Sees that an element's attributes are sound.
///
/// # Errors
///
/// An attribute that is no XML, that is there twice, or that refers to an entity.
pub(super) fn checked(start: &BytesStart<'_>) -> Result<(), UnreadableFile> {
    for attribute in start.attributes() {
        let attribute = attribute.map_err(|error| {
            let name = start.local_name().into_inner();
            UnreadableFile::new(format!("an attribute of `{name}`: {error}"))
        })?;
        unescape(&attribute.value).map_err(|_| entity(&attribute.value))?;
    }
    Ok(())
}

/// Text whose lines end in line feeds, as XML 1.0 has them.
fn unified(text: BytesText<'_>) -> Cow<'_, str> {
    match text.contains('\r') {
        true => Cow::Owned(text.xml10_content().into_owned()),
        false => text.into_inner(),
    }
}

fn resolved(reference: &BytesRef<'_>) -> Result<Cow<'static, str>, UnreadableFile> {
    let sign = reference
        .resolve_char_ref()
        .map_err(|_| entity(reference))?;
    match (sign, resolve_predefined_entity(reference)) {
        (Some(sign), _) => Ok(Cow::Owned(sign.to_string())),
        (None, Some(known)) => Ok(Cow::Borrowed(known)),
        (None, None) => Err(entity(reference)),
    }
}

fn entity(name: &str) -> UnreadableFile {
    let name: String = name.chars().take(20).collect();
    UnreadableFile::new(format!(
        "`{name}` refers to an entity; entities of a file's own are not read"
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blanks_between_references_are_kept_and_those_between_elements_are_not() {
        let text = "<a>\n <b> one &lt;&amp;&gt; &lt;b&gt; &amp; c</b>\n <c/> </a>";
        let mut reader = Reader::from_str(text);
        let Ok(Event::Start(start)) = event(&mut reader) else {
            panic!("no element");
        };
        let mut tree = Tree::default();
        let element = tree.fill(&mut reader, start).unwrap();
        assert_eq!(element.text_of("b"), Some("one <&> <b> & c"));
        assert_eq!(element.text(), "");
    }
}
