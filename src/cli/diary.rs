//! `scullery diary FILE`

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, ValueHint};

use super::{Failure, complain, exit_codes, load, place};
use crate::report::{datapackage, diary, out};
use crate::room::Room;
use crate::scenario::wording::Wording;
use crate::service::Service;
use crate::words::{messages, stuck};

/// Everything that happened in one replication, as CSV on standard output
#[derive(Debug, Args)]
#[command(after_long_help = exit_codes(&[0, 1, 2]))]
pub struct Diary {
    /// Scenario file (TOML); - is standard input
    file: PathBuf,

    /// Which replication, counted from 0
    #[arg(long, value_name = "I", default_value_t = 0)]
    replication: u64,

    /// Base seed
    #[arg(long, value_name = "SEED", default_value_t = 1)]
    seed: u64,

    /// Write `diary.csv` into this folder instead [default: standard output]
    #[arg(long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    out: Option<PathBuf>,
}

impl Diary {
    /// Load, play one, write.
    pub fn run(self) -> Result<ExitCode, Failure> {
        let loaded = load(&self.file)?;
        let folder = self.out.as_ref().map(out::OutputFolder::open).transpose()?;
        let wording = Wording::of(&loaded.scenario);
        let room = Room::of(&loaded.scenario);
        let mut service = Service::new(&room);
        service.keep_diary();
        service.play(self.seed, self.replication);
        let path = match &folder {
            Some(folder) => {
                let path = folder.write("diary.csv", |to| diary::write(&service, to))?;
                let title = &loaded.scenario.title;
                datapackage::write(
                    folder,
                    title,
                    self.seed,
                    &[diary::described().said(&wording)],
                )?;
                folder.keep()?;
                Some(path)
            }
            None => {
                out::stream(|to| diary::write(&service, to))?;
                None
            }
        };
        if !service.finished() {
            let what = stuck::lines(&service.stuck());
            complain(&wording.said(&(messages::unfinished(&what) + "\n")));
        }
        if let Some(path) = path {
            place::say(&messages::lines_in(service.diary().len()), &path);
        }
        Ok(ExitCode::SUCCESS)
    }
}
