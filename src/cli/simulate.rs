//! `scullery simulate FILE`

use std::io::IsTerminal;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

use clap::Args;

use super::options::{Playing, Showing};
use super::progress::{Progress, stop_on_interrupt};
use super::{Failure, INTERRUPTED, complain, load};
use crate::report::out::{self, OutputFolder};
use crate::report::{charts, json, table, tables_csv};
use crate::service::measure::MEASURES;
use crate::study::evening::Evening;
use crate::study::replicate::Watch;
use crate::study::{Plan, Stop, simulate};

const DEFAULT_REPLICATIONS: u64 = 1000;
/// With `--precision` and no cap given.
const PRECISION_CAP: u64 = 20_000;

/// Play a service many times: a table here, CSV files and charts in the output folder
#[derive(Debug, Args)]
#[command(after_long_help = measures_help())]
pub struct Simulate {
    /// Scenario file (TOML)
    file: PathBuf,
    #[command(flatten)]
    playing: Playing,
    #[command(flatten)]
    showing: Showing,
}

impl Simulate {
    /// Load, play, write, print.
    pub fn run(self) -> Result<ExitCode, Failure> {
        let loaded = load(&self.file)?;
        let folder = self
            .showing
            .out
            .clone()
            .unwrap_or_else(|| Path::new("output").join(&loaded.name));
        let folder = OutputFolder::open(folder)?;
        let plan = self.playing.plan();
        let watch = Arc::new(Watch::default());
        stop_on_interrupt(&watch)?;
        let progress = self.progress(&plan, &watch);
        let evening = simulate(&loaded, &plan, &watch);
        progress.stop();
        let evening = evening.map_err(Failure::System)?;
        if evening.replications == 0 {
            complain(
                "interrupted before the first replication was finished; nothing was written\n",
            );
            return Ok(ExitCode::from(INTERRUPTED));
        }
        let files = write(&evening, &folder)?;
        self.print(&evening, &folder, files)?;
        let code = if evening.interrupted {
            ExitCode::from(INTERRUPTED)
        } else {
            ExitCode::SUCCESS
        };
        Ok(code)
    }

    fn print(&self, evening: &Evening, folder: &OutputFolder, files: usize) -> Result<(), Failure> {
        if self.showing.json {
            out::print(&json::document(evening)?)?;
        } else if !self.showing.quiet {
            out::print(&table::table(evening, self.showing.units.into()))?;
        }
        if !self.showing.quiet {
            complain(&format!("{files} files in {}\n", folder.path().display()));
        }
        Ok(())
    }

    fn progress(&self, plan: &Plan, watch: &Arc<Watch>) -> Progress {
        let shown = !self.showing.quiet && std::io::stderr().is_terminal();
        let wanted = match plan.stop {
            Stop::After(count) | Stop::Precise { most: count, .. } => count,
            Stop::Only(_) => 1,
        };
        Progress::start(shown, wanted, watch)
    }
}

/// All files of an evening; how many.
fn write(evening: &Evening, folder: &OutputFolder) -> Result<usize, Failure> {
    let (tables, charts) = rayon::join(
        || tables_csv::write_all(evening, folder),
        || charts::draw_all(evening, folder),
    );
    tables?;
    charts?;
    Ok(folder.keep()?)
}

impl Playing {
    /// What was typed, as a plan.
    pub fn plan(&self) -> Plan {
        let stop = match (self.replication, self.precision) {
            (Some(replication), _) => Stop::Only(replication),
            (None, Some(relative)) => Stop::Precise {
                measure: self.on,
                relative,
                most: self.replications.unwrap_or(PRECISION_CAP),
            },
            (None, None) => Stop::After(self.replications.unwrap_or(DEFAULT_REPLICATIONS)),
        };
        Plan {
            seed: self.seed,
            stop,
            threads: self.threads as usize,
        }
    }
}

/// The contract of the measures, for `--help`.
fn measures_help() -> String {
    let mut text = String::from("Measures:\n");
    for info in MEASURES {
        let unit = if info.unit == "1" { "share" } else { info.unit };
        text += &format!("  {} ({unit}): {}\n", info.name, info.meaning);
    }
    text + "\nA measure of a part that the scenario leaves out has no value: `-` in the table, null in \
            JSON, an empty cell in CSV. Planning figures are no proof of sanitation: the machine's \
            data plate, the local code and licensed practice come first.\n"
}
