//! The two streams of the program, and whether they take colour.

use std::io::{self, BufWriter, IsTerminal, StdoutLock, Write};

use compline::chart::{Diagnostic, Level};

use super::diagnose::DrawStyle;
use super::progress::Progress;

/// Standard output for results, standard error for everything else.
pub struct Terminal {
    out: BufWriter<StdoutLock<'static>>,
    style: DrawStyle,
    out_style: DrawStyle,
    /// Whether somebody watches standard error.
    watched: bool,
    progress: Progress,
}

impl Terminal {
    /// The streams of this process. Colour only on a terminal, and never with `NO_COLOR`.
    pub fn new() -> Self {
        let watched = io::stderr().is_terminal();
        let plain = std::env::var_os("NO_COLOR").is_some_and(|set| !set.is_empty());
        Self {
            out: BufWriter::with_capacity(1 << 16, io::stdout().lock()),
            style: DrawStyle {
                colour: watched && !plain,
            },
            out_style: DrawStyle {
                colour: io::stdout().is_terminal() && !plain,
            },
            watched,
            progress: Progress::over(0, false),
        }
    }

    /// A run over so many charts begins: a bar shows how far it is, once somebody has waited.
    pub fn expect(&mut self, charts: usize) {
        self.progress = Progress::over(charts, self.watched);
    }

    /// So many more of them are done.
    pub fn progress(&self, charts: usize) {
        self.progress.add(charts);
    }

    /// The run is over.
    pub fn done(&self) {
        self.progress.end();
    }

    /// How messages are drawn on standard error.
    pub fn style(&self) -> DrawStyle {
        self.style
    }

    /// How findings are drawn on standard output.
    pub fn out_style(&self) -> DrawStyle {
        self.out_style
    }

    /// Where results go.
    pub fn out(&mut self) -> &mut dyn Write {
        &mut self.out
    }

    /// Makes sure that all results have gone out.
    ///
    /// # Errors
    ///
    /// They can't be written.
    pub fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }

    /// Tells of a failure that stands at no place of a chart.
    pub fn error(&mut self, message: &str) {
        self.say(&self.style.plain(Level::Error, message, None));
    }

    /// Tells of something to know.
    pub fn warning(&mut self, message: &str, help: Option<&str>) {
        self.say(&self.style.plain(Level::Warning, message, help));
    }

    /// Tells of a failure, with what would help.
    pub fn failure(&mut self, message: &str, help: Option<&str>) {
        self.say(&self.style.plain(Level::Error, message, help));
    }

    /// Shows the problems of a chart at their places.
    pub fn problems(&mut self, name: &str, source: &str, problems: &[Diagnostic]) {
        self.say(&self.style.problems(name, source, problems));
    }

    /// Writes to standard error; when nobody can read it there is nobody to tell that either.
    pub fn say(&self, text: &str) {
        self.progress.aside(|| {
            let _ = io::stderr().lock().write_all(text.as_bytes());
        });
    }
}
