//! `scullery sweep STUDY`

use std::io::IsTerminal;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

use clap::Args;

use super::deliver::deliver;
use super::interrupt::stop_on_interrupt;
use super::options::{Drawing, Studying};
use super::simulate::Progress;
use super::{Failure, INTERRUPTED, complain, exit_codes, place};
use crate::report::out::{self, OutputFolder};
use crate::report::parts::part::{self, Part};
use crate::report::parts::share::Share;
use crate::report::parts::stamp::Stamp;
use crate::report::parts::{self, gather};
use crate::report::points::Swept;
use crate::report::{ReportError, pictures, points};
use crate::study::Watch;
use crate::study::design::{Replications, Study, checked};
use crate::study::player;
use crate::study::sweep::{SweepError, sweep};
use crate::words::help::PARTS;
use crate::words::messages;

/// Play every design point of a study: a summary here, CSV files and charts in the output folder
///
/// A run that is interrupted or killed resumes with the same command, and writes the same files.
#[derive(Debug, Args)]
#[command(after_long_help = help(), mut_arg("out", |out| out.help(OUT)))]
pub struct Sweep {
    /// Study file (TOML); - is standard input
    study: PathBuf,

    /// Play only one part: I/N; in a job array, `array` (needs SLURM_ARRAY_TASK_ID, _COUNT, _MIN and _MAX) or `array/N`
    /// (needs SLURM_ARRAY_TASK_ID or JOB_COMPLETION_INDEX)
    #[arg(long, value_name = "PART", value_parser = part_of, conflicts_with = "gather")]
    part: Option<Asked>,

    /// Combine the parts in the output folder; refused unless all are there, complete and of this study
    #[arg(long)]
    gather: bool,

    /// Only check the study and all its design points
    #[arg(long, conflicts_with_all = ["part", "gather", "restart", "json"])]
    check: bool,

    /// Also write a row for each replication
    #[arg(long)]
    per_replication: bool,

    /// Discard what an earlier run left in the output folder
    #[arg(long, conflicts_with = "gather")]
    restart: bool,

    /// Replications of each design point [default: the study's]
    #[arg(short = 'n', long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..=100_000))]
    replications: Option<u64>,

    /// Design points that the table lists, best first
    #[arg(long, value_name = "N", default_value_t = 10)]
    top: usize,

    #[command(flatten)]
    drawing: Drawing,

    #[command(flatten)]
    common: Studying,
}

/// What `--out` is here.
const OUT: &str = "Folder for the results, the same for all parts [default: output/NAME]";

fn help() -> String {
    format!("{PARTS}\n\n{}", exit_codes(&[0, 1, 2, 130]))
}

/// A part as typed.
#[derive(Debug, Clone, Copy)]
enum Asked {
    /// `3/64`.
    Share(Share),
    /// `array`, or `array/64`.
    Array(Option<u64>),
}

/// Points that take more than a moment to check.
const MANY: usize = 5_000;
/// Most parts of a study.
const MAX_PARTS: u64 = 100_000;

fn part_of(text: &str) -> Result<Asked, String> {
    let like = "write it like 3/64, array or array/64";
    let of = |text: &str| text.parse().ok().filter(|of| (1..=MAX_PARTS).contains(of));
    match text.split_once('/') {
        None if text == "array" => Ok(Asked::Array(None)),
        Some(("array", count)) => of(count)
            .map(|of| Asked::Array(Some(of)))
            .ok_or(like.into()),
        Some((part, count)) => {
            let (Ok(part), Some(of)) = (part.parse::<u64>(), of(count)) else {
                return Err(like.into());
            };
            if !(1..=of).contains(&part) {
                return Err(format!("parts are counted from 1 to {of}"));
            }
            Ok(Asked::Share(Share { part, of }))
        }
        None => Err(like.into()),
    }
}

impl Sweep {
    /// Read, check, play what is left, gather.
    pub fn run(self) -> Result<ExitCode, Failure> {
        let study = self.read()?;
        let share = self.share()?;
        if self.check {
            self.check_points(&study, share, 0)?;
            out::print(&points::outline(&study))?;
            return Ok(ExitCode::SUCCESS);
        }
        let folder = self.common.folder(&study)?;
        let parts = parts_folder(&folder)?;
        if self.gather {
            return self.gather(&study, &folder, &parts);
        }
        let stamp = Stamp::of(&study, share.of, self.per_replication);
        if self.restart {
            part::throw_away(&parts)?;
            pictures::throw_away(&folder)?;
        }
        let done = part::finished(&parts, &stamp, share);
        self.check_points(&study, share, done)?;
        stamp.agree(&parts)?;
        let mut part = Part::open(&parts, &stamp, share)?;
        if let Some(code) = self.play(&study, share, &mut part)? {
            return Ok(code);
        }
        if share == Share::WHOLE {
            return self.write(&study, &folder, &parts, &stamp);
        }
        if !self.common.quiet {
            let path = part::path(&parts, share);
            let what = messages::part_finished(share.part, share.of);
            place::say(&what, &path);
        }
        Ok(ExitCode::SUCCESS)
    }

    /// The study, with what was typed instead of its own.
    fn read(&self) -> Result<Study, Failure> {
        let mut study = self.common.read(&self.study)?;
        if let Some(count) = self.replications {
            study.replications = Replications::Fixed(count);
        }
        Ok(study)
    }

    fn share(&self) -> Result<Share, Failure> {
        match self.part {
            None => Ok(Share::WHOLE),
            Some(Asked::Share(share)) => Ok(share),
            Some(Asked::Array(of)) => array(of, |name| std::env::var(name).ok()),
        }
    }

    /// Holds the points of a share that are left against the rules of a scenario.
    fn check_points(&self, study: &Study, share: Share, done: u64) -> Result<(), Failure> {
        let points = share.points(study.to_play()).skip(done as usize);
        let count = points.clone().count();
        if count > MANY && !self.common.quiet && std::io::stderr().is_terminal() {
            complain(&(messages::checking(count) + "\n"));
        }
        let threads = player::threads(self.common.threads as usize);
        checked::check(study, points, threads).map_err(Failure::Mistakes)
    }

    /// Plays what is left of a part; an exit code if it came to no end.
    fn play(
        &self,
        study: &Study,
        share: Share,
        part: &mut Part,
    ) -> Result<Option<ExitCode>, Failure> {
        if part.whole {
            return Ok(None);
        }
        let watch = Arc::new(Watch::default());
        stop_on_interrupt(&watch)?;
        let done = part.finished as usize;
        let left = share.points(study.to_play()).skip(done);
        let wanted = left.clone().count() as u64 * study.replications.most();
        if done > 0 && !self.common.quiet {
            complain(&(messages::resuming_study(done as u64) + "\n"));
        }
        let shown = !self.common.quiet && std::io::stderr().is_terminal();
        let progress = Progress::start(shown, wanted, &study.wording, &watch);
        let played = sweep(
            study,
            left,
            self.common.threads as usize,
            &watch,
            |played| part.add(study, &played, self.per_replication),
        );
        progress.stop();
        match played {
            Ok(()) => {
                part.end()?;
                Ok(None)
            }
            Err(SweepError::Interrupted) => {
                let said = messages::study_interrupted(watch.done()) + "\n";
                complain(&study.wording.said(&said));
                Ok(Some(ExitCode::from(INTERRUPTED)))
            }
            Err(error) => Err(error.into()),
        }
    }

    /// Puts parts of other runs together: as many as those runs were cut in.
    fn gather(
        &self,
        study: &Study,
        folder: &OutputFolder,
        parts: &Path,
    ) -> Result<ExitCode, Failure> {
        let there = Stamp::there(parts)?;
        let stamp = Stamp::of(study, there.parts, self.per_replication);
        stamp.agree(parts)?;
        self.write(study, folder, parts, &stamp)
    }

    fn write(
        &self,
        study: &Study,
        folder: &OutputFolder,
        parts: &Path,
        stamp: &Stamp,
    ) -> Result<ExitCode, Failure> {
        let gathered = gather::check(parts, stamp)?;
        let written = gathered.write(study, self.per_replication, self.common.json, folder)?;
        let swept = Swept {
            study,
            written: &written,
            top: self.top,
        };
        let handing = self.common.handing(self.drawing.formats());
        let how = (self.common.threads as usize, self.common.quiet);
        deliver(&swept, &handing, folder, how)?;
        Ok(ExitCode::SUCCESS)
    }
}

/// The folder of the parts, made if it is not there.
fn parts_folder(folder: &OutputFolder) -> Result<PathBuf, Failure> {
    let path = folder.path().join(parts::FOLDER);
    match std::fs::create_dir_all(&path) {
        Ok(()) => Ok(path),
        Err(cause) => Err(ReportError::Folder { path, cause }.into()),
    }
}

/// The share of a task in a job array, from the variables that batch schedulers set.
fn array(of: Option<u64>, variable: impl Fn(&str) -> Option<String>) -> Result<Share, Failure> {
    let number = |name: &str| variable(name).and_then(|text| text.trim().parse::<u64>().ok());
    let refused =
        |what: &str, cure: &str| Err(Failure::Refused(vec![what.to_string()], cure.to_string()));
    let from_1 = number("SLURM_ARRAY_TASK_ID");
    let from_0 = number("JOB_COMPLETION_INDEX").map(|index| index.saturating_add(1));
    let Some(part) = from_1.or(from_0) else {
        return refused(
            "--part array, but neither SLURM_ARRAY_TASK_ID nor JOB_COMPLETION_INDEX is set",
            "run it as a task of a job array, or write --part 3/64",
        );
    };
    let Some(of) = of else {
        let (least, most) = (
            number("SLURM_ARRAY_TASK_MIN"),
            number("SLURM_ARRAY_TASK_MAX"),
        );
        return match number("SLURM_ARRAY_TASK_COUNT") {
            Some(of) if (least, most) == (Some(1), Some(of)) && (1..=of).contains(&part) => {
                Ok(Share { part, of })
            }
            _ => refused(
                "--part array, but the number of parts is unknown: this is not the whole of an array \
                    that counts from 1",
                "give the number of parts, such as --part array/64",
            ),
        };
    };
    if (1..=of).contains(&part) {
        return Ok(Share { part, of });
    }
    refused(
        &format!("--part array/{of}, but this is task {part}"),
        "the tasks of the array are counted from 1 to that number (from 0 by JOB_COMPLETION_INDEX)",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_as_typed() {
        assert!(matches!(
            part_of("3/64"),
            Ok(Asked::Share(Share { part: 3, of: 64 }))
        ));
        assert!(matches!(part_of("array"), Ok(Asked::Array(None))));
        assert!(matches!(part_of("array/8"), Ok(Asked::Array(Some(8)))));
        for wrong in [
            "", "3", "0/4", "5/4", "1/0", "array/0", "a/b", "1/2/3", "-1/4",
        ] {
            assert!(part_of(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn shares_of_job_arrays() {
        let share = |of, set: &[(&str, &str)]| {
            let find = |name: &str| set.iter().find(|pair| pair.0 == name);
            array(of, |name| find(name).map(|pair| pair.1.to_string())).ok()
        };
        let slurm = |id| {
            [
                ("SLURM_ARRAY_TASK_ID", id),
                ("SLURM_ARRAY_TASK_COUNT", "4"),
                ("SLURM_ARRAY_TASK_MIN", "1"),
                ("SLURM_ARRAY_TASK_MAX", "4"),
            ]
        };
        assert_eq!(share(None, &slurm("3")), Some(Share { part: 3, of: 4 }));
        assert_eq!(share(Some(8), &slurm("3")), Some(Share { part: 3, of: 8 }));
        assert_eq!(share(None, &slurm("3")[..2]), None, "only some of an array");
        assert_eq!(share(Some(2), &slurm("3")), None);
        assert_eq!(share(None, &[]), None);
        let job = [("JOB_COMPLETION_INDEX", "0")];
        assert_eq!(share(Some(64), &job), Some(Share { part: 1, of: 64 }));
        assert_eq!(share(None, &job), None);
    }
}
