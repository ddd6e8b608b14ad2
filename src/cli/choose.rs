//! `scullery choose STUDY`

use std::io::IsTerminal;
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;

use clap::Args;

use super::interrupt::stop_on_interrupt;
use super::options::Studying;
use super::simulate::Progress;
use super::{COULD_NOT, Failure, INTERRUPTED, NONE_MEETS, complain, place};
use crate::report::choice::{csv, json, table};
use crate::report::{out, points};
use crate::study::choose::{Choice, End, Ended, choose};
use crate::study::design::{Study, checked};
use crate::study::play;
use crate::study::replicate::Watch;

/// Choose the cheapest design of a study that keeps all its targets, with a stated confidence
///
/// Plays as many evenings of each design as it takes and no more: designs that miss a target or cost more
/// are dropped as soon as the evenings say so.
#[derive(Debug, Args)]
#[command(after_long_help = ABOUT)]
pub struct Choose {
    /// Study file (TOML) with a table [choose] and a tolerance for each target; - is standard input
    study: PathBuf,

    #[command(flatten)]
    common: Studying,
}

const ABOUT: &str = "\
Procedure: every design is tested against every target and every pair of designs for the lower cost, evening \
by evening, on the same guests, soil and luck (AK+ of Andradóttir and Kim 2010, with the constants of Kim and \
Nelson 2001 for means and Wald's test for shares of evenings, the error split evenly by Bonferroni).

Guarantee: if some design keeps every target with its tolerance to spare and is cheaper by the indifference \
amount than every other that does not miss a target by its tolerance, it is chosen with the stated confidence. \
A design that misses a target by its tolerance or more is chosen with at most the rest. Means are taken to be \
normal, as sums over an evening nearly are; shares of evenings need no such thing.

Exit codes:
    0  chosen
    1  it could not be done (disk, permission), or not decided within the evenings allowed
    2  the command line or a file needs mending
    3  done, but no design keeps all targets; the closest is named
  130  interrupted; what was seen is written";

impl Choose {
    /// Read, check, choose, write, print.
    pub fn run(self) -> Result<ExitCode, Failure> {
        let study = self.read()?;
        let threads = self.common.threads as usize;
        checked::check(&study, 0..study.points(), play::threads(threads))
            .map_err(Failure::Mistakes)?;
        if let Some(note) = points::repeated(&study).filter(|_| !self.common.quiet) {
            complain(&format!("note: {note}\n"));
        }
        let folder = self.common.folder(&study)?;
        let watch = Arc::new(Watch::default());
        stop_on_interrupt(&watch)?;
        let shown = !self.common.quiet && std::io::stderr().is_terminal();
        let progress = Progress::counting(shown, &watch);
        let choice = choose(&study, threads, &watch);
        progress.stop();
        let choice = choice.map_err(failure)?;
        csv::write_all(&choice, &study, &folder)?;
        let files = folder.keep()?;
        self.print(&choice)?;
        let code = code(&choice);
        if !self.common.quiet {
            place::say_files(files, folder.path());
        }
        Ok(code)
    }

    fn read(&self) -> Result<Study, Failure> {
        let study = self.common.read(&self.study)?;
        crate::study::choose::rules::of(&study).map_err(Failure::Mistakes)?;
        Ok(study)
    }

    fn print(&self, choice: &Choice) -> Result<(), Failure> {
        if self.common.json {
            out::print(&json::document(choice)?)?;
        } else if !self.common.quiet {
            out::print(&table::table(choice))?;
        }
        Ok(())
    }
}

fn code(choice: &Choice) -> ExitCode {
    match choice.end {
        End::Chosen { .. } => ExitCode::SUCCESS,
        End::NoneMeets(_) => ExitCode::from(NONE_MEETS),
        End::Undecided { .. } => {
            complain(
                "error: not decided within the evenings that a design may have\n\
                 help: raise `at_most`, the indifference or a tolerance in the study\n",
            );
            ExitCode::from(COULD_NOT)
        }
        End::Interrupted { .. } => {
            complain("interrupted before anything was chosen; what was seen is written\n");
            ExitCode::from(INTERRUPTED)
        }
    }
}

fn failure(ended: Ended) -> Failure {
    match ended {
        Ended::Wrong(mistakes) => Failure::Mistakes(mistakes),
        Ended::Absent {
            design,
            measure,
            replication,
        } => Failure::Refused(
            vec![format!(
                "`{}` has no value in evening {replication} of {design}",
                measure.info().name
            )],
            "choose and set targets by measures that every evening of every design has; the cost needs [prices]"
                .into(),
        ),
    }
}
