//! `scullery check FILE`

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;

use super::{Failure, load};

/// Read a scenario, report every mistake, and print the hand-calculation sheet
#[derive(Debug, Args)]
pub struct Check {
    /// Scenario file (TOML)
    file: PathBuf,

    /// Print one JSON document instead
    #[arg(long)]
    json: bool,
}

impl Check {
    /// Load, work out, print.
    pub fn run(self) -> Result<ExitCode, Failure> {
        let _loaded = load(&self.file)?;
        Ok(ExitCode::SUCCESS)
    }
}
