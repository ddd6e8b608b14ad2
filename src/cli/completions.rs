//! `scullery completions SHELL`

use std::process::ExitCode;

use clap::{Args, Command};
use clap_complete::Shell;

use super::{Failure, exit_codes};
use crate::report::out;

/// Print a completion script for a shell
///
/// For bash: scullery completions bash > ~/.local/share/bash-completion/completions/scullery
#[derive(Debug, Args)]
#[command(after_long_help = exit_codes(&[0, 1, 2]))]
pub struct Completions {
    /// The shell
    #[arg(value_enum)]
    shell: Shell,
}

impl Completions {
    /// Print them.
    pub fn run(self, mut program: Command) -> Result<ExitCode, Failure> {
        let name = program.get_name().to_owned();
        // The generator gives up in a panic where it cannot write, so it writes to memory.
        let mut script = Vec::new();
        clap_complete::generate(self.shell, &mut program, name, &mut script);
        out::stream(|to| to.write_all(&script))?;
        Ok(ExitCode::SUCCESS)
    }
}
