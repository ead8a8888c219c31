//! `completions` and `man`: what a shell and a manual reader need.

use super::Status;
use super::args::{self, CompletionsArguments};
use super::terminal::Terminal;

/// Prints the completion script.
pub fn completions(
    arguments: &CompletionsArguments,
    terminal: &mut Terminal,
) -> anyhow::Result<Status> {
    let mut script = Vec::new();
    let mut command = args::command();
    clap_complete::generate(arguments.shell, &mut command, "compline", &mut script);
    terminal.write(&script)?;
    terminal.flush()?;
    Ok(Status::Done)
}

/// Prints the manual page of the program, and after it one of each command.
pub fn man(terminal: &mut Terminal) -> anyhow::Result<Status> {
    let mut command = args::command();
    command.build();
    let mut page = Vec::new();
    clap_mangen::Man::new(command.clone()).render(&mut page)?;
    for part in command.get_subcommands().filter(|part| !part.is_hide_set()) {
        clap_mangen::Man::new(part.clone()).render(&mut page)?;
    }
    terminal.write(&page)?;
    terminal.flush()?;
    Ok(Status::Done)
}
