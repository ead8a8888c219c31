//! Keys that are written under a name that has no signature: `G#`, which is taken as `Ab`.

use super::{Chart, Diagnostic, Span};
use crate::pitch::Key;

/// A `key:` line of the text whose key goes by another name.
#[derive(Debug, Clone)]
struct RespelledKey {
    written: String,
    taken: Key,
    span: Span,
}

/// Such lines of the text a chart was read from, in their order; for warnings only.
///
/// All are equal: a chart is the same chart, whichever name of its key the text had.
#[derive(Debug, Clone, Default)]
pub struct RespelledKeys(Vec<RespelledKey>);

impl PartialEq for RespelledKeys {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Eq for RespelledKeys {}

impl RespelledKeys {
    /// Notes the value of a line, if its key is another than what is written.
    pub(super) fn note(&mut self, written: &str, taken: Key, span: Span) {
        if written.parse() != Ok(taken) {
            let written = written.to_owned();
            self.0.push(RespelledKey {
                written,
                taken,
                span,
            });
        }
    }
}

/// A warning for each of them.
pub(super) fn warnings(chart: &Chart) -> impl Iterator<Item = Diagnostic> + '_ {
    chart.respelled_keys.0.iter().map(|key| {
        let (written, taken) = (&key.written, key.taken);
        let message =
            format!("`{written}` would need more than seven accidentals in its signature");
        let warning = Diagnostic::warning(key.span.range(), message, format!("taken as {taken}"));
        warning.help(format!("write `key: {taken}`"))
    })
}

#[cfg(test)]
mod tests {
    use crate::chart::read;

    #[test]
    fn a_key_that_goes_by_its_other_name_is_told_with_that_name() {
        let warned = |text: &str| {
            let warnings = read(text).unwrap().warnings();
            let told = warnings
                .iter()
                .map(|told| (told.span.clone(), told.label.clone()));
            told.collect::<Vec<_>>()
        };
        let taken = |span, key: &str| vec![(span, format!("taken as {key}"))];
        assert_eq!(warned("key: Ebb\n| C |"), taken(5..8, "D"));
        assert_eq!(warned("key: G#\n| C |"), taken(5..7, "Ab"));
        assert_eq!(warned("key: Db minor\n| C |"), taken(5..13, "C#m"));
        assert_eq!(warned("key: C\n| C |\nkey: Fb\n| E |"), taken(18..20, "E"));
        assert_eq!(warned("key: Eb minor\n| C |"), []);
    }
}
