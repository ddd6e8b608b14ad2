//! A bar on standard error, only on a terminal, and the ear for interrupts.

use std::sync::Arc;
use std::sync::atomic::Ordering;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};

use super::{Failure, INTERRUPTED};
use crate::study::replicate::Watch;

/// The first interrupt ends the run in good order; the second ends the program at once.
pub fn stop_on_interrupt(watch: &Arc<Watch>) -> Result<(), Failure> {
    let watch = Arc::clone(watch);
    ctrlc::set_handler(move || {
        if watch.interrupted.swap(true, Ordering::Relaxed) {
            std::process::exit(i32::from(INTERRUPTED));
        }
    })
    .map_err(|error| Failure::System(format!("cannot listen for interrupts: {error}")))
}

/// A bar, fed by looking at the count now and then.
pub struct Progress {
    bar: ProgressBar,
    watcher: Option<std::thread::JoinHandle<()>>,
}

impl Progress {
    /// Begins to show how many of the wanted replications are done.
    pub fn start(shown: bool, wanted: u64, watch: &Arc<Watch>) -> Self {
        if !shown {
            return Self {
                bar: ProgressBar::hidden(),
                watcher: None,
            };
        }
        let bar = ProgressBar::new(wanted);
        let style = ProgressStyle::with_template("{bar:40} {pos} of {len} evenings, {eta} left");
        bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()));
        Self::watching(bar, watch)
    }

    /// Begins to show how many replications are done, where nobody knows how many it will take.
    pub fn counting(shown: bool, watch: &Arc<Watch>) -> Self {
        if !shown {
            return Self::start(false, 0, watch);
        }
        let bar = ProgressBar::new_spinner();
        let style = ProgressStyle::with_template("{spinner} {pos} evenings, {elapsed}");
        bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_spinner()));
        Self::watching(bar, watch)
    }

    fn watching(bar: ProgressBar, watch: &Arc<Watch>) -> Self {
        let (own, watch) = (bar.clone(), Arc::clone(watch));
        let watcher = std::thread::spawn(move || {
            while !own.is_finished() {
                own.set_position(watch.done.load(Ordering::Relaxed));
                std::thread::sleep(Duration::from_millis(50));
            }
        });
        Self {
            bar,
            watcher: Some(watcher),
        }
    }

    /// Takes the bar away.
    pub fn stop(self) {
        self.bar.finish_and_clear();
        if let Some(watcher) = self.watcher {
            // It only counts; whether it ended well does not matter.
            let _ = watcher.join();
        }
    }
}
