//! Mistakes and warnings on the terminal: the line they are in, underlined, with what was expected.
//!
//! The library says what is wrong as data ([`Diagnostic`]); this is the one place that draws it.

use std::ops::Range;

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level as Drawn, Origin, Renderer, Snippet};
use compline::chart::{Diagnostic, Level};
use compline::check::Severity;
use compline::formats::{Shown, opinion_words};

use super::visible::{in_one_line, veiled, visible};

/// How messages are drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DrawStyle {
    /// With colour.
    pub colour: bool,
}

impl DrawStyle {
    fn renderer(self) -> Renderer {
        let renderer = if self.colour {
            Renderer::styled()
        } else {
            Renderer::plain()
        };
        renderer.decor_style(DecorStyle::Ascii)
    }

    /// The problems of one chart, in order, a blank line between them.
    pub fn problems<'a>(
        self,
        name: &str,
        source: &str,
        problems: impl IntoIterator<Item = &'a Diagnostic>,
    ) -> String {
        problems
            .into_iter()
            .map(|p| self.problem(name, source, p) + "\n\n")
            .collect()
    }

    fn problem(self, name: &str, source: &str, problem: &Diagnostic) -> String {
        let excerpt = Excerpt::of(source, &problem.span);
        let annotation = AnnotationKind::Primary
            .span(excerpt.span.clone())
            .label(visible(&problem.label));
        let snippet = Snippet::source(veiled(excerpt.text))
            .line_start(excerpt.line)
            .path(in_one_line(name))
            .annotation(annotation);
        let mut group = drawn(problem.level)
            .primary_title(visible(&problem.message))
            .element(snippet);
        if let Some(help) = &problem.help {
            group = group.element(Drawn::HELP.message(visible(help)));
        }
        self.renderer().render(&[group])
    }

    /// A finding in its chart: the line it is in where there is a text, else where it is in words. What
    /// would mend it is left out where the next finding says it.
    pub fn finding(
        self,
        name: &str,
        source: Option<&str>,
        shown: &Shown<'_>,
        mended_by_next: bool,
    ) -> String {
        let finding = shown.finding;
        let title = level(finding.severity)
            .primary_title(visible(&finding.message))
            .id(finding.rule.name);
        let place = shown.place();
        let mut group = match (source, finding.place.span) {
            (Some(source), Some(span)) => {
                let line = shown.region.map_or(1, |region| region.line);
                let excerpt = Excerpt::at(source, &span.range(), line);
                let annotation = AnnotationKind::Primary.span(excerpt.span.clone());
                title.element(
                    Snippet::source(veiled(excerpt.text))
                        .line_start(excerpt.line)
                        .path(in_one_line(name))
                        .annotation(annotation.label(visible(&place).into_owned())),
                )
            }
            _ => {
                let line = shown.region.map(|region| format!(":{}", region.line));
                let whole = format!("{name}{}", line.unwrap_or_default());
                let note = [whole, place].join(if shown.place().is_empty() { "" } else { ": " });
                title.element(Origin::path(visible(&note).into_owned()))
            }
        };
        if let Some(opinion) = &finding.opinion {
            group = group.element(Drawn::NOTE.message(opinion_words(opinion)));
        }
        if !mended_by_next {
            group = group.element(Drawn::HELP.message(visible(&shown.mend()).into_owned()));
        }
        self.renderer().render(&[group]) + "\n\n"
    }

    /// A message that stands at no place of a chart.
    pub fn plain(self, level: Level, message: &str, help: Option<&str>) -> String {
        let mut group = Group::with_title(drawn(level).primary_title(visible(message)));
        if let Some(help) = help {
            group = group.element(Drawn::HELP.message(visible(help)));
        }
        self.renderer().render(&[group]) + "\n"
    }
}

fn drawn(level: Level) -> Drawn<'static> {
    match level {
        Level::Error => Drawn::ERROR,
        Level::Warning => Drawn::WARNING,
    }
}

fn level(severity: Severity) -> Drawn<'static> {
    match severity {
        Severity::Error => Drawn::ERROR,
        Severity::Warning => Drawn::WARNING,
        Severity::Note => Drawn::NOTE,
    }
}

/// How much of a line is drawn behind the place in question, in bytes: far more than is shown.
const BEHIND: usize = 1_000;

/// The lines a span touches, cut out so that drawing takes no longer in a long chart.
struct Excerpt<'a> {
    text: &'a str,
    line: usize,
    span: Range<usize>,
}

impl<'a> Excerpt<'a> {
    fn of(source: &'a str, span: &Range<usize>) -> Self {
        let before = source.get(..span.start).unwrap_or_default();
        Self::at(source, span, before.matches('\n').count() + 1)
    }

    /// A span that starts in a line with a known number, so that nobody need count.
    fn at(source: &'a str, span: &Range<usize>, line: usize) -> Self {
        let before = source.get(..span.start).unwrap_or_default();
        let start = before.rfind(['\n', '\r']).map_or(0, |at| at + 1);
        let after = source.get(span.end..).unwrap_or_default();
        let end = after.find(['\n', '\r']);
        let end = end.map_or(source.len(), |at| span.end + at);
        // What is far behind the place is not shown anyway.
        let shown = span.end..=end.min(span.end + BEHIND);
        let between_letters = |at: &usize| source.is_char_boundary(*at);
        let end = shown.rev().find(between_letters).unwrap_or(span.end);
        Self {
            text: source.get(start..end).unwrap_or_default(),
            line,
            span: span.start - start..span.end - start,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problem(span: Range<usize>) -> Diagnostic {
        Diagnostic {
            level: Level::Error,
            message: "no such chord".into(),
            span,
            label: "expected a chord".into(),
            help: Some("write N.C. for silence".into()),
        }
    }

    #[test]
    fn carets_stand_under_the_fault_after_wide_and_accented_text() {
        let source = "title: é\n| B♭7 | Xm |\n";
        let at = source.find("Xm").unwrap();
        let shown = DrawStyle { colour: false }.problems("q.chart", source, &[problem(at..at + 2)]);
        let lines: Vec<&str> = shown.lines().collect();
        assert_eq!(lines[0], "error: no such chord");
        assert!(lines[1].ends_with("q.chart:2:9"), "{shown}");
        let text = lines[3].chars().position(|c| c == 'X');
        let caret = lines[4].chars().position(|c| c == '^');
        assert_eq!(text, caret, "{shown}");
    }

    #[test]
    fn a_span_at_the_end_of_the_text_is_drawn() {
        let shown = DrawStyle { colour: false }.problems("q.chart", "|: C", &[problem(4..4)]);
        assert!(shown.contains("q.chart:1:5"), "{shown}");
    }
}
