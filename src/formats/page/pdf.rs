//! A drawing as PDF: fonts embedded, text that can be searched and copied, the same bytes on every run.

use std::collections::BTreeMap;

use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Content, Filter, Finish, Name, Pdf, Rect, Ref, Str, TextStr};

use super::drawing::{Drawing, DrawnPage, Item, Length, Point, Segment};
use super::font::{Face, Font};

const ADOBE_IDENTITY: SystemInfo<'static> = SystemInfo {
    registry: Str(b"Adobe"),
    ordering: Str(b"Identity"),
    supplement: 0,
};

/// A PDF measures in points, 72 an inch; an inch is 25,400 micrometres.
const POINTS_PER_MICROMETRE: f32 = 72.0 / 25_400.0;

/// Writes a drawing as one PDF document.
pub fn pdf(drawing: &Drawing) -> Vec<u8> {
    let mut pdf = Pdf::new();
    let (catalog, tree, info) = (Ref::new(1), Ref::new(2), Ref::new(3));
    let mut next = Ref::new(4);
    let fonts: BTreeMap<Face, Ref> = Face::ALL
        .iter()
        .map(|face| (*face, embed(&mut pdf, face.font(), &mut next)))
        .collect();
    let pages: Vec<Ref> = drawing
        .pages
        .iter()
        .map(|one| page(&mut pdf, drawing, one, tree, &fonts, &mut next))
        .collect();
    pdf.catalog(catalog).pages(tree);
    pdf.pages(tree).count(pages.len() as i32).kids(pages);
    pdf.document_info(info).title(TextStr(&drawing.title));
    pdf.finish().to_vec()
}

fn page(
    pdf: &mut Pdf,
    drawing: &Drawing,
    one: &DrawnPage,
    tree: Ref,
    fonts: &BTreeMap<Face, Ref>,
    next: &mut Ref,
) -> Ref {
    let (id, content) = (next.bump(), next.bump());
    let size = |micrometres: i32| micrometres as f32 * POINTS_PER_MICROMETRE;
    let mut page = pdf.page(id);
    page.media_box(Rect::new(
        0.0,
        0.0,
        size(drawing.paper.0),
        size(drawing.paper.1),
    ));
    page.parent(tree).contents(content);
    let mut resources = page.resources();
    let mut names = resources.fonts();
    for (face, font) in fonts {
        names.pair(name(*face), font);
    }
    names.finish();
    resources.finish();
    page.finish();
    let stream = miniz_oxide::deflate::compress_to_vec_zlib(&drawn(drawing, one), 6);
    pdf.stream(content, &stream).filter(Filter::FlateDecode);
    id
}

/// The operators of a page. One transformation brings staff spaces to points; y is turned over mark by mark.
fn drawn(drawing: &Drawing, page: &DrawnPage) -> Vec<u8> {
    let mut content = Content::new();
    let scale = page.space as f32 * POINTS_PER_MICROMETRE;
    content.transform([
        scale,
        0.0,
        0.0,
        scale,
        0.0,
        drawing.paper.1 as f32 * POINTS_PER_MICROMETRE,
    ]);
    page.marks.iter().for_each(|mark| draw(&mut content, mark));
    content.finish().to_vec()
}

fn draw(content: &mut Content, mark: &Item) {
    match mark {
        Item::Text {
            at,
            face,
            size,
            text,
        } => {
            let (x, y) = turned(*at);
            content.begin_text().set_font(name(*face), spaces(*size));
            content.set_text_matrix([1.0, 0.0, 0.0, 1.0, x, y]);
            content.show(Str(&encoded(*face, text))).end_text();
        }
        Item::Rectangle {
            at,
            width,
            height,
            ink,
        } => rectangle(content, *at, (*width, *height), *ink),
        Item::Path { start, segments } => {
            let (x, y) = turned(*start);
            content.move_to(x, y);
            for segment in segments {
                side(content, segment);
            }
            content.close_path().fill_nonzero();
        }
    }
}

fn rectangle(content: &mut Content, at: Point, (width, height): (Length, Length), ink: i32) {
    let (x, y) = turned(Point {
        x: at.x,
        y: at.y + height,
    });
    let grey = (1000 - ink) as f32 / 1000.0;
    content
        .save_state()
        .set_fill_gray(grey)
        .rect(x, y, spaces(width), spaces(height))
        .fill_nonzero()
        .restore_state();
}

fn side(content: &mut Content, segment: &Segment) {
    match segment {
        Segment::Line(end) => {
            let (x, y) = turned(*end);
            content.line_to(x, y);
        }
        Segment::Curve(one, two, end) => {
            let ((a, b), (c, d), (x, y)) = (turned(*one), turned(*two), turned(*end));
            content.cubic_to(a, b, c, d, x, y);
        }
    }
}

/// Two bytes a glyph: its number in the font.
fn encoded(face: Face, text: &str) -> Vec<u8> {
    text.chars()
        .filter_map(|code| face.font().glyph(code))
        .flat_map(|glyph| glyph.id.to_be_bytes())
        .collect()
}

/// A font and what belongs to it: the font itself, its glyphs, its measures, its file, and what its glyphs mean.
fn embed(pdf: &mut Pdf, font: &Font, next: &mut Ref) -> Ref {
    let [id, glyphs, measures, file, meaning] = [
        next.bump(),
        next.bump(),
        next.bump(),
        next.bump(),
        next.bump(),
    ];
    let base = Name(font.name.as_bytes());
    pdf.type0_font(id)
        .base_font(base)
        .encoding_predefined(Name(b"Identity-H"))
        .descendant_font(glyphs)
        .to_unicode(meaning);
    let mut cid = pdf.cid_font(glyphs);
    cid.subtype(CidFontType::Type0)
        .base_font(base)
        .system_info(ADOBE_IDENTITY)
        .font_descriptor(measures)
        .default_width(0.0);
    let advances: BTreeMap<u16, i32> = font
        .glyphs()
        .map(|glyph| (glyph.id, glyph.advance))
        .collect();
    let mut widths = cid.widths();
    for (glyph, advance) in advances {
        widths.same(glyph, glyph, advance as f32);
    }
    widths.finish();
    cid.finish();
    describe(pdf, font, measures, file);
    let data = miniz_oxide::deflate::compress_to_vec_zlib(font.file, 9);
    pdf.stream(file, &data)
        .filter(Filter::FlateDecode)
        .pair(Name(b"Subtype"), Name(b"CIDFontType0C"));
    let map = meanings(font);
    pdf.stream(meaning, &map);
    id
}

fn describe(pdf: &mut Pdf, font: &Font, measures: Ref, file: Ref) {
    let edge = |at: usize, pick: fn(i32, i32) -> i32| {
        font.glyphs().map(|glyph| glyph.bounds[at]).fold(0, pick) as f32
    };
    let bounds = Rect::new(
        edge(0, i32::min),
        edge(1, i32::min),
        edge(2, i32::max),
        edge(3, i32::max),
    );
    pdf.font_descriptor(measures)
        .name(Name(font.name.as_bytes()))
        .flags(FontFlags::SYMBOLIC)
        .bbox(bounds)
        .italic_angle(0.0)
        .ascent(bounds.y2)
        .descent(bounds.y1)
        .cap_height(700.0)
        .stem_v(80.0)
        .font_file3(file);
}

/// What a reader of the text gets for each glyph: accidentals and chord signs as the characters for them.
fn meanings(font: &Font) -> Vec<u8> {
    let mut map = UnicodeCmap::new(Name(b"Meanings"), ADOBE_IDENTITY);
    for glyph in font.glyphs() {
        map.pair(glyph.id, meaning(glyph.code));
    }
    map.finish().to_vec()
}

/// SMuFL's chord signs and accidentals have characters of their own in Unicode.
fn meaning(code: char) -> char {
    match u32::from(code) {
        0xE260 | 0xED60 => '♭',
        0xE261 => '♮',
        0xE262 | 0xED62 => '♯',
        0xE870 => '°',
        0xE871 => 'ø',
        _ => code,
    }
}

fn name(face: Face) -> Name<'static> {
    match face {
        Face::Signs => Name(b"S"),
        Face::Text => Name(b"T"),
        Face::Bold => Name(b"B"),
    }
}

fn turned(at: Point) -> (f32, f32) {
    (spaces(at.x), -spaces(at.y))
}

fn spaces(length: Length) -> f32 {
    length as f32 / 1000.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_drawing_gives_the_same_bytes_and_every_page() {
        let at = Point {
            x: 10_000,
            y: 10_000,
        };
        let text = Item::Text {
            at,
            face: Face::Text,
            size: 2000,
            text: "Harbour Cat".into(),
        };
        let drawing = Drawing {
            title: "Harbour Cat".into(),
            paper: (210_000, 297_000),
            pages: vec![
                DrawnPage {
                    space: 1_800,
                    marks: vec![text],
                },
                DrawnPage {
                    space: 1_800,
                    marks: vec![],
                },
            ],
        };
        let bytes = pdf(&drawing);
        assert_eq!(bytes, pdf(&drawing));
        assert!(bytes.starts_with(b"%PDF-"));
        let text = String::from_utf8_lossy(&bytes);
        assert_eq!(text.matches("/Type /Page\n").count(), 2, "pages");
        assert_eq!(text.matches("/CIDFontType0C").count(), 3, "embedded fonts");
    }

    #[test]
    fn a_text_is_shown_by_its_glyphs() {
        let glyph = |code: char| Face::Text.font().glyph(code).unwrap().id.to_be_bytes();
        assert_eq!(encoded(Face::Text, "ab"), [glyph('a'), glyph('b')].concat());
    }
}
