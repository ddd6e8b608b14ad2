//! `scullery man`

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Args, Command, ValueHint};

use super::{Failure, exit_codes, place};
use crate::report::out::{self, OutputFolder};
use crate::version;

/// Print the manual page of the program, or of one of its commands
///
/// `scullery man | man -l -` shows it. With --out, the pages of the program and of all its commands are
/// written into a folder, such as ~/.local/share/man/man1, where `man scullery-simulate` finds them.
#[derive(Debug, Args)]
#[command(after_long_help = exit_codes(&[0, 1, 2]))]
pub struct Man {
    /// Command whose page is printed [default: the program itself]
    #[arg(value_name = "COMMAND")]
    of: Option<String>,

    /// Write all pages into this folder instead
    #[arg(long, value_name = "DIR", conflicts_with = "of", value_hint = ValueHint::DirPath)]
    out: Option<PathBuf>,
}

impl Man {
    /// Print one page, or write all.
    pub fn run(self, program: Command) -> Result<ExitCode, Failure> {
        // The built-in `help` needs no page: each command's page is its help.
        let mut program = program.disable_help_subcommand(true);
        program.build();
        match &self.out {
            Some(folder) => write(program, folder)?,
            None => {
                let page = page(self.command(program)?);
                out::stream(|to| page.render(to))?;
            }
        }
        Ok(ExitCode::SUCCESS)
    }

    /// The command asked for.
    fn command(&self, program: Command) -> Result<Command, Failure> {
        let Some(name) = &self.of else {
            return Ok(program);
        };
        program.find_subcommand(name).cloned().ok_or_else(|| {
            let names: Vec<&str> = program.get_subcommands().map(Command::get_name).collect();
            let commands = names.join(", ");
            Failure::Usage(format!(
                "there is no command `{}`\nhelp: the commands are {commands}",
                name.escape_debug()
            ))
        })
    }
}

fn page(command: Command) -> clap_mangen::Man {
    let source = format!("scullery {}", version::FULL);
    clap_mangen::Man::new(command).source(source)
}

fn write(program: Command, folder: &Path) -> Result<(), Failure> {
    let folder = OutputFolder::open(folder)?;
    let commands: Vec<Command> = program.get_subcommands().cloned().collect();
    for command in commands.into_iter().chain([program]) {
        let page = page(command);
        folder.write(&page.get_filename(), |to| page.render(to))?;
    }
    let pages = folder.keep()?;
    place::say_files(pages, folder.path());
    Ok(())
}
