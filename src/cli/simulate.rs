//! `scullery simulate FILE`

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;
use std::time::Duration;

use clap::Args;
use indicatif::{ProgressBar, ProgressStyle};

use super::deliver::deliver;
use super::interrupt::stop_on_interrupt;
use super::options::{DEFAULT_REPLICATIONS, Mattering, PRECISION_CAP, Playing, Showing};
use super::{Failure, INTERRUPTED, complain, exit_codes, load};
use crate::report::out::OutputFolder;
use crate::scenario::wording::Wording;
use crate::service::measure::MEASURES;
use crate::study::advice::leave_out;
use crate::study::{Plan, Stop, Watch, simulate, simulate_and_advise_with};
use crate::words::{help, messages};

/// Play a service many times: a table here, CSV files and charts in the output folder
#[derive(Debug, Args)]
#[command(after_long_help = measures_help() + "\n" + &exit_codes(&[0, 1, 2, 130]))]
pub struct Simulate {
    /// Scenario file (TOML); - is standard input
    file: PathBuf,
    #[command(flatten)]
    playing: Playing,

    /// Leave out advice: neither try nor say what might help against problems and warnings
    ///
    /// What was seen is still said, and what keeps ware safe, such as to wash cold racks again. Trying plays at most
    /// as many evenings again as the run has.
    #[arg(long)]
    no_advice: bool,

    #[command(flatten)]
    mattering: Mattering,

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
        let progress = self.progress(&plan, &Wording::of(&loaded.scenario), &watch);
        let evening = if self.no_advice {
            simulate(&loaded, &plan, &watch)
        } else {
            // What gains less is not advised.
            let too_small = self.mattering.thresholds();
            simulate_and_advise_with(&loaded, &plan, &too_small, &watch)
        };
        progress.stop();
        let mut evening = evening?;
        if self.no_advice {
            leave_out(&mut evening);
        }
        if evening.replications == 0 {
            complain(&format!("{}\n", messages::INTERRUPTED_AT_ONCE));
            return Ok(ExitCode::from(INTERRUPTED));
        }
        let how = (plan.threads, self.showing.quiet);
        deliver(&evening, &self.showing.handing(), &folder, how)?;
        let code = if evening.interrupted {
            ExitCode::from(INTERRUPTED)
        } else {
            ExitCode::SUCCESS
        };
        Ok(code)
    }

    fn progress(&self, plan: &Plan, wording: &Wording, watch: &Arc<Watch>) -> Progress {
        // Trying advice may play as many evenings again.
        let times = if self.no_advice { 1 } else { 2 };
        let most = times * plan.stop.most();
        Progress::start(self.showing.shows_progress(), most, wording, watch)
    }
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

/// A bar on standard error, fed by looking at the count now and then.
pub(super) struct Progress {
    bar: ProgressBar,
    watcher: Option<std::thread::JoinHandle<()>>,
}

impl Progress {
    /// A bar that ends at `wanted` evenings; a hidden one unless `shown`.
    pub(super) fn start(shown: bool, wanted: u64, wording: &Wording, watch: &Arc<Watch>) -> Self {
        if !shown {
            return Self {
                bar: ProgressBar::hidden(),
                watcher: None,
            };
        }
        let bar = ProgressBar::new(wanted);
        let style = ProgressStyle::with_template(&wording.said(messages::BAR));
        bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()));
        Self::watching(bar, watch)
    }

    /// A count of evenings, where nobody knows how many it will take; a hidden one unless `shown`.
    pub(super) fn counting(shown: bool, wording: &Wording, watch: &Arc<Watch>) -> Self {
        if !shown {
            return Self::start(false, 0, wording, watch);
        }
        let bar = ProgressBar::new_spinner();
        let style = ProgressStyle::with_template(&wording.said(messages::SPINNER));
        bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_spinner()));
        Self::watching(bar, watch)
    }

    fn watching(bar: ProgressBar, watch: &Arc<Watch>) -> Self {
        let (own, watch) = (bar.clone(), Arc::clone(watch));
        let watcher = std::thread::spawn(move || {
            while !own.is_finished() {
                own.set_position(watch.done());
                std::thread::sleep(Duration::from_millis(50));
            }
        });
        Self {
            bar,
            watcher: Some(watcher),
        }
    }

    /// Takes it away.
    pub(super) fn stop(self) {
        self.bar.finish_and_clear();
        if let Some(watcher) = self.watcher {
            // It only counts; whether it ended well does not matter.
            let _ = watcher.join();
        }
    }
}

/// The contract of the measures, for `--help`.
pub(super) fn measures_help() -> String {
    let wording = Wording::default();
    let mut text = format!("{}\n", help::MEASURES);
    for info in MEASURES {
        let unit = if info.unit == "1" {
            help::SHARE
        } else {
            info.unit
        };
        text += &format!("  {} ({unit}): {}\n", info.name, wording.said(info.meaning));
    }
    text + &format!("\n{}\n", help::OF_MEASURES)
}
