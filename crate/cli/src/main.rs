//! `clerestory`: a leaded window's light from the command line.

mod arguments;
mod attachments;
mod buildings;
mod calc;
mod calc_help;
mod check;
mod day;
mod drawing;
mod extract;
mod fault;
mod open;
mod opening;
mod output;
mod picture;
mod ranges;
mod report;
mod scene_around;
mod table;
mod values;
mod variants;
mod walls;
mod whole_file;
mod window_lines;

use std::process::ExitCode;

use arguments::{Arguments, Command};
use clap::Parser;
use fault::CliError;

/// Exit code of every refusal, as of a wrong command line.
const REFUSED: u8 = 2;

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    match run(&arguments.command) {
        Ok(()) => ExitCode::SUCCESS,
        // The reader of the output has closed the pipe.
        Err(CliError::Output(error)) if error.kind() == std::io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(error) => {
            output::say(&format!("clerestory: {error}"));
            ExitCode::from(REFUSED)
        }
    }
}

fn run(command: &Command) -> Result<(), CliError> {
    match command {
        Command::Report(asked) => report::run(asked),
        Command::Day(asked) => day::run(asked),
        Command::Picture(asked) => picture::run(asked),
        Command::Drawing { command } => drawing::run(command),
        Command::Calc => {
            calc::run(std::io::stdin().lock(), std::io::stdout().lock()).map_err(CliError::Output)
        }
        Command::Variants(asked) => variants::run(asked),
        Command::Attach(asked) => attachments::attach(asked),
        Command::Detach(asked) => attachments::detach(asked),
        Command::Attachments(asked) => attachments::list(asked),
        Command::Check { scene, variant } => check::check(scene, variant.as_deref()),
    }
}
