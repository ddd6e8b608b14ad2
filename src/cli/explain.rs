//! `scullery explain [KEY]`

use std::process::ExitCode;

use clap::Args;

use super::{Failure, exit_codes, options};
use crate::report::{explain, out};
use crate::scenario::explain::{Found, Guide};
use crate::scenario::{fields, visible};
use crate::words::explain as words;

/// Say what a key of a scenario file means: unit, limits, default, source and an example
///
/// A key goes by its name, or by its path where several have that name: `cv`, `roster.called.once_waiting`. The name of a
/// table lists its keys.
#[derive(Debug, Args)]
#[command(after_long_help = exit_codes(&[0, 1, 2]))]
pub struct Explain {
    /// Key or table; left out, all tables are listed
    key: Option<String>,
}

impl Explain {
    /// Look it up and print it.
    pub fn run(self) -> Result<ExitCode, Failure> {
        let width = options::width();
        let Some(key) = self.key else {
            out::print(&explain::top(&fields::of_scenario(), width))?;
            return Ok(ExitCode::SUCCESS);
        };
        match Guide::new().explain(&key) {
            Found::Keys(keys) => out::print(&explain::keys(&keys, width))?,
            Found::None(near) => {
                let (title, cure) = words::unknown(&visible::quoted(&key), &near);
                return Err(Failure::Refused(vec![title], cure));
            }
        }
        Ok(ExitCode::SUCCESS)
    }
}
