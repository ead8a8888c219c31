//! A file with mistakes in it, as an error that knows their places.

use std::fmt;

use compline::chart::Diagnostic;

use super::terminal::Terminal;

/// A file, its text, and everything wrong with it.
#[derive(Debug)]
pub struct FileErrors {
    name: String,
    text: String,
    problems: Vec<Diagnostic>,
}

impl FileErrors {
    /// The mistakes of a file.
    pub fn new(name: impl fmt::Display, text: String, problems: Vec<Diagnostic>) -> Self {
        let name = name.to_string();
        Self {
            name,
            text,
            problems,
        }
    }

    /// Shows them in the text.
    pub fn show(&self, terminal: &mut Terminal) {
        terminal.problems(&self.name, &self.text, &self.problems);
    }
}

impl fmt::Display for FileErrors {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let said: Vec<String> = self.problems.iter().map(ToString::to_string).collect();
        write!(f, "{}: {}", self.name, said.join("; "))
    }
}

impl std::error::Error for FileErrors {}
