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
mod compare;
mod diary;
mod options;
mod schema;
mod simulate;

use std::io::{IsTerminal, Write};
use std::path::Path;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

use crate::report::ReportError;
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
    /// The machine did not let us.
    System(String),
}

impl From<ReportError> for Failure {
    fn from(error: ReportError) -> Self {
        Self::Report(error)
    }
}

const COULD_NOT: u8 = 1;
const NEEDS_MENDING: u8 = 2;
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
