//! Palettes: which shapes may be used, the first choice first.

use std::fmt;
use std::str::FromStr;

use super::shapes::{BLOCK, GUIDE_TONES, ROOTLESS, SHAPES, Shape, THREE_NOTE, shape};

/// An ordered list of shapes. A slot uses the first that has a legal voicing.
///
/// The default is `rootless,three-note,guide-tones,block`: four notes, then fewer, and for what has
/// no third and seventh to be thinned to (a triad, a power chord, a chord without its third) a plain
/// block.
///
/// ```
/// # use compline::voicing::Palette;
/// assert_eq!(Palette::default().to_string(), "rootless,three-note,guide-tones,block");
/// assert!("rootless,rootless".parse::<Palette>().is_err());
/// ```
#[derive(Debug, Clone)]
pub struct Palette(Vec<&'static Shape>);

impl Palette {
    /// The palette of these shapes; `None` when it is empty.
    pub fn of(shapes: Vec<&'static Shape>) -> Option<Self> {
        (!shapes.is_empty()).then_some(Self(shapes))
    }

    /// The shapes, first choice first.
    pub fn shapes(&self) -> &[&'static Shape] {
        &self.0
    }

    /// The names, first choice first.
    pub fn names(&self) -> impl Iterator<Item = &'static str> + '_ {
        self.0.iter().map(|shape| shape.name)
    }

    /// The palette with one more shape at its end.
    pub(super) fn with(&self, shape: &'static Shape) -> Self {
        let mut shapes = self.0.clone();
        shapes.push(shape);
        Self(shapes)
    }
}

impl PartialEq for Palette {
    fn eq(&self, other: &Self) -> bool {
        self.names().eq(other.names())
    }
}

impl Eq for Palette {}

impl Default for Palette {
    fn default() -> Self {
        Self(vec![&ROOTLESS, &THREE_NOTE, &GUIDE_TONES, &BLOCK])
    }
}

impl fmt::Display for Palette {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.names().collect::<Vec<_>>().join(","))
    }
}

/// Why a text is no palette.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotAPalette {
    /// A name that is no shape.
    Unknown(String),
    /// A shape listed twice.
    Twice(&'static str),
}

impl fmt::Display for NotAPalette {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown(name) => {
                let known = SHAPES.map(|shape| shape.name).join(", ");
                write!(f, "`{name}` is not a shape: {known}")
            }
            Self::Twice(name) => write!(f, "the shape {name} is in the palette twice"),
        }
    }
}

impl std::error::Error for NotAPalette {}

impl FromStr for Palette {
    type Err = NotAPalette;

    fn from_str(text: &str) -> Result<Self, NotAPalette> {
        let mut shapes: Vec<&'static Shape> = Vec::new();
        for name in text.split(',').map(str::trim) {
            let found = shape(name).ok_or_else(|| NotAPalette::Unknown(name.to_owned()))?;
            if shapes.iter().any(|shape| shape.name == found.name) {
                return Err(NotAPalette::Twice(found.name));
            }
            shapes.push(found);
        }
        Ok(Self(shapes))
    }
}
