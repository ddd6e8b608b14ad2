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
use crate::words::{help, messages};

/// Choose the best design of a study that meets all its targets, with a stated confidence
///
/// Plays no more evenings of each design than are needed: designs that miss a target or cost more
/// are dropped as soon as the evenings show it.
#[derive(Debug, Args)]
#[command(after_long_help = help::CHOICE)]
pub struct Choose {
    /// Study file (TOML) with a table [choose] and a tolerance for each target; - is standard input
    study: PathBuf,

    /// Discard what an interrupted choice left in the output folder, and start again
    #[arg(long)]
    restart: bool,

    #[command(flatten)]
    common: Studying,
}

impl Choose {
    /// Read, check, choose, write, print.
    pub fn run(self) -> Result<ExitCode, Failure> {
        let study = self.read()?;
        let threads = self.common.threads as usize;
        checked::check(&study, 0..study.points(), player::threads(threads))
            .map_err(Failure::Mistakes)?;
        if let Some(note) = points::repeated(&study).filter(|_| !self.common.quiet) {
            complain(&format!("{} {note}\n", messages::NOTE));
        }
        let folder = self.common.folder(&study)?;
        let kept = folder.path().join(parts::FOLDER);
        if self.restart {
            journal::throw_away(&kept)?;
        }
        let (mut journal, earlier) = Journal::open(&kept, &study)?;
        let there: usize = earlier.iter().map(Vec::len).sum();
        if there > 0 && !self.common.quiet {
            let said = messages::resuming_choice(there) + "\n";
            complain(&study.wording.said(&said));
        }
        let watch = Arc::new(Watch::default());
        stop_on_interrupt(&watch)?;
        let shown = !self.common.quiet && std::io::stderr().is_terminal();
        let progress = Progress::counting(shown, &study.wording, &watch);
        let keep = |design: usize, played: &[Replication]| journal.add(design, played);
        let choice = go_on(&study, threads, &watch, earlier, keep);
        progress.stop();
        let choice = match choice {
            Ok(choice) => choice,
            Err(error) => {
                if matches!(error, ChooseError::Wrong(_) | ChooseError::Absent { .. }) {
                    // The study has mistakes: there is nothing to go on with.
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
            let [what, cure] = messages::UNDECIDED;
            let said = format!("error: {what}\nhelp: {cure}\n");
            complain(&choice.wording.said(&said));
            ExitCode::from(UNDECIDED)
        }
        End::Interrupted { .. } => {
            complain(&format!("{}\n", messages::CHOICE_INTERRUPTED));
            ExitCode::from(INTERRUPTED)
        }
    }
}
