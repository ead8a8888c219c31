//! A set of tunes as one document: a page of contents, and the number of every page in its corner.

use super::drawing::{Drawing, DrawnPage, Item, Length};
use super::font::Face;
use super::frame::MARGIN;
use super::heading::cut;
use super::pen::PagePen;
use super::symbol::accidentals;
use crate::pitch::Key;

/// One staff space on the page of contents, in micrometres.
const SPACE: i32 = 1_800;
const LINE: Length = 3_400;
const SIZE: Length = 2_200;
const HEAD: Length = 11_000;
/// How far from the right the keys stand.
const KEY: Length = 11_000;

/// Puts drawings on the same paper behind a page of contents. An empty set has just that page.
pub fn set(title: &str, tunes: Vec<(Drawing, Option<Key>)>) -> Drawing {
    let paper = tunes
        .first()
        .map_or((210_000, 297_000), |(tune, _)| tune.paper);
    let blank = DrawnPage {
        space: SPACE,
        marks: Vec::new(),
    };
    let (wide, high) = (
        blank.scaled(paper.0 - 2 * MARGIN),
        blank.scaled(paper.1 - 2 * MARGIN),
    );
    let on_a_page = ((high - HEAD) / LINE).max(1) as usize;
    let front = tunes.len().div_ceil(on_a_page).max(1);
    let entries = entries(&tunes, front + 1);
    let listed = (0..front).map(|page| {
        let from = page * on_a_page;
        let here = entries
            .get(from..entries.len().min(from + on_a_page))
            .unwrap_or_default();
        DrawnPage {
            space: SPACE,
            marks: contents(title, here, wide, blank.scaled(MARGIN)),
        }
    });
    let mut pages: Vec<DrawnPage> = listed
        .chain(tunes.into_iter().flat_map(|(tune, _)| tune.pages))
        .collect();
    for (at, page) in pages.iter_mut().enumerate() {
        let mark = page_number(page, paper, at + 1);
        page.marks.extend(mark);
    }
    Drawing {
        title: title.to_owned(),
        paper,
        pages,
    }
}

/// A line of the contents for each tune; the first begins on page `number`.
fn entries(tunes: &[(Drawing, Option<Key>)], mut number: usize) -> Vec<ContentsLine> {
    let entry = |(tune, key): &(Drawing, Option<Key>)| {
        let page = number;
        number += tune.pages.len();
        ContentsLine {
            title: tune.title.clone(),
            key: key.map(|key| accidentals(&key.to_string())),
            page,
        }
    };
    tunes.iter().map(entry).collect()
}

/// A line of the contents.
struct ContentsLine {
    title: String,
    /// Its key with true accidentals, if the chart says.
    key: Option<String>,
    page: usize,
}

/// Titles on the left, then keys, pages on the right.
fn contents(title: &str, entries: &[ContentsLine], wide: Length, corner: Length) -> Vec<Item> {
    let mut pen = PagePen::default();
    pen.text_around(
        &cut(title, 4_000, wide),
        Face::Bold,
        4_000,
        corner + wide / 2,
        corner + 4_000,
    );
    let mut y = corner + HEAD;
    for ContentsLine { title, key, page } in entries {
        pen.text(
            &cut(title, SIZE, wide - KEY - 1_000),
            Face::Text,
            SIZE,
            corner,
            y,
        );
        pen.text(
            key.as_deref().unwrap_or_default(),
            Face::Text,
            SIZE,
            corner + wide - KEY,
            y,
        );
        pen.text_to(&page.to_string(), Face::Text, SIZE, corner + wide, y);
        y += LINE;
    }
    pen.marks
}

fn page_number(page: &DrawnPage, paper: (i32, i32), number: usize) -> Vec<Item> {
    let mut pen = PagePen::default();
    let (right, bottom) = (page.scaled(paper.0 - MARGIN), page.scaled(paper.1 - MARGIN));
    pen.text_to(&number.to_string(), Face::Bold, 1_800, right, bottom + 500);
    pen.marks
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tune(title: &str, pages: usize) -> (Drawing, Option<Key>) {
        let page = DrawnPage {
            space: 1_900,
            marks: Vec::new(),
        };
        let drawing = Drawing {
            title: title.to_owned(),
            paper: (210_000, 297_000),
            pages: vec![page; pages],
        };
        (drawing, "Bbm".parse().ok())
    }

    fn texts(page: &DrawnPage) -> Vec<&str> {
        page.marks
            .iter()
            .filter_map(|mark| match mark {
                Item::Text { text, .. } => Some(text.as_str()),
                _ => None,
            })
            .collect()
    }

    #[test]
    fn the_contents_say_where_each_tune_begins() {
        let set = set(
            "Friday",
            vec![
                tune("Fog Signal", 2),
                tune("Harbour Cat", 1),
                tune("Tide Table", 1),
            ],
        );
        assert_eq!(set.pages.len(), 5);
        let expected = [
            "Friday",
            "Fog Signal",
            "B♭m",
            "2",
            "Harbour Cat",
            "B♭m",
            "4",
            "Tide Table",
            "B♭m",
            "5",
            "1",
        ];
        assert_eq!(texts(&set.pages[0]), expected);
        assert_eq!(texts(&set.pages[4]), ["5"]);
    }

    #[test]
    fn a_long_set_has_several_pages_of_contents() {
        let tunes = vec![tune("Bell", 1); 100];
        let set = set("A hundred bells", tunes);
        let listed = set.pages.len() - 100;
        assert!(listed > 1);
        assert!(texts(&set.pages[0]).contains(&(listed + 1).to_string().as_str()));
    }
}
