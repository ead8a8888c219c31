//! `chord`: how symbols are read.

use anyhow::{Result, bail};
use compline::chart::Diagnostic;
use compline::chart::sizes::MOST_SYMBOLS;
use compline::chord::{Symbol, Unread};
use compline::formats::{ChordReport, chord_schema, chord_text, unread_symbol_json};

use super::Status;
use super::args::{ChordArguments, ReportFormat};
use super::terminal::Terminal;

/// Runs the command. A symbol that can't be read doesn't stop the others.
pub fn run(arguments: &ChordArguments, terminal: &mut Terminal) -> Result<Status> {
    if arguments.schema {
        terminal.print_all(&chord_schema())?;
        return Ok(Status::Done);
    }
    if arguments.symbols.len() > MOST_SYMBOLS {
        bail!("more than {MOST_SYMBOLS} symbols: ask about the others in another run");
    }
    let mut status = Status::Done;
    for (at, text) in arguments.symbols.iter().enumerate() {
        match Symbol::read(text) {
            Ok(symbol) => explain(&symbol, at > 0, arguments, terminal)?,
            Err(unread) => {
                refuse(text, &unread, arguments.to, terminal)?;
                status = Status::Failed;
            }
        }
    }
    terminal.flush()?;
    Ok(status)
}

fn explain(
    symbol: &Symbol,
    follows: bool,
    arguments: &ChordArguments,
    terminal: &mut Terminal,
) -> Result<()> {
    let spelling = arguments.spelling.into();
    let text = match arguments.to {
        ReportFormat::Json => ChordReport::of(symbol, spelling).json(),
        ReportFormat::Text if follows => format!("\n{}", chord_text(symbol, spelling)),
        ReportFormat::Text => chord_text(symbol, spelling),
    };
    Ok(terminal.print(&text)?)
}

fn refuse(
    text: &str,
    unread: &Unread,
    format: ReportFormat,
    terminal: &mut Terminal,
) -> Result<()> {
    if format == ReportFormat::Json {
        terminal.print(&unread_symbol_json(text, unread))?;
    }
    let message = format!("`{text}` is not a chord symbol");
    let mut problem = Diagnostic::error(unread.span.clone(), message, unread.expected.as_str());
    problem.help.clone_from(&unread.help);
    terminal.problems("<symbol>", text, &[problem]);
    Ok(())
}
