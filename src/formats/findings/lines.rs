//! A finding in one line, as compilers write them: `file:line:column: severity rule: message`.

use super::{Region, Shown, UNREADABLE};

/// The line of a finding in the chart that is called so. What is about a whole line, or a whole chart,
/// has column 1; a chart that is no text has no line but the first.
pub fn finding_line(chart: &str, shown: &Shown<'_>) -> String {
    let finding = shown.finding;
    let line = shown.region.map_or(1, |region| region.line);
    let column = shown.region.and_then(|region| region.column).unwrap_or(1);
    let (severity, rule) = (finding.severity, finding.rule.name);
    let place = shown.place();
    let place = match place.is_empty() {
        true => place,
        false => format!(" ({place})"),
    };
    format!(
        "{chart}:{line}:{column}: {severity} {rule}: {}{place}\n",
        finding.message
    )
}

/// The line of something for which a chart could not be read.
pub fn unread_line(chart: &str, region: Option<Region>, message: &str) -> String {
    let line = region.map_or(1, |region| region.line);
    let column = region.and_then(|region| region.column).unwrap_or(1);
    format!("{chart}:{line}:{column}: error {UNREADABLE}: {message}\n")
}
