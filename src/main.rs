//! The `frytub` program: reads the command line, runs one command, and ends with an exit code.
//!
//! 0: done. 2: something in what was given must be changed first. 3: interrupted; what was finished is written.

mod check_cases;
mod cli;
mod compare;
mod progress;
mod reservoir;
mod show;

use std::process::ExitCode;

use clap::Parser;

use crate::cli::{Cli, Command};

/// How a command ended, when it did not fail.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Done {
    /// All that was asked for.
    Whole,
    /// Interrupted; what was finished is written.
    Partly,
}

fn main() -> ExitCode {
    let cli = Cli::parse();
    let done = match &cli.command {
        Command::Compare(options) => compare::run(options),
        Command::Reservoir(options) => reservoir::run(options),
        Command::Check { scenario } => show::check(scenario),
        Command::CheckCases(options) => check_cases::run(options),
        Command::Library { name } => show::library(name.as_deref()),
        Command::Example { name, out, list } => show::example(name.as_deref(), out.as_deref(), *list),
    };
    match done {
        Ok(Done::Whole) => ExitCode::SUCCESS,
        Ok(Done::Partly) => ExitCode::from(3),
        Err(error) => {
            // A reader that has had enough, such as a pager that was quit, is no mistake.
            if is_closed_pipe(&error) {
                return ExitCode::SUCCESS;
            }
            show::complain(&error);
            ExitCode::from(2)
        }
    }
}

fn is_closed_pipe(error: &anyhow::Error) -> bool {
    let source = error.downcast_ref::<std::io::Error>();
    source.is_some_and(|source| source.kind() == std::io::ErrorKind::BrokenPipe)
}
