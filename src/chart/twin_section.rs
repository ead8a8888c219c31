//! Sections of one name in a chart whose `play` line goes by names.

use std::collections::BTreeSet;

use super::{Chart, Diagnostic, Field};

/// A warning for each section that the `play` line can't mean, since an earlier one has its name.
pub(super) fn warnings(chart: &Chart) -> Vec<Diagnostic> {
    let plays = |field: &Field| matches!(field, Field::Play(_));
    if !chart.header.entries.iter().any(|entry| plays(&entry.field)) {
        return Vec::new();
    }
    let mut seen = BTreeSet::new();
    let sections = chart.sections().iter();
    let twins = sections.filter(|section| {
        let name = section.name.as_deref();
        name.is_some_and(|name| !seen.insert(name))
    });
    twins
        .map(|section| {
            let name = section.name.as_deref().unwrap_or_default();
            let message =
                format!("two sections are called `{name}`, and `play` means the first of them");
            let warning = Diagnostic::warning(section.span.range(), message, "never played");
            warning.help("give each section a name of its own")
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::chart::read;

    #[test]
    fn a_second_section_of_a_name_is_asked_about_where_play_goes_by_names() {
        let chart = |play: &str| read(&format!("key: C\n{play}[A]\n| C |\n[B]\n| F |\n[A]\n| G |"));
        let warned = |play: &str| chart(play).unwrap().warnings().len();
        assert_eq!(warned("play: A B A\n"), 1);
        assert_eq!(warned(""), 0);
    }
}
