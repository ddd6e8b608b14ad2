//! What ends a run early and in good order: INT, TERM and HUP. A second one ends the program at once.

use std::process::exit;
use std::sync::Arc;
use std::time::{Duration, Instant};

use super::{Failure, INTERRUPTED};
use crate::study::Watch;

/// Signals that come this soon after the first are the same request: a terminal and the shell that runs in
/// it, or a batch scheduler and its job script, both pass one on.
const SAME_REQUEST: Duration = Duration::from_secs(1);

/// The first signal ends the run in good order and keeps what is finished. A later one, unless it belongs
/// to the first, ends the program at once.
pub(super) fn stop_on_interrupt(watch: &Arc<Watch>) -> Result<(), Failure> {
    let watch = Arc::clone(watch);
    stay_through_ignored_hang_up();
    let mut first: Option<Instant> = None;
    ctrlc::set_handler(move || {
        watch.cancel();
        if first.get_or_insert_with(Instant::now).elapsed() > SAME_REQUEST {
            exit(i32::from(INTERRUPTED));
        }
    })
    .map_err(|error| Failure::System(format!("cannot listen for interrupts: {error}")))
}

/// Who starts a run with `nohup` wants it to outlive the terminal. A handler for HUP would undo that, so HUP
/// is blocked where it was ignored. Threads inherit this: call it before any is started.
#[cfg(target_os = "linux")]
fn stay_through_ignored_hang_up() {
    use nix::sys::signal::{SigSet, Signal};

    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    if ignores(&status, Signal::SIGHUP as u32) {
        let mut signals = SigSet::empty();
        signals.add(Signal::SIGHUP);
        // It fails only for a wrong argument, and the run is as good without.
        let _ = signals.thread_block();
    }
}

/// Elsewhere only unsafe code could find out whether a signal is ignored.
#[cfg(not(target_os = "linux"))]
fn stay_through_ignored_hang_up() {}

/// Whether a process with this status ignores a signal. The line is a mask in hexadecimal, signal 1 lowest.
#[cfg(target_os = "linux")]
fn ignores(status: &str, signal: u32) -> bool {
    let mask = status.lines().find_map(|line| line.strip_prefix("SigIgn:"));
    let mask = mask.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok());
    mask.is_some_and(|mask| mask & (1 << (signal - 1)) != 0)
}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use super::ignores;

    #[test]
    fn the_mask_of_ignored_signals_is_read() {
        let status = "Name:\tx\nSigBlk:\tffffffffffffffff\nSigIgn:\t0000000000001003\nSigCgt:\t0\n";
        let found: Vec<u32> = (1..=64).filter(|&n| ignores(status, n)).collect();
        assert_eq!(found, [1, 2, 13]);
        assert!(!ignores("", 1) && !ignores("SigIgn:\tnonsense", 1));
    }
}
