//! `scullery choose STUDY`

use std::io::IsTerminal;
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;

use clap::Args;

use super::interrupt::stop_on_interrupt;
use super::options::Studying;
use super::simulate::Progress;
use super::{Failure, INTERRUPTED, NONE_MEETS, UNDECIDED, complain, deliver, place};
use crate::report::choice::Chosen;
use crate::report::parts::journal::Journal;
use crate::report::parts::{self, journal};
use crate::report::pictures::Pictures;
use crate::report::{output, points};
use crate::study::Watch;
use crate::study::choose::error::ChooseError;
use crate::study::choose::{Choice, End, go_on};
use crate::study::design::{Study, checked};
use crate::study::player;
use crate::study::replications::Replication;

/// Choose the best design of a study that meets all its targets, with a stated confidence
///
/// Plays as many evenings of each design as it takes and no more: designs that miss a target or cost more
/// are dropped as soon as the evenings say so.
#[derive(Debug, Args)]
#[command(after_long_help = ABOUT)]
pub struct Choose {
    /// Study file (TOML) with a table [choose] and a tolerance for each target; - is standard input
    study: PathBuf,

    /// Throw away what an interrupted choice left in the output folder, and play all of it
    #[arg(long)]
    restart: bool,

    #[command(flatten)]
    common: Studying,
}

const ABOUT: &str = "\
Procedure: every design has a first stage of evenings, all on the same guests, soil and luck. The best so far \
leads and plays on until rare events have been seen; then every other design is held against it, and those that \
come near play further. Means are compared by empirical likelihood, which takes costs of any shape, however \
skewed; shares of evenings by Wald's test.

Guarantee: with the stated confidence no design that meets every target with its tolerance to spare is better \
than the one chosen by the indifference amount or more. A design that misses a target by its tolerance or more is \
chosen with at most the rest. A design of which an evening is never finished is out. What happens in fewer \
evenings than `rarest` (1 %) may not have been seen; nor may rare evenings that would make a design better that \
is far from the one chosen.

A choice that was interrupted goes on with the same command.

Exit codes:
    0  chosen
    1  it could not be done (disk, permission)
    2  the command line or a file needs mending
    3  done, but no design meets all targets; the closest is named
    4  not decided within the evenings allowed
  130  interrupted; what was seen is written";

impl Choose {
    /// Read, check, choose, write, print.
    pub fn run(self) -> Result<ExitCode, Failure> {
        let study = self.read()?;
        let threads = self.common.threads as usize;
        checked::check(&study, 0..study.points(), player::threads(threads))
            .map_err(Failure::Mistakes)?;
        if let Some(note) = points::repeated(&study).filter(|_| !self.common.quiet) {
            complain(&format!("note: {note}\n"));
        }
        let folder = self.common.folder(&study)?;
        let kept = folder.path().join(parts::FOLDER);
        if self.restart {
            journal::throw_away(&kept)?;
        }
        let (mut journal, earlier) = Journal::open(&kept, &study)?;
        let there: usize = earlier.iter().map(Vec::len).sum();
        if there > 0 && !self.common.quiet {
            complain(&format!("{there} evenings were played before; going on\n"));
        }
        let watch = Arc::new(Watch::default());
        stop_on_interrupt(&watch)?;
        let shown = !self.common.quiet && std::io::stderr().is_terminal();
        let progress = Progress::counting(shown, &watch);
        let keep = |design: usize, played: &[Replication]| journal.add(design, played);
        let choice = go_on(&study, threads, &watch, earlier, keep);
        progress.stop();
        let choice = match choice {
            Ok(choice) => choice,
            Err(error) => {
                if matches!(error, ChooseError::Wrong(_) | ChooseError::Absent { .. }) {
                    // The study needs mending: there is nothing to go on with.
                    journal.remove()?;
                }
                return Err(error.into());
            }
        };
        let chosen = Chosen {
            choice: &choice,
            study: &study,
        };
        let handing = self.common.handing(Pictures::None);
        let files = deliver::write(&chosen, &handing, &folder, threads)?;
        if !matches!(choice.end, End::Interrupted { .. }) {
            journal.remove()?;
        }
        output::print(&chosen, &handing)?;
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
            ExitCode::from(UNDECIDED)
        }
        End::Interrupted { .. } => {
            complain(
                "interrupted before anything was chosen; what was seen is written, and the same command goes on\n",
            );
            ExitCode::from(INTERRUPTED)
        }
    }
}
