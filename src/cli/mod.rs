//! The command line: arguments are read, resolved to settings once, and handed to one file a command.
//!
//! Exit status: 0 done; 1 read, but no legal voicing or findings; 2 wrong usage, unreadable input, or
//! output that could not be written. Results go to standard output, everything else to standard
//! error. This is the only part of the program that prints or looks at the environment.

mod args;
mod batch;
mod charts;
pub mod check;
mod chord;
mod closed_output;
mod convert;
mod diagnose;
mod drill;
mod file_errors;
mod files_read;
mod folder;
mod form;
mod harmony;
mod input;
mod limits;
mod options;
mod outcome;
mod output;
mod performing;
mod progress;
mod read_file;
mod reading;
mod reharm;
mod remarks;
mod set_list;
pub mod settings;
mod settings_page;
mod shell;
mod slots;
mod terminal;
mod tidy;
mod visible;
mod voice;
mod why;
mod wishes;
mod workers;
mod written;

use std::process::ExitCode;

use args::{Command, MessageArguments};
use terminal::Terminal;

/// How a command ended, worst last.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Status {
    /// All is done.
    Done,
    /// Read, but there is no legal voicing, or a check found something.
    Findings,
    /// Wrong usage, unreadable input, or output that could not be written.
    Failed,
}

impl From<Status> for ExitCode {
    fn from(status: Status) -> Self {
        Self::from(status as u8)
    }
}

/// Runs the program on the arguments it was started with.
pub fn main() -> ExitCode {
    output::fail_at_file_limit();
    let arguments = match args::parse(args::joined(std::env::args_os())) {
        Ok(arguments) => arguments,
        Err(said) => return unparsed(&said).into(),
    };
    let mut terminal = Terminal::new(&arguments.messages);
    match run(&arguments.command, &mut terminal) {
        Ok(status) => status.into(),
        Err(error) => {
            match error.downcast_ref::<file_errors::FileErrors>() {
                Some(mistaken) => mistaken.show(&mut terminal),
                None => terminal.error(&format!("{error:#}")),
            }
            Status::Failed.into()
        }
    }
}

/// Prints the help or the version that was asked for, or what is wrong with the arguments.
fn unparsed(said: &clap::Error) -> Status {
    let mut terminal = Terminal::new(&MessageArguments::default());
    if said.use_stderr() {
        terminal.usage(said);
        return Status::Failed;
    }
    let text = match terminal.out_style().colour {
        true => said.render().ansi().to_string(),
        false => said.render().to_string(),
    };
    let written = terminal
        .write(text.as_bytes())
        .and_then(|()| terminal.flush());
    match written {
        Ok(()) => Status::Done,
        Err(error) => {
            terminal.error(&error.to_string());
            Status::Failed
        }
    }
}

fn run(command: &Command, terminal: &mut Terminal) -> anyhow::Result<Status> {
    match command {
        Command::Voice(arguments) => voice::run(arguments, terminal),
        Command::Drill(arguments) => drill::run(arguments, terminal),
        Command::Options(arguments) => options::run(arguments, terminal),
        Command::Why(arguments) => why::run(arguments, terminal),
        Command::Check(arguments) => check::run(arguments, terminal),
        Command::Chord(arguments) => chord::run(arguments, terminal),
        Command::Tidy(arguments) => tidy::run(arguments, terminal),
        Command::Convert(arguments) => convert::run(arguments, terminal),
        Command::Form(arguments) => form::run(arguments, terminal),
        Command::Harmony(arguments) => harmony::run(arguments, terminal),
        Command::Reharm(arguments) => reharm::run(arguments, terminal),
        Command::Limits(arguments) => limits::run(arguments, terminal),
        Command::Completions(arguments) => shell::completions(arguments, terminal),
        Command::Man(arguments) => shell::man(arguments, terminal),
    }
}
