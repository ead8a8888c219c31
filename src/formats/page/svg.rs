//! A drawing as SVG, one document a page. Letters are outlines, so that no font is needed where it is read.

use std::collections::BTreeSet;
use std::fmt::Write;

use super::drawing::{Drawing, DrawnPage, Item, Length, Point, Segment};
use super::font::Face;

/// Writes a drawing as one SVG document, its pages one below the other. Each glyph is defined once.
pub fn svg(drawing: &Drawing) -> String {
    let (wide, high) = drawing.paper;
    let all = high * drawing.pages.len().max(1) as i32;
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}mm\" height=\"{1}mm\" viewBox=\"0 0 {0} {1}\">\n<title>{2}</title>\n",
        Milli(wide),
        Milli(all),
        escaped(&drawing.title)
    );
    out += "<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n<defs>\n";
    for (face, code) in used(drawing.pages.iter().flat_map(|page| &page.marks)) {
        if let Some(glyph) = face.font().glyph(code) {
            let id = id(face, code);
            push(
                &mut out,
                format_args!("<path id=\"{id}\" d=\"{}\"/>\n", glyph.outline),
            );
        }
    }
    out += "</defs>\n";
    for (number, page) in (0..).zip(&drawing.pages) {
        draw_page(&mut out, drawing, page, number * high);
    }
    out += "</svg>\n";
    out
}

/// One page, `top` micrometres down; inside it a staff space is the unit.
fn draw_page(out: &mut String, drawing: &Drawing, page: &DrawnPage, top: i32) {
    let (wide, high) = drawing.paper;
    push(
        out,
        format_args!(
            "<svg y=\"{}\" width=\"{}\" height=\"{}\" viewBox=\"0 0 {} {}\">\n",
            Milli(top),
            Milli(wide),
            Milli(high),
            Milli(page.scaled(wide)),
            Milli(page.scaled(high))
        ),
    );
    page.marks.iter().for_each(|mark| draw(out, mark));
    *out += "</svg>\n";
}

/// The glyphs that occur, each once.
fn used<'a>(marks: impl Iterator<Item = &'a Item>) -> BTreeSet<(Face, char)> {
    marks
        .filter_map(|mark| match mark {
            Item::Text { face, text, .. } => Some(
                text.chars()
                    .filter_map(|code| Some((*face, face.font().glyph(code)?.code))),
            ),
            _ => None,
        })
        .flatten()
        .collect()
}

fn draw(out: &mut String, mark: &Item) {
    match mark {
        Item::Text {
            at,
            face,
            size,
            text,
        } => text_at(out, *at, *face, *size, text),
        Item::Rectangle {
            at,
            width,
            height,
            ink,
        } => rectangle(out, *at, (*width, *height), *ink),
        Item::Path { start, segments } => {
            push(out, format_args!("<path d=\"M{}", PointText(*start)));
            segments.iter().for_each(|segment| side(out, segment));
            *out += "Z\"/>\n";
        }
    }
}

fn rectangle(out: &mut String, at: Point, (width, height): (Length, Length), ink: i32) {
    let fill = if ink >= 1000 {
        String::new()
    } else {
        format!(" fill=\"{}\"", grey(ink))
    };
    push(
        out,
        format_args!(
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"{fill}/>\n",
            Milli(at.x),
            Milli(at.y),
            Milli(width),
            Milli(height)
        ),
    );
}

/// One side of a path, from where the last one ended.
fn side(out: &mut String, segment: &Segment) {
    match segment {
        Segment::Line(end) => push(out, format_args!("L{}", PointText(*end))),
        Segment::Curve(one, two, end) => push(
            out,
            format_args!(
                "C{} {} {}",
                PointText(*one),
                PointText(*two),
                PointText(*end)
            ),
        ),
    }
}

/// A run of letters: each the outline of its glyph, at the size, upside down since outlines point up.
fn text_at(out: &mut String, at: Point, face: Face, size: Length, text: &str) {
    let label = if face == Face::Signs {
        String::new()
    } else {
        format!(" aria-label=\"{}\"", escaped(text))
    };
    push(
        out,
        format_args!(
            "<g transform=\"translate({} {}) scale({} -{})\"{label}>",
            Milli(at.x),
            Milli(at.y),
            Micro(size),
            Micro(size)
        ),
    );
    let mut x = 0;
    for glyph in text.chars().filter_map(|code| face.font().glyph(code)) {
        if !glyph.outline.is_empty() {
            push(
                out,
                format_args!("<use href=\"#{}\" x=\"{x}\"/>", id(face, glyph.code)),
            );
        }
        x += glyph.advance;
    }
    *out += "</g>\n";
}

fn id(face: Face, code: char) -> String {
    let letter = match face {
        Face::Signs => 's',
        Face::Text => 't',
        Face::Bold => 'b',
    };
    format!("{letter}{:x}", u32::from(code))
}

/// Black at 1000, white at 0.
fn grey(ink: i32) -> String {
    let light = (1000 - ink.clamp(0, 1000)) * 255 / 1000;
    format!("#{light:02x}{light:02x}{light:02x}")
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('"', "&quot;")
}

/// Writing to a string can't fail.
fn push(out: &mut String, text: std::fmt::Arguments<'_>) {
    let _ = out.write_fmt(text);
}

/// A whole number of thousandths as a decimal, without the zeros at its end.
struct Milli(i32);

/// A whole number of millionths likewise: a size over the thousand units of a glyph.
struct Micro(i32);

struct PointText(Point);

impl std::fmt::Display for Milli {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        decimal(f, self.0, 3)
    }
}

impl std::fmt::Display for Micro {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        decimal(f, self.0, 6)
    }
}

impl std::fmt::Display for PointText {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {}", Milli(self.0.x), Milli(self.0.y))
    }
}

fn decimal(f: &mut std::fmt::Formatter<'_>, value: i32, places: u32) -> std::fmt::Result {
    let unit = 10_u32.pow(places);
    let (whole, rest) = (value.unsigned_abs() / unit, value.unsigned_abs() % unit);
    let sign = if value < 0 { "-" } else { "" };
    if rest == 0 {
        return write!(f, "{sign}{whole}");
    }
    let digits = format!("{rest:0width$}", width = places as usize);
    write!(f, "{sign}{whole}.{}", digits.trim_end_matches('0'))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawing(marks: Vec<Item>) -> Drawing {
        Drawing {
            title: "Rope & <Salt>".into(),
            paper: (210_000, 297_000),
            pages: vec![DrawnPage {
                space: 1_800,
                marks,
            }],
        }
    }

    #[test]
    fn numbers_lose_their_zeros() {
        let shown: Vec<String> = [0, 1, -50, 1000, 12_340]
            .iter()
            .map(|n| Milli(*n).to_string())
            .collect();
        assert_eq!(shown, ["0", "0.001", "-0.05", "1", "12.34"]);
    }

    #[test]
    fn letters_are_outlines_and_defined_once() {
        let at = Point { x: 1000, y: 2000 };
        let text = Item::Text {
            at,
            face: Face::Bold,
            size: 3000,
            text: "BB".into(),
        };
        let page = svg(&drawing(vec![text]));
        assert_eq!(page.matches("<path id=\"b42\"").count(), 1);
        assert_eq!(page.matches("<use href=\"#b42\"").count(), 2);
        assert!(
            page.contains("<title>Rope &amp; &lt;Salt></title>"),
            "{page}"
        );
    }

    #[test]
    fn a_shape_is_closed() {
        let start = Point { x: 0, y: 0 };
        let segments = vec![
            Segment::Line(Point { x: 500, y: 0 }),
            Segment::Curve(start, start, Point { x: 0, y: 500 }),
        ];
        assert!(
            svg(&drawing(vec![Item::Path { start, segments }]))
                .contains("d=\"M0 0L0.5 0C0 0 0 0 0 0.5Z\"")
        );
    }
}
