//! Bar lines, repeats and endings.

use crate::chart::{Jump, Stroke, Times};
use crate::formats::song::SongBar;

/// A bar line.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct AbcBarLine {
    /// A repeat ends here.
    pub closes: Option<Times>,
    /// A repeat starts here.
    pub opens: bool,
    pub stroke: Stroke,
    /// An ending starts here, for these passes.
    pub endings: Vec<u8>,
}

impl AbcBarLine {
    /// Ends the bar before it, if there is one, and begins the bar behind it.
    pub(super) fn put_between(self, before: Option<&mut SongBar>, behind: &mut SongBar) {
        if let Some(before) = before {
            // What is said behind a bar line, and acts at a bar's end, belongs to the bar before it.
            let (arrived, acting): (Vec<Jump>, Vec<Jump>) =
                behind.jumps.iter().partition(|jump| jump.is_target());
            behind.jumps = arrived;
            before.jumps.extend(acting);
            before.closes_repeat = before.closes_repeat.or(self.closes);
            if self.stroke != Stroke::Single {
                before.stroke = self.stroke;
            }
        }
        behind.opens_repeat |= self.opens;
        if !self.endings.is_empty() {
            behind.endings = self.endings;
        }
    }
}

/// The bar line at the front of a text, and what follows it. Liberal, as the standard asks: any run of
/// strokes, colons and brackets is one.
pub(super) fn bar_line(text: &str) -> Option<(AbcBarLine, &str)> {
    let opening = text.starts_with("[|") || text.starts_with("|") || text.starts_with(":");
    if !opening {
        return None;
    }
    let mut end = 0;
    for (at, c) in text.char_indices() {
        let behind = text.get(at + 1..).unwrap_or_default();
        let part = match c {
            '|' | ':' => true,
            ']' => text.get(..at).is_some_and(|run| run.ends_with('|')),
            '[' => behind.starts_with('|'),
            _ => false,
        };
        if !part {
            break;
        }
        end = at + 1;
    }
    let (run, rest) = text.split_at(end);
    // A lone colon is no bar line.
    if run == ":" {
        return None;
    }
    let (endings, rest) = endings(rest);
    Some((AbcBarLine { endings, ..of(run) }, rest))
}

fn of(run: &str) -> AbcBarLine {
    let strokes: String = run.chars().filter(|c| *c != ':').collect();
    let (before, after) = if strokes.is_empty() {
        // `::` ends one repeat and starts the next.
        (1, 1)
    } else {
        let count = |text: &str| text.len();
        let before = run.len() - run.trim_start_matches(':').len();
        let after = count(run) - run.trim_end_matches(':').len();
        (before, after)
    };
    AbcBarLine {
        closes: match before {
            0 => None,
            1 => Some(Times::AsUsual),
            more => Some(Times::Count(u8::try_from(more + 1).unwrap_or(99).min(99))),
        },
        opens: after > 0,
        stroke: match strokes.as_str() {
            _ if before > 0 || after > 0 => Stroke::Single,
            "|]" => Stroke::Final,
            "||" | "[|" | "[||" | "||]" => Stroke::Double,
            _ => Stroke::Single,
        },
        endings: Vec::new(),
    }
}

/// The passes glued to a bar line: `1`, `1,3`, `1-3`.
fn endings(text: &str) -> (Vec<u8>, &str) {
    let text = text
        .strip_prefix('[')
        .filter(|rest| starts_with_digit(rest))
        .unwrap_or(text);
    if !starts_with_digit(text) {
        return (Vec::new(), text);
    }
    let end = text.find(|c: char| !c.is_ascii_digit() && !",-.".contains(c));
    let (list, rest) = text.split_at(end.unwrap_or(text.len()));
    (passes(list), rest)
}

fn starts_with_digit(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit())
}

/// An ending that stands apart from its bar line, such as `[1`.
pub(super) fn ending(text: &str) -> Option<(Vec<u8>, &str)> {
    let rest = text
        .strip_prefix('[')
        .filter(|rest| starts_with_digit(rest))?;
    Some(endings(rest))
}

fn passes(list: &str) -> Vec<u8> {
    let mut passes: Vec<u8> = Vec::new();
    for part in list.split([',', '.']).filter(|part| !part.is_empty()) {
        let (first, last) = part.split_once('-').unwrap_or((part, part));
        if let (Ok(first), Ok(last)) = (first.parse::<u8>(), last.parse::<u8>()) {
            passes.extend(first..=last);
        }
    }
    passes.retain(|pass| (1..=99).contains(pass));
    passes.sort_unstable();
    passes.dedup();
    passes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bar_lines_are_read_liberally() {
        let line = |closes, opens, stroke, endings: &[u8]| AbcBarLine {
            closes,
            opens,
            stroke,
            endings: endings.to_vec(),
        };
        let twice = Some(Times::AsUsual);
        for (text, expected, rest) in [
            ("|A", line(None, false, Stroke::Single, &[]), "A"),
            ("||", line(None, false, Stroke::Double, &[]), ""),
            ("|]", line(None, false, Stroke::Final, &[]), ""),
            ("|:", line(None, true, Stroke::Single, &[]), ""),
            (":|", line(twice, false, Stroke::Single, &[]), ""),
            ("::", line(twice, true, Stroke::Single, &[]), ""),
            (":||:", line(twice, true, Stroke::Single, &[]), ""),
            (":|2A", line(twice, false, Stroke::Single, &[2]), "A"),
            ("|1,3 ", line(None, false, Stroke::Single, &[1, 3]), " "),
            (":|[2", line(twice, false, Stroke::Single, &[2]), ""),
            (
                "::|",
                line(Some(Times::Count(3)), false, Stroke::Single, &[]),
                "",
            ),
            ("|[CE]", line(None, false, Stroke::Single, &[]), "[CE]"),
        ] {
            assert_eq!(bar_line(text), Some((expected, rest)), "{text}");
        }
        assert_eq!(bar_line(": A"), None);
        assert_eq!(ending("[1-3A"), Some((vec![1, 2, 3], "A")));
    }
}
