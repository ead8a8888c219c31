//! What is said of a checked chart beside its findings: what was lost, other settings, what was looked at.

use compline::words::counted;

use super::check_one::Checked;
use super::tally::findings;
use crate::cli::terminal::Terminal;

/// What is to be known of a checked chart beside its findings.
pub fn tell_beside(called: &str, checked: &Checked, terminal: &mut Terminal) {
    for lost in &checked.lost {
        terminal.warning(&format!("{called}: {lost}"), None);
    }
    if !checked.voiced_under.is_empty() {
        let under = checked.voiced_under.join(", ");
        let told =
            format!("{called}: it was voiced under another {under}, which is not taken here");
        let help = "say it on the command line, or in the settings file";
        terminal.warning(&told, Some(help));
    }
    if terminal.verbose() {
        terminal.say(&in_a_line(called, checked));
    }
}

/// What was looked at of a chart, and what came of it.
fn in_a_line(called: &str, checked: &Checked) -> String {
    let row = &checked.row;
    let chords = counted(checked.slots, "chord");
    let effort = row.given.zip(row.best).map(|(given, best)| {
        format!(", an effort of {given} where {best} is the least under these settings")
    });
    format!(
        "{called}: {} of {chords} voiced{}; {}, {} waived, {} known\n",
        checked.voiced,
        effort.unwrap_or_default(),
        counted(findings(row), "finding"),
        row.waived,
        row.known
    )
}
