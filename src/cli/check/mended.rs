//! A chart that was mended: what is said of it, and where it goes.

use anyhow::{Error, Result, anyhow};
use compline::words::counted;

use super::read_chart::ReadChart;
use crate::cli::Status;
use crate::cli::input::Source;
use crate::cli::output::{Destination, Replacing, rewrite_or_tell};
use crate::cli::remarks::{LEFT_OUT, RemarksOutcome};
use crate::cli::terminal::Terminal;

/// A chart that was mended.
pub struct MendedText {
    /// The text as it was read.
    pub before: String,
    /// The text as it is now.
    pub text: String,
    /// How many voicings are other ones now.
    pub voicings: usize,
    /// What became of the program's remarks.
    pub remarks: RemarksOutcome,
}

impl MendedText {
    /// What was mended in it, and what became of the program's remarks there; `None` where nothing was.
    pub fn what(&self) -> Option<String> {
        let what = match self.voicings {
            0 if self.before == self.text => return None,
            0 => "layout".to_owned(),
            voicings => counted(voicings, "voicing"),
        };
        Some(match self.remarks {
            RemarksOutcome::Kept => format!("{what} mended"),
            RemarksOutcome::LeftOut => format!("{what} mended; {LEFT_OUT}"),
        })
    }

    /// Writes it to a place among these, or where it was read from; what has no file goes to standard output.
    ///
    /// # Errors
    ///
    /// A place that can't be written. That its own file can't be is told, and is the status.
    pub fn put(
        &self,
        source: &Source,
        to: Option<(&Destination, usize)>,
        replacing: Replacing,
        terminal: &mut Terminal,
    ) -> Result<Status> {
        let bytes = self.text.as_bytes();
        match (to, source) {
            (Some((output, at)), _) => output.put(at, bytes, terminal)?,
            (None, Source::Stdin { .. } | Source::Tune { .. } | Source::Made { .. }) => {
                terminal.write(bytes)?;
            }
            (None, Source::File { path, .. }) => {
                let before = self.before.as_bytes();
                return Ok(rewrite_or_tell(path, before, bytes, replacing, terminal));
            }
        }
        Ok(Status::Done)
    }
}

/// Why what was read can't be mended: it is no chart, or in another key than its file.
pub fn unmendable(source: &Source, read: &ReadChart) -> Option<Error> {
    let name = source.name();
    if let Some(key) = source.asked().key.filter(|_| read.other.is_some()) {
        return Some(anyhow!(
            "{name} is asked for in {key}, and a chart is mended in the key it is written in: name the \
             chart itself"
        ));
    }
    if read.line.is_some() {
        return Some(anyhow!(
            "{name} is JSON, and only a chart can be mended: write the chart with `compline voice`, \
             and mend that"
        ));
    }
    read.other.is_some().then(|| {
        anyhow!(
            "{name} is no chart, and only a chart can be mended: make one with `compline convert`, \
             and mend that"
        )
    })
}
