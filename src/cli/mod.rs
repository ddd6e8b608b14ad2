//! The command line: one file a command, thin. It parses, resolves, calls the rooms above it and turns
//! what comes back into an exit code.
//!
//! | code | means |
//! |---|---|
//! | 0 | done |
//! | 1 | it could not be done: disk, permission |
//! | 2 | the command line or a file needs mending |
//! | 3 | done, but no design meets the targets |
//! | 130 | interrupted; what was finished is kept |

mod check;
mod choose;
mod compare;
mod diary;
mod interrupt;
mod options;
mod schema;
mod simulate;
mod sweep;

use std::io::{IsTerminal, Write};
use std::path::Path;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

use crate::report::ReportError;
use crate::report::parts::Problem;
use crate::scenario::{self, Loaded, Mistakes};

/// Plays a service through the dish room, event by event, many times over: what piles up, what dries
/// on, what runs short, who was busy, and when the crew gets out.
#[derive(Debug, Parser)]
#[command(
    name = "scullery",
    version,
    propagate_version = true,
    max_term_width = 100
)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Simulate(simulate::Simulate),
    Check(check::Check),
    Compare(compare::Compare),
    Diary(diary::Diary),
    Schema(schema::Schema),
    Sweep(sweep::Sweep),
    Choose(choose::Choose),
}

/// Why a command was not carried out.
#[derive(Debug)]
enum Failure {
    /// A scenario needs mending.
    Mistakes(Box<Mistakes>),
    /// The command line needs mending.
    Usage(String),
    /// Results could not be written.
    Report(ReportError),
    /// What lies in the folder, or was typed, does not fit; what is wrong, and the cure.
    Refused(Vec<String>, String),
    /// The machine did not let us.
    System(String),
}

impl From<ReportError> for Failure {
    fn from(error: ReportError) -> Self {
        Self::Report(error)
    }
}

impl From<Problem> for Failure {
    fn from(problem: Problem) -> Self {
        match problem {
            Problem::Report(error) => Self::Report(error),
            Problem::Refused(what, cure) => Self::Refused(what, cure),
        }
    }
}

const COULD_NOT: u8 = 1;
const NEEDS_MENDING: u8 = 2;
const NONE_MEETS: u8 = 3;
const INTERRUPTED: u8 = 130;

/// Reads the command line and does what it says.
#[must_use]
pub fn run() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(message) => return not_parsed(&message),
    };
    let done = match arguments.command {
        Command::Simulate(command) => command.run(),
        Command::Check(command) => command.run(),
        Command::Compare(command) => command.run(),
        Command::Diary(command) => command.run(),
        Command::Schema(command) => command.run(),
        Command::Sweep(command) => command.run(),
        Command::Choose(command) => command.run(),
    };
    done.unwrap_or_else(|failure| failure.report())
}

/// Help and version are answers, printed on standard output; anything else needs mending.
fn not_parsed(message: &clap::Error) -> ExitCode {
    let text = message.render();
    if message.use_stderr() {
        complain(&text.ansi().to_string());
        return ExitCode::from(NEEDS_MENDING);
    }
    match crate::report::out::print(&text.ansi().to_string()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => Failure::Report(error).report(),
    }
}

impl Failure {
    fn report(self) -> ExitCode {
        match self {
            Self::Mistakes(mistakes) => {
                complain(&mistakes.render(std::io::stderr().is_terminal()));
                let code = if mistakes.is_system() {
                    COULD_NOT
                } else {
                    NEEDS_MENDING
                };
                ExitCode::from(code)
            }
            Self::Usage(text) => {
                complain(&format!("error: {text}\n"));
                ExitCode::from(NEEDS_MENDING)
            }
            Self::Report(error) => {
                complain(&format!("error: {error}\n"));
                ExitCode::from(COULD_NOT)
            }
            Self::Refused(what, cure) => {
                let what: Vec<String> =
                    what.iter().map(|what| format!("error: {what}\n")).collect();
                complain(&format!("{}help: {cure}\n", what.concat()));
                ExitCode::from(NEEDS_MENDING)
            }
            Self::System(text) => {
                complain(&format!("error: {text}\n"));
                ExitCode::from(COULD_NOT)
            }
        }
    }
}

/// Says something on standard error. If even that cannot be written there is nobody to tell.
fn complain(text: &str) {
    let _ = anstream::stderr().lock().write_all(text.as_bytes());
}

fn load(file: &Path) -> Result<Loaded, Failure> {
    scenario::load(file).map_err(|mistakes| Failure::Mistakes(Box::new(mistakes)))
}
