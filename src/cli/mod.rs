//! The command line: one file a command, thin.

use std::process::ExitCode;

/// Reads the command line and does what it says.
#[must_use]
pub fn run() -> ExitCode {
    ExitCode::SUCCESS
}
