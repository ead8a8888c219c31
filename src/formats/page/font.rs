//! The three fonts of a page: music signs, text, bold text.
//!
//! Outlines, advances and boxes stand in tables beside this file, made once from free fonts by `tests/fonts/make.py`; no
//! font is parsed while the program runs. SVG draws the outlines; PDF embeds the subsets, so that text can be searched.
//! The signs are named as in SMuFL, the standard layout of music fonts.

use std::collections::BTreeMap;
use std::sync::LazyLock;

/// One of the fonts of a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Face {
    /// Clefs, note heads, accidentals, rests and other signs of music.
    Signs,
    /// Upright text.
    Text,
    /// Bold text: titles, chord symbols, section letters.
    Bold,
}

/// A glyph as the tables give it. Lengths are in font units, a thousandth of the size; y points up.
#[derive(Debug)]
pub struct Glyph {
    /// The character or, of a sign, its SMuFL code point.
    pub code: char,
    /// Its number in the embedded font.
    pub id: u16,
    /// How far the next glyph stands to the right.
    pub advance: i32,
    /// Left, bottom, right and top of the ink.
    pub bounds: [i32; 4],
    /// The outline in the path language of SVG.
    pub outline: &'static str,
}

/// A font: its glyphs, and the file that is embedded.
#[derive(Debug)]
pub struct Font {
    /// The name it has in a PDF.
    pub name: &'static str,
    /// Compact Font Format, not keyed by character collections: glyph numbers are character numbers.
    pub file: &'static [u8],
    glyphs: BTreeMap<char, Glyph>,
    names: BTreeMap<&'static str, char>,
}

static SIGNS: LazyLock<Font> = LazyLock::new(|| {
    let file = include_bytes!("fonts/page-signs.cff");
    Font::new("PageSigns", file, include_str!("fonts/page-signs.tsv"))
});
static TEXT: LazyLock<Font> = LazyLock::new(|| {
    let file = include_bytes!("fonts/page-text.cff");
    Font::new("PageText", file, include_str!("fonts/page-text.tsv"))
});
static BOLD: LazyLock<Font> = LazyLock::new(|| {
    let file = include_bytes!("fonts/page-text-bold.cff");
    Font::new(
        "PageTextBold",
        file,
        include_str!("fonts/page-text-bold.tsv"),
    )
});

impl Face {
    /// All faces, in the order in which a document lists them.
    pub const ALL: [Face; 3] = [Face::Signs, Face::Text, Face::Bold];

    /// The font of this face.
    pub fn font(self) -> &'static Font {
        match self {
            Face::Signs => &SIGNS,
            Face::Text => &TEXT,
            Face::Bold => &BOLD,
        }
    }
}

impl Font {
    fn new(name: &'static str, file: &'static [u8], table: &'static str) -> Font {
        let mut font = Font {
            name,
            file,
            glyphs: BTreeMap::new(),
            names: BTreeMap::new(),
        };
        for (label, glyph) in table.lines().filter_map(row) {
            font.names.insert(label, glyph.code);
            font.glyphs.insert(glyph.code, glyph);
        }
        font
    }

    /// The glyph of a character; of one that the font lacks, the glyph of `?`.
    pub fn glyph(&self, code: char) -> Option<&Glyph> {
        self.glyphs.get(&code).or_else(|| self.glyphs.get(&'?'))
    }

    /// Whether the font has this character.
    pub fn has(&self, code: char) -> bool {
        self.glyphs.contains_key(&code)
    }

    /// The code point of a sign by its SMuFL name.
    pub fn named(&self, name: &str) -> Option<char> {
        self.names.get(name).copied()
    }

    /// All glyphs, by code point.
    pub fn glyphs(&self) -> impl Iterator<Item = &Glyph> {
        self.glyphs.values()
    }

    /// How wide a text is at a size, in the unit of the size.
    pub fn width(&self, text: &str, size: i32) -> i32 {
        let advance: i32 = text
            .chars()
            .filter_map(|code| self.glyph(code))
            .map(|glyph| glyph.advance)
            .sum();
        advance * size / 1000
    }
}

/// One line of a table: code point, name, number, advance, four edges, outline.
fn row(line: &'static str) -> Option<(&'static str, Glyph)> {
    let cells: Vec<&'static str> = line.split('\t').collect();
    let [code, label, id, advance, left, bottom, right, top, outline] = cells[..] else {
        return None;
    };
    let code = char::from_u32(u32::from_str_radix(code, 16).ok()?)?;
    let number = |cell: &str| cell.parse::<i32>().ok();
    let bounds = [number(left)?, number(bottom)?, number(right)?, number(top)?];
    let glyph = Glyph {
        code,
        id: id.parse().ok()?,
        advance: number(advance)?,
        bounds,
        outline,
    };
    Some((label, glyph))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_of_every_table_is_read() {
        for (face, table) in [
            (Face::Signs, include_str!("fonts/page-signs.tsv")),
            (Face::Text, include_str!("fonts/page-text.tsv")),
            (Face::Bold, include_str!("fonts/page-text-bold.tsv")),
        ] {
            assert_eq!(
                face.font().glyphs().count(),
                table.lines().count(),
                "{face:?}"
            );
        }
    }

    #[test]
    fn text_has_the_accidentals_and_what_it_lacks_is_shown() {
        assert!(
            "♭♯♮°øéß"
                .chars()
                .all(|code| Face::Text.font().has(code) && Face::Bold.font().has(code))
        );
        assert!(!Face::Text.font().has('猫'));
        assert_eq!(
            Face::Text.font().glyph('猫').map(|glyph| glyph.code),
            Some('?')
        );
    }

    #[test]
    fn a_whole_note_is_as_wide_as_the_font_says() {
        let signs = Face::Signs.font();
        let head = signs
            .named("noteheadWhole")
            .and_then(|code| signs.glyph(code))
            .unwrap();
        assert_eq!((head.advance, head.bounds), (422, [0, -125, 422, 125]));
    }
}
