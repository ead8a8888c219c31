//! The `compline` program: see [`cli`] for what it does with its arguments.

mod cli;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::main()
}
