//! From an arrangement to the pages of a document, in the view that is asked for.

use super::drawing::{Drawing, DrawnPage, Item};
use super::frame::PageFrame;
use super::heading::title;
use super::keyboard;
use super::page_options::{Content, PageOptions};
use super::sheet::{self, Sheet};
use crate::arrange::Arrangement;
use crate::chart::Stroke;
use crate::hand::Reach;
use crate::score::Score;

/// The sizes of a staff space that are tried, in micrometres, the largest first. 1.8 mm reads well at arm's length.
const SPACES: [i32; 4] = [1_900, 1_800, 1_700, 1_600];
/// Smaller sizes, for a tune that fits on one page with them.
const SMALL_SPACES: [i32; 2] = [1_500, 1_400];
/// The note grid has one size.
const GRID_SPACE: i32 = 1_800;

/// Draws an arrangement: on as few pages as can be, and of the sizes that need no more the largest.
pub fn draw(arrangement: &Arrangement, options: &PageOptions) -> Drawing {
    let mut score = Score::of(arrangement);
    end_sections(&mut score);
    let pages = match options.content {
        Content::Grid => {
            let frame = PageFrame::of(options.paper, GRID_SPACE);
            keyboard::pages(arrangement, &score, &frame, options.labels)
        }
        _ => fewest(arrangement, &score, options),
    };
    let title = title(&score).to_owned();
    Drawing {
        title,
        paper: options.paper.size(),
        pages,
    }
}

/// A section ends with a double bar line where the chart has a single one (common practice, no source).
fn end_sections(score: &mut Score) {
    let mut next_begins = false;
    for bar in score.bars.iter_mut().rev() {
        if next_begins && bar.signs.stroke == Stroke::Single {
            bar.signs.stroke = Stroke::Double;
        }
        next_begins = bar.section.is_some();
    }
}

fn fewest(arrangement: &Arrangement, score: &Score, options: &PageOptions) -> Vec<DrawnPage> {
    let labels = sheet::labels(arrangement, score, options);
    let caution = arrangement.settings.voicing.hand.reach != Reach::default();
    let counted = |space: &i32| {
        let frame = PageFrame::of(options.paper, *space);
        let sheet = Sheet::new(score, options, (frame, caution), &labels);
        (sheet.count(), sheet)
    };
    let mut trials: Vec<(usize, Sheet<'_>)> = SPACES.iter().map(counted).collect();
    if trials.iter().all(|(pages, _)| *pages > 1) {
        let small = SMALL_SPACES.iter().map(counted);
        trials.extend(small.filter(|(pages, _)| *pages == 1));
    }
    let least = trials.into_iter().min_by_key(|(pages, _)| *pages);
    least.map_or_else(Vec::new, |(_, sheet)| sheet.pages())
}

/// The characters of a drawing that its fonts lack, each once, in order: `?` stands in their place.
pub fn lacking(drawing: &Drawing) -> Vec<char> {
    let items = drawing.pages.iter().flat_map(|page| &page.marks);
    let texts = items.filter_map(|item| match item {
        Item::Text { face, text, .. } => Some((face.font(), text)),
        _ => None,
    });
    let mut lacking: Vec<char> = texts
        .flat_map(|(font, text)| text.chars().filter(|code| !font.has(*code)))
        .collect();
    lacking.sort_unstable();
    lacking.dedup();
    lacking
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arrange::{Cache, Settings, arrange};

    #[test]
    fn a_section_ends_with_a_double_bar_line() {
        let chart =
            crate::chart::read("[A]\n| C | F |\n| G | C |]\n[B]\n| F |: G :|\n[C]\n| C |\n");
        let arrangement = arrange(chart.unwrap(), &Settings::default(), &mut Cache::default());
        let mut score = Score::of(&arrangement.unwrap());
        end_sections(&mut score);
        let strokes: Vec<Stroke> = score.bars.iter().map(|bar| bar.signs.stroke).collect();
        use Stroke::{Double, Final, Single};
        let expected = [Single, Single, Single, Final, Single, Double, Single];
        assert_eq!(strokes, expected);
    }
}
