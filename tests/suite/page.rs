//! The page: the geometry of the drawing list, and the same bytes on every run.

use std::collections::BTreeMap;

use compline::arrange::{Arrangement, Cache, Settings, arrange};
use compline::chart;
use compline::formats::page::{
    Content, Drawing, DrawnPage, Face, Item, Labels, Length, PageOptions, Paper, Point, Segment,
    draw, pdf, svg,
};
use compline::score::Score;

fn arranged(source: &str) -> Arrangement {
    let chart = chart::read(source).unwrap();
    arrange(chart, &Settings::default(), &mut Cache::default()).unwrap()
}

/// The charts of a folder. Those in `tests/page/charts` are hard to set: many symbols in a bar, extreme pitches, tuplets,
/// ties over bar lines, compound and changing meters, jumps, long titles, one bar, no melody, silence.
fn charts(folder: &str) -> Vec<String> {
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    paths
        .iter()
        .map(|path| std::fs::read_to_string(path).unwrap())
        .collect()
}

/// Every arrangement with every kind of page.
fn pages() -> impl Iterator<Item = (Arrangement, PageOptions, Drawing)> {
    let sources = charts("charts")
        .into_iter()
        .chain(charts("tests/page/charts"));
    let options = [
        PageOptions::default(),
        PageOptions {
            paper: Paper::Letter,
            content: Content::Left,
            labels: Labels::Degrees,
        },
        PageOptions {
            content: Content::Lead,
            ..PageOptions::default()
        },
        PageOptions {
            content: Content::Grid,
            ..PageOptions::default()
        },
    ];
    sources.flat_map(move |source| {
        options.map(|options| {
            let arrangement = arranged(&source);
            let drawing = draw(&arrangement, &options);
            (arrangement, options, drawing)
        })
    })
}

/// Left, upper, right and lower edge of the ink.
type Ink = [Length; 4];

fn ink(mark: &Item) -> Option<Ink> {
    match mark {
        Item::Text {
            at,
            face,
            size,
            text,
        } => {
            let mut x = at.x;
            let mut edges: Option<Ink> = None;
            for glyph in text.chars().filter_map(|code| face.font().glyph(code)) {
                let [left, bottom, right, top] = glyph.bounds.map(|units| units * size / 1000);
                if right > left {
                    let here = [x + left, at.y - top, x + right, at.y - bottom];
                    edges = Some(edges.map_or(here, |one| {
                        [
                            one[0].min(here[0]),
                            one[1].min(here[1]),
                            one[2].max(here[2]),
                            one[3].max(here[3]),
                        ]
                    }));
                }
                x += glyph.advance * size / 1000;
            }
            edges
        }
        Item::Rectangle {
            at, width, height, ..
        } => Some([at.x, at.y, at.x + width, at.y + height]),
        Item::Path { .. } => None,
    }
}

/// Whether inks lie on each other by more than the side bearings of letters that follow each other.
fn overlap(one: Ink, other: Ink) -> bool {
    const BEARING: Length = 120;
    let across = one[0] + BEARING < other[2] && other[0] + BEARING < one[2];
    across && one[1] < other[3] && other[1] < one[3]
}

/// The words of a page and their ink. A slash leans under the letters beside it, and is left out.
fn words(page: &DrawnPage) -> Vec<(Ink, &str)> {
    let text = page.marks.iter().filter_map(|mark| match mark {
        Item::Text { face, text, .. } if *face != Face::Signs && text != "/" => {
            Some((ink(mark)?, text.as_str()))
        }
        _ => None,
    });
    text.collect()
}

fn signs<'a>(page: &'a DrawnPage, names: &'a [&str]) -> impl Iterator<Item = (Ink, Length)> + 'a {
    let codes: Vec<char> = names
        .iter()
        .filter_map(|name| Face::Signs.font().named(name))
        .collect();
    page.marks.iter().filter_map(move |mark| match mark {
        Item::Text {
            at,
            face: Face::Signs,
            text,
            ..
        } if codes.iter().any(|code| text.starts_with(*code)) => Some((ink(mark)?, at.y)),
        _ => None,
    })
}

const ACCIDENTALS: [&str; 4] = [
    "accidentalFlat",
    "accidentalNatural",
    "accidentalSharp",
    "accidentalDoubleFlat",
];
const HEADS: [&str; 3] = ["noteheadWhole", "noteheadHalf", "noteheadBlack"];

#[test]
fn nothing_leaves_the_page() {
    for (arrangement, options, drawing) in pages() {
        let (wide, high) = drawing.paper;
        for page in &drawing.pages {
            // Half of the margin at least stays white.
            let edge = page.scaled(6_500);
            let [right, bottom] = [page.scaled(wide) - edge, page.scaled(high) - edge];
            for mark in &page.marks {
                let Some([left, top, end, low]) = ink(mark) else {
                    continue;
                };
                let inside = left >= edge && top >= edge && end <= right && low <= bottom;
                assert!(
                    inside,
                    "{:?} {options:?}: {mark:?}",
                    arrangement.chart.title()
                );
            }
        }
    }
}

#[test]
fn no_word_lies_on_another_or_on_a_note() {
    for (arrangement, options, drawing) in pages() {
        for page in &drawing.pages {
            let words = words(page);
            for (at, (here, word)) in words.iter().enumerate() {
                for (there, other) in &words[at + 1..] {
                    assert!(
                        !overlap(*here, *there),
                        "{:?} {options:?}: {word} on {other}",
                        arrangement.chart.title()
                    );
                }
                for (head, _) in signs(page, &HEADS) {
                    assert!(
                        !overlap(*here, head),
                        "{:?} {options:?}: {word} on a note",
                        arrangement.chart.title()
                    );
                }
            }
        }
    }
}

/// The box around a beam or a tie. A tie's control points lie a third of its height beyond it.
fn outline(mark: &Item) -> Option<Ink> {
    let Item::Path { start, segments } = mark else {
        return None;
    };
    let points = segments.iter().flat_map(|segment| match segment {
        Segment::Line(to) => vec![*to],
        Segment::Curve(one, other, to) => {
            let middle = |end: i32, bend: i32| (end + 3 * bend) / 4;
            vec![
                Point {
                    x: one.x,
                    y: middle(to.y, one.y),
                },
                Point {
                    x: other.x,
                    y: middle(to.y, other.y),
                },
                *to,
            ]
        }
    });
    let edges = points.fold([start.x, start.y, start.x, start.y], |edges, point| {
        let [left, top, right, low] = edges;
        [
            left.min(point.x),
            top.min(point.y),
            right.max(point.x),
            low.max(point.y),
        ]
    });
    Some(edges)
}

#[test]
fn no_word_lies_on_an_accidental_a_beam_a_tie_or_the_number_of_a_tuplet() {
    for (arrangement, options, drawing) in pages() {
        for page in &drawing.pages {
            let beside = [&ACCIDENTALS[..], &["tuplet3", "tuplet5"]].concat();
            let numbers = signs(page, &beside).map(|(ink, _)| ink);
            let lines: Vec<Ink> = page
                .marks
                .iter()
                .filter_map(outline)
                .chain(numbers)
                .collect();
            for (here, word) in words(page) {
                for there in &lines {
                    assert!(
                        !overlap(here, *there),
                        "{:?} {options:?}: {word} on {there:?}",
                        arrangement.chart.title()
                    );
                }
            }
        }
    }
}

#[test]
fn accidentals_stand_free_of_heads_and_of_each_other() {
    for (arrangement, options, drawing) in pages() {
        for page in &drawing.pages {
            let accidentals: Vec<Ink> = signs(page, &ACCIDENTALS).map(|(ink, _)| ink).collect();
            let heads: Vec<Ink> = signs(page, &HEADS).map(|(ink, _)| ink).collect();
            for (at, here) in accidentals.iter().enumerate() {
                let others = heads.iter().chain(accidentals.iter().skip(at + 1));
                for there in others {
                    assert!(
                        !overlap(*here, *there),
                        "{:?} {options:?}: {here:?} on {there:?}",
                        arrangement.chart.title()
                    );
                }
            }
        }
    }
}

/// A tie leads from note to note over the bar line, and over the end of a line to its bar line and from there on.
#[test]
fn a_tie_is_drawn_on_both_sides_of_a_bar_line() {
    let ties = |chart: &str| -> Vec<[Length; 2]> {
        let drawing = draw(
            &arranged(chart),
            &PageOptions {
                content: Content::Lead,
                ..PageOptions::default()
            },
        );
        let curved = |mark: &&Item| matches!(mark, Item::Path { segments, .. } if segments.iter().any(|s| matches!(s, Segment::Curve(..))));
        let marks = drawing.pages[0].marks.iter().filter(curved);
        marks
            .filter_map(outline)
            .map(|ink| [ink[0], ink[2]])
            .collect()
    };
    let one = ties("| C | F |\nmel | r:3 A4:1- | A4:4 |\n");
    assert_eq!(one.len(), 1);
    let endings = ties("|: C | F |1 C :|2 C ||\nmel | r:4 | r:3 A4:1- | A4:4 | A4:4 |\n");
    assert_eq!(
        endings.len(),
        2,
        "to the first ending, and in front of the second"
    );
    let long = "| C / F / | ".repeat(16);
    let tune = "A4:4- | ".repeat(15);
    let lines = ties(&format!("{long}\nmel | {tune}A4:4 |\n").replace("| |", "|"));
    assert!(lines.len() > 15, "{} ties on several lines", lines.len());
}

#[test]
fn every_note_is_on_the_page() {
    for (arrangement, options, drawing) in pages() {
        let score = Score::of(&arrangement);
        let count = |melody: bool| -> usize {
            let bars = score
                .bars
                .iter()
                .flat_map(|bar| if melody { &bar.melody } else { &bar.hand });
            bars.map(|written| written.notes.len()).sum()
        };
        let expected = match options.content {
            Content::Full => count(true) + count(false),
            Content::Lead => count(true),
            Content::Left => count(false),
            Content::Grid => continue,
        };
        let drawn: usize = drawing
            .pages
            .iter()
            .map(|page| signs(page, &HEADS).count())
            .sum();
        assert_eq!(
            drawn,
            expected,
            "{:?} {options:?}",
            arrangement.chart.title()
        );
    }
}

/// Notes a step apart lie half a staff space apart, under both clefs and whatever is in the signature.
#[test]
fn notes_lie_at_their_height() {
    let drawing = draw(
        &arranged("key: Eb\n| Cm7 | Fm7 |\nmel | C5:1 D5:1 Eb5:1 F#5:1 | A5:1 B5:1 Cb6:1 G6:1 |\n"),
        &PageOptions {
            content: Content::Lead,
            ..PageOptions::default()
        },
    );
    let mut heads: Vec<Ink> = signs(&drawing.pages[0], &HEADS)
        .map(|(ink, _)| ink)
        .collect();
    heads.sort_by_key(|ink| ink[0]);
    let steps: Vec<i32> = heads
        .windows(2)
        .map(|pair| (pair[0][1] - pair[1][1]) / 500)
        .collect();
    assert_eq!(steps, [1, 1, 1, 2, 1, 1, 4]);
}

#[test]
fn a_signature_has_as_many_signs_as_its_key() {
    for (key, count, name) in [
        ("Gb", 6, "accidentalFlat"),
        ("B", 5, "accidentalSharp"),
        ("C", 0, "accidentalSharp"),
        ("Cb", 7, "accidentalFlat"),
    ] {
        let drawing = draw(
            &arranged(&format!("key: {key}\n| N.C. |\n")),
            &PageOptions::default(),
        );
        assert_eq!(signs(&drawing.pages[0], &[name]).count(), count, "{key}");
    }
}

#[test]
fn symbols_stand_in_the_order_they_are_played_in() {
    let drawing = draw(
        &arranged("| Dm7 G7 | Cmaj7 | Fmaj7/E Bm7b5 |\n"),
        &PageOptions::default(),
    );
    let roots: Vec<&str> = words(&drawing.pages[0])
        .into_iter()
        .map(|(_, word)| word)
        .filter(|word| word.len() == 1 && ("A"..="G").contains(word))
        .collect();
    assert_eq!(roots, ["D", "G", "C", "F", "E", "B"]);
}

#[test]
fn what_is_asked_for_stands_under_the_hand() {
    let labelled = |labels| {
        let drawing = draw(
            &arranged("| Dm7 |\nlh | F3.A3.C4.E4 |\n"),
            &PageOptions {
                labels,
                ..PageOptions::default()
            },
        );
        let page = &drawing.pages[0];
        let found: BTreeMap<Length, String> = words(page)
            .into_iter()
            .filter(|(ink, _)| ink[0] > 6_000 && ink[1] > 20_000)
            .map(|(ink, word)| (ink[1], word.to_owned()))
            .collect();
        found.into_values().take(4).collect::<Vec<String>>()
    };
    assert_eq!(labelled(Labels::Degrees), ["9", "♭7", "5", "♭3"]);
    assert_eq!(labelled(Labels::Names), ["E4", "C4", "A3", "F3"]);
}

#[test]
fn the_same_page_gives_the_same_bytes() {
    for source in charts("charts").iter().take(2) {
        let (one, other) = (
            draw(&arranged(source), &PageOptions::default()),
            draw(&arranged(source), &PageOptions::default()),
        );
        assert_eq!(svg(&one), svg(&other));
        assert_eq!(pdf(&one), pdf(&other));
    }
}

#[test]
fn the_note_grid_has_a_bar_for_every_note() {
    let options = PageOptions {
        content: Content::Grid,
        ..PageOptions::default()
    };
    let drawing = draw(
        &arranged(
            "key: C\n| Dm7 | G7 |\nmel | A4:2 F5:2 | r:4 |\nlh | F3.A3.C4.E4 | F3.A3.B3.E4 |\n",
        ),
        &options,
    );
    let labels: Vec<&str> = words(&drawing.pages[0])
        .into_iter()
        .map(|(_, word)| word)
        .collect();
    for degree in ["♭3", "5", "♭7", "9", "3", "13"] {
        assert!(labels.contains(&degree), "{degree} in {labels:?}");
    }
    let grey = |item: &&Item| matches!(item, Item::Rectangle { ink: 320, .. });
    assert_eq!(drawing.pages[0].marks.iter().filter(grey).count(), 8);
}

/// The words of every page with that content.
fn all_words(source: &str, content: Content) -> Vec<String> {
    let options = PageOptions {
        content,
        ..PageOptions::default()
    };
    let pages = draw(&arranged(source), &options).pages;
    let words = pages.iter().flat_map(words);
    words.map(|(_, word)| word.to_owned()).collect()
}

#[test]
fn how_often_a_repeat_is_played_stands_at_its_end_where_the_chart_says_it() {
    for content in [Content::Full, Content::Lead, Content::Left, Content::Grid] {
        let said = |source: &str| all_words(source, content).contains(&"3x".to_owned());
        assert!(said("key: C\n|: C | G :|x3\n"), "{content:?}");
        assert!(!said("key: C\n|: C | G :|\n"), "{content:?}");
    }
}

#[test]
fn a_pickup_is_not_counted_and_its_rest_has_its_own_length() {
    let bars = "| C | F | G | C |\n".repeat(3);
    let chart = format!("key: C\n[pickup]\n| 1/4 N.C. |\nmel | G4:1 |\n[A]\n{bars}");
    let numbers = |content| {
        let words = all_words(&chart, content).into_iter();
        words
            .filter_map(|word| word.parse::<usize>().ok())
            .collect::<Vec<_>>()
    };
    assert_eq!(numbers(Content::Full), [5, 9]);
    let options = PageOptions::default();
    let pages = draw(&arranged(&chart), &options).pages;
    let rests = |name: &'static str| {
        pages
            .iter()
            .flat_map(move |page| signs(page, &[name]).collect::<Vec<_>>())
            .count()
    };
    // Only the bars of the melody that are empty have a whole rest.
    assert_eq!((rests("restQuarter"), rests("restWhole")), (1, 12));
    let xml = compline::formats::musicxml::musicxml(&Score::of(&arranged(&chart)));
    assert!(xml.contains("<measure number=\"0\" implicit=\"yes\">"));
}
