//! XML as text, an element at a time.

use quick_xml::escape::escape;

/// Text that grows by elements.
#[derive(Debug, Default)]
pub(super) struct Xml {
    text: String,
    depth: usize,
}

/// An attribute: its name and its value.
pub(super) type Attribute<'a> = (&'a str, &'a str);

impl Xml {
    /// A document with this line before its first element.
    pub(super) fn document(doctype: &str) -> Self {
        Self {
            text: format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{doctype}\n"),
            depth: 0,
        }
    }

    /// The text.
    pub(super) fn into_text(self) -> String {
        self.text
    }

    /// An element with others in it, which `inside` writes.
    pub(super) fn within(
        &mut self,
        name: &str,
        attributes: &[Attribute<'_>],
        inside: impl FnOnce(&mut Self),
    ) {
        self.begin(name, attributes);
        self.text.push_str(">\n");
        self.depth += 1;
        inside(self);
        self.depth -= 1;
        self.indent();
        self.end(name);
    }

    /// An element with text in it.
    pub(super) fn leaf(&mut self, name: &str, attributes: &[Attribute<'_>], text: &str) {
        self.begin(name, attributes);
        self.text.push('>');
        self.text.push_str(&escape(allowed(text).as_str()));
        self.end(name);
    }

    /// An element with a number in it.
    pub(super) fn number(&mut self, name: &str, number: impl ToString) {
        self.leaf(name, &[], &number.to_string());
    }

    /// An element with nothing in it.
    pub(super) fn empty(&mut self, name: &str, attributes: &[Attribute<'_>]) {
        self.begin(name, attributes);
        self.text.push_str("/>\n");
    }

    fn indent(&mut self) {
        self.text.extend(std::iter::repeat_n(' ', self.depth));
    }

    fn begin(&mut self, name: &str, attributes: &[Attribute<'_>]) {
        self.indent();
        self.text.push('<');
        self.text.push_str(name);
        for (name, value) in attributes {
            self.text.push(' ');
            self.text.push_str(name);
            self.text.push_str("=\"");
            self.text.push_str(&escape(allowed(value).as_str()));
            self.text.push('"');
        }
    }

    fn end(&mut self, name: &str) {
        self.text.push_str("</");
        self.text.push_str(name);
        self.text.push_str(">\n");
    }
}

/// What XML 1.0 lets stand in text.
fn allowed(text: &str) -> String {
    let kept = |c: &char| !c.is_control() && !matches!(*c, '\u{fffe}' | '\u{ffff}');
    text.chars().filter(kept).collect()
}
