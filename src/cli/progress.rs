//! A bar on the terminal, once somebody has waited a second.

use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressStyle};

/// How far a run over many charts is.
pub struct Progress {
    /// Nothing where nobody watches.
    bar: Option<ProgressBar>,
    started: Instant,
}

impl Progress {
    /// A run over so many charts, which somebody watches or not.
    pub fn over(charts: usize, watched: bool) -> Self {
        Self {
            bar: (watched && charts > 1).then(|| bar(charts)),
            started: Instant::now(),
        }
    }

    /// So many more are done.
    pub fn add(&self, charts: usize) {
        let Some(bar) = &self.bar else {
            return;
        };
        if self.started.elapsed() > Duration::from_secs(1) {
            bar.inc(charts as u64);
        } else {
            // Counted, but not drawn: a short run shows no bar.
            bar.update(|state| state.set_pos(state.pos() + charts as u64));
        }
    }

    /// The bar makes room for something to be told.
    pub fn aside<T>(&self, tell: impl FnOnce() -> T) -> T {
        match &self.bar {
            Some(bar) => bar.suspend(tell),
            None => tell(),
        }
    }

    /// Nothing more is to be done.
    pub fn end(&self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}

fn bar(charts: usize) -> ProgressBar {
    let bar = ProgressBar::new(charts as u64);
    let style = ProgressStyle::with_template("{bar:32} {pos}/{len} charts");
    if let Ok(style) = style {
        bar.set_style(style);
    }
    bar
}
