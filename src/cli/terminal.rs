//! The two streams of the program, and whether they take colour.

use std::io::{self, BufWriter, IsTerminal, StdoutLock, Write};

use compline::chart::{Diagnostic, Level};

use super::args::{ColorWhen, MessageArguments};
use super::closed_output;
use super::diagnose::DrawStyle;
use super::progress::Progress;
use super::visible::{cut, hides, visible};

/// Standard output for results, standard error for everything else.
pub struct Terminal {
    out: BufWriter<StdoutLock<'static>>,
    /// Whether nobody reads standard output any more.
    gone: bool,
    style: DrawStyle,
    out_style: DrawStyle,
    /// Whether somebody watches standard error.
    watched: bool,
    quiet: bool,
    verbose: bool,
    progress: Progress,
}

impl Terminal {
    /// The streams of this process.
    pub fn new(messages: &MessageArguments) -> Self {
        let watched = io::stderr().is_terminal();
        let coloured = |terminal| DrawStyle {
            colour: colour(messages.color, terminal),
        };
        Self {
            out: BufWriter::with_capacity(1 << 16, io::stdout().lock()),
            gone: false,
            style: coloured(watched),
            out_style: coloured(io::stdout().is_terminal()),
            watched: watched && !messages.quiet,
            quiet: messages.quiet,
            verbose: messages.verbose,
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

    /// Writes a result, text for people or JSON, to standard output: what would steer a terminal is
    /// shown instead.
    ///
    /// # Errors
    ///
    /// As [`Terminal::write`].
    pub fn print(&mut self, text: &str) -> io::Result<()> {
        self.write(visible(text).as_bytes())
    }

    /// Prints a result that is all there is.
    ///
    /// # Errors
    ///
    /// As [`Terminal::write`].
    pub fn print_all(&mut self, text: &str) -> io::Result<()> {
        self.print(text)?;
        self.flush()
    }

    /// Writes a result to standard output as it is: a file of another kind, or what was made visible and
    /// then coloured. Once its reader has gone, what is written is dropped: it has seen enough.
    ///
    /// # Errors
    ///
    /// It can't be written.
    pub fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
        if self.gone || bytes.is_empty() {
            return Ok(());
        }
        let written = match closed_output::is_closed() {
            true => Err(io::Error::other("it is closed")),
            false => self.out.write_all(bytes),
        };
        self.unless_gone(written)
    }

    /// Makes sure that all results have gone out.
    ///
    /// # Errors
    ///
    /// They can't be written.
    pub fn flush(&mut self) -> io::Result<()> {
        if self.gone {
            return Ok(());
        }
        let flushed = self.out.flush();
        self.unless_gone(flushed)
    }

    fn unless_gone(&mut self, written: io::Result<()>) -> io::Result<()> {
        match written {
            Err(error) if error.kind() == io::ErrorKind::BrokenPipe => {
                self.gone = true;
                Ok(())
            }
            Err(error) => {
                let told = format!("can't write to standard output: {error}");
                Err(io::Error::new(error.kind(), told))
            }
            Ok(()) => Ok(()),
        }
    }

    /// Whether nobody reads standard output any more.
    pub const fn gone(&self) -> bool {
        self.gone
    }

    /// Whether details were asked for.
    pub const fn verbose(&self) -> bool {
        self.verbose
    }

    /// Tells of a failure that stands at no place of a chart.
    pub fn error(&mut self, message: &str) {
        self.failure(message, None);
    }

    /// Tells of something to know.
    pub fn warning(&mut self, message: &str, help: Option<&str>) {
        if !self.quiet {
            self.tell(&self.style.plain(Level::Warning, message, help));
        }
    }

    /// Tells of a failure, with what would help.
    pub fn failure(&mut self, message: &str, help: Option<&str>) {
        self.tell(&self.style.plain(Level::Error, message, help));
    }

    /// Shows the problems of a chart at their places.
    pub fn problems(&mut self, name: &str, source: &str, problems: &[Diagnostic]) {
        let told: Vec<&Diagnostic> = problems
            .iter()
            .filter(|problem| !self.quiet || problem.level == Level::Error)
            .collect();
        self.tell(&self.style.problems(name, source, told));
    }

    /// Tells what is wrong with the arguments.
    pub fn usage(&self, wrong: &clap::Error) {
        let text = wrong.render();
        // What was typed is quoted; beside colours it couldn't be told what steers the terminal.
        let steers = std::env::args_os().any(|typed| hides(&typed.to_string_lossy()));
        match self.style.colour && !steers {
            true => self.tell(&cut(&text.ansi().to_string())),
            false => self.tell(&visible(&cut(&text.to_string()))),
        }
    }

    /// Says how it went; nothing that must be known.
    pub fn say(&self, text: &str) {
        if !self.quiet {
            self.tell(&visible(text));
        }
    }

    /// Findings as they were drawn, where results are something else.
    pub fn drawn(&self, text: &str) {
        if !self.quiet {
            self.tell(text);
        }
    }

    /// Writes to standard error; when nobody can read it there is nobody to tell that either.
    fn tell(&self, text: &str) {
        self.progress.aside(|| {
            let _ = io::stderr().lock().write_all(text.as_bytes());
        });
    }
}

/// Whether there is to be colour: as asked for, else as `NO_COLOR` and `CLICOLOR_FORCE` want it, else
/// where somebody looks.
fn colour(asked: ColorWhen, terminal: bool) -> bool {
    let set = |name| std::env::var_os(name).is_some_and(|value| !value.is_empty() && value != "0");
    match asked {
        ColorWhen::Always => true,
        ColorWhen::Never => false,
        ColorWhen::Auto if std::env::var_os("NO_COLOR").is_some_and(|set| !set.is_empty()) => false,
        ColorWhen::Auto => terminal || set("CLICOLOR_FORCE"),
    }
}
