//! What became of one chart, what there is to say about it, and how it is told.

use std::convert::Infallible;

use compline::arrange::{StuckSlot, Trouble, Uncarried, uncarried};
use compline::chart::{Chart, Diagnostic};

use super::Status;
use super::terminal::Terminal;

/// What became of one chart.
pub enum ChartOutcome<R> {
    /// Worked on.
    Done(R, Vec<Notice>),
    /// Its text has mistakes.
    Mistaken(Vec<Diagnostic>),
    /// No legal voicing fits some of its slots.
    Stuck(Vec<StuckSlot>),
    /// No choice of voicings can be played one after the other.
    Unplanned(String, Option<String>),
    /// It can't be read at all, or not be worked on.
    Failed(anyhow::Error),
}

impl<R> ChartOutcome<R> {
    /// The same outcome with another result.
    pub fn map<S>(self, change: impl FnOnce(R) -> S) -> ChartOutcome<S> {
        match self {
            Self::Done(result, notices) => ChartOutcome::Done(change(result), notices),
            Self::Mistaken(mistakes) => ChartOutcome::Mistaken(mistakes),
            Self::Stuck(slots) => ChartOutcome::Stuck(slots),
            Self::Unplanned(why, help) => ChartOutcome::Unplanned(why, help),
            Self::Failed(error) => ChartOutcome::Failed(error),
        }
    }
}

/// What became of a chart of which nothing was made.
pub type NoResult = ChartOutcome<Infallible>;

impl NoResult {
    /// The same, where something else could have been made.
    pub fn into_outcome<R>(self) -> ChartOutcome<R> {
        self.map(|never| match never {})
    }
}

/// What became of a chart, and what there is to say about it.
pub type ChartResult<R> = Result<(R, Vec<Notice>), NoResult>;

impl<R> From<ChartResult<R>> for ChartOutcome<R> {
    fn from(result: ChartResult<R>) -> Self {
        match result {
            Ok((result, notices)) => Self::Done(result, notices),
            Err(none) => none.into_outcome(),
        }
    }
}

impl<R> From<Trouble> for ChartOutcome<R> {
    fn from(trouble: Trouble) -> Self {
        match trouble {
            Trouble::PlayOrder(problems) => Self::Mistaken(problems.into()),
            Trouble::Stuck(slots) => Self::Stuck(slots),
            Trouble::NoPlan(why) => Self::Unplanned(why.to_string(), None),
            Trouble::Broken(step) => Self::Unplanned(step.to_string(), Some(step.help())),
        }
    }
}

impl<R> From<anyhow::Error> for ChartOutcome<R> {
    fn from(error: anyhow::Error) -> Self {
        Self::Failed(error)
    }
}

/// Something to say about a chart that was worked on.
pub enum Notice {
    /// At a place of its text.
    At(Vec<Diagnostic>),
    /// About the whole of it.
    About {
        /// What it is about, the same for all notices of its kind.
        kind: &'static str,
        /// What there is to say.
        message: String,
        /// What would help.
        help: Option<&'static str>,
    },
}

impl Notice {
    /// What the chords of a chart can't carry of its melody; `looped` where the end leads to the beginning.
    ///
    /// # Errors
    ///
    /// A play order that can't be played.
    pub fn uncarried(chart: &Chart, looped: bool) -> Result<Vec<Self>, Trouble> {
        let all = uncarried(chart, looped)?;
        let remarks = all.iter().map(|one| Self::About {
            kind: Uncarried::KIND,
            message: one.to_string(),
            help: None,
        });
        Ok(remarks.collect())
    }
}

impl Notice {
    /// What kind of notice it is, the same for all charts.
    pub fn kind(&self) -> &'static str {
        match self {
            Self::At(_) => "a symbol is read in one of two ways that are in use",
            Self::About { kind, .. } => kind,
        }
    }
}

/// Says what there is to say about a chart of this name that was worked on.
pub fn tell(name: &str, text: &str, notices: Vec<Notice>, terminal: &mut Terminal) {
    for notice in notices {
        match notice {
            Notice::At(problems) => terminal.problems(name, text, &problems),
            Notice::About { message, help, .. } => {
                terminal.warning(&format!("{name}: {message}"), help);
            }
        }
    }
}

/// Tells what went wrong with a chart of this name.
pub fn complain<R>(
    name: &str,
    text: &str,
    outcome: ChartOutcome<R>,
    terminal: &mut Terminal,
) -> Status {
    match outcome {
        ChartOutcome::Done(..) => Status::Done,
        ChartOutcome::Mistaken(problems) => {
            terminal.problems(name, text, &problems);
            Status::Failed
        }
        ChartOutcome::Stuck(slots) => {
            for slot in slots {
                complain_of_slot(name, &slot, terminal);
            }
            Status::Findings
        }
        ChartOutcome::Unplanned(why, help) => {
            terminal.failure(&format!("{name}: {why}"), help.as_deref());
            Status::Findings
        }
        ChartOutcome::Failed(error) => {
            let message = format!("{error:#}");
            match message.contains(name) {
                true => terminal.error(&message),
                false => terminal.error(&format!("{name}: {message}")),
            }
            Status::Failed
        }
    }
}

/// Tells why a slot has no voicing.
fn complain_of_slot(name: &str, stuck: &StuckSlot, terminal: &mut Terminal) {
    let StuckSlot {
        slot,
        why,
        uncarried,
    } = stuck;
    let message = format!("{name}: bar {}, beat {}: {why}", slot.bar, slot.beat);
    terminal.failure(&message, why.help().as_deref());
    if let Some(uncarried) = uncarried {
        terminal.warning(&format!("{name}: {uncarried}"), Some(Uncarried::CURE));
    }
}
