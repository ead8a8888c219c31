//! What comes of a chart that is reharmonised.

use anyhow::anyhow;
use compline::arrange::{Settings, Trouble};
use compline::chart::Chart;

use crate::cli::outcome::{ChartOutcome, ChartResult, NoResult, Notice};

/// What comes of a chart, and what there is to say about it.
pub(super) type ReharmResult = ChartResult<ReharmOutput>;

/// What comes of a chart: what is written, and a table beside it.
#[derive(Default)]
pub(super) struct ReharmOutput {
    pub text: String,
    pub table: Option<String>,
    /// Charts that go into files of their own where there is a folder for them.
    pub pages: Vec<String>,
}

impl ReharmOutput {
    /// A page.
    pub fn of(page: &Chart) -> Self {
        Self::text(page.tidy())
    }

    /// A text, with nothing beside it.
    pub fn text(text: String) -> Self {
        Self {
            text,
            ..Self::default()
        }
    }

    /// With what the chords can't carry of the melody, on the page as it is now: a replacement that
    /// cures a fault takes it away, and brings none.
    ///
    /// # Errors
    ///
    /// A page that can't be played.
    pub fn on(self, page: &Chart, settings: &Settings, mut remarks: Vec<Notice>) -> ReharmResult {
        if !settings.ignore_melody {
            remarks.extend(Notice::uncarried(page, settings.looped)?);
        }
        Ok((self, remarks))
    }
}

/// What becomes of a chart among whose changes nothing can be chosen: a page that can't be planned fails.
pub(super) fn unchosen(trouble: Trouble) -> NoResult {
    match trouble {
        Trouble::NoPlan(why) => ChartOutcome::Failed(anyhow!("{why}")),
        trouble => trouble.into(),
    }
}
