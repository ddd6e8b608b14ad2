//! `scullery check FILE`

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, ValueHint};

use super::deliver::deliver;
use super::options::{Drawing, UnitSystem, printed};
use super::{Failure, complain, exit_codes, load};
use crate::report::out::OutputFolder;
use crate::report::output::{self, Handing};
use crate::report::sheet::CheckedSheet;
use crate::room::Room;
use crate::study::sheet::Sheet;
use crate::words::messages;

/// Read a scenario, report every mistake, and print the hand-calculation sheet
#[derive(Debug, Args)]
#[command(after_long_help = exit_codes(&[0, 1, 2]))]
pub struct Check {
    /// Scenario file (TOML); - is standard input
    file: PathBuf,

    /// Print one JSON document instead of the sheet, even with --quiet
    #[arg(long)]
    json: bool,

    /// Write the chart of people needed and there into this folder
    #[arg(long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    out: Option<PathBuf>,

    #[command(flatten)]
    drawing: Drawing,

    /// Units of the sheet
    #[arg(long, value_enum, value_name = "UNITS", default_value_t = UnitSystem::Metric)]
    units: UnitSystem,

    /// Print only mistakes, and the document of --json
    #[arg(short, long)]
    quiet: bool,
}

impl Check {
    /// Load, work out, print.
    pub fn run(self) -> Result<ExitCode, Failure> {
        let loaded = load(&self.file)?;
        if !self.quiet {
            note_unversioned(&loaded.unversioned);
        }
        let room = Room::of(&loaded.scenario);
        let mut worked_out = Sheet::of(&loaded.scenario, &room);
        worked_out.locate(&loaded);
        let sheet = CheckedSheet {
            name: &loaded.name,
            digest: loaded.digest(),
            sheet: &worked_out,
        };
        let handing = Handing {
            units: self.units.into(),
            pictures: self.drawing.formats(),
            printed: printed(self.json, self.quiet),
        };
        match self.out {
            None => output::print(&sheet, &handing)?,
            Some(out) => {
                let folder = OutputFolder::open(out)?;
                deliver(&sheet, &handing, &folder, (1, self.quiet))?;
            }
        }
        Ok(ExitCode::SUCCESS)
    }
}

/// Says which files do not name their version.
fn note_unversioned(files: &[PathBuf]) {
    for file in files {
        let note = messages::unversioned(&file.display().to_string());
        complain(&format!("{} {note}\n", messages::NOTE));
    }
}
