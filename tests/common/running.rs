//! A program that runs beside a test and never outlives it.

use std::fs;
use std::io::Read;
use std::process::{Child, Command, ExitStatus, Output, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use nix::sys::signal::{self, Signal};
use nix::unistd::Pid;

/// Only against waiting for ever.
const MAX: Duration = Duration::from_secs(300);

/// Ended and reaped when it is dropped, also by a test that fails.
pub struct Running(Child);

impl Running {
    /// Starts a command that reads nothing.
    pub fn start(command: &mut Command) -> Self {
        let started = command.stdin(Stdio::null()).spawn();
        Self(started.unwrap_or_else(|error| panic!("{command:?}: {error}")))
    }

    /// The same; what it prints is kept for `output`.
    pub fn start_piped(command: &mut Command) -> Self {
        Self::start(command.stdout(Stdio::piped()).stderr(Stdio::piped()))
    }

    pub fn id(&self) -> u32 {
        self.0.id()
    }

    /// How it ended, if it has.
    pub fn ended(&mut self) -> Option<ExitStatus> {
        self.0.try_wait().expect("it is ours")
    }

    pub fn send(&self, signal: Signal) {
        send(self.id(), signal).expect("it is there");
    }

    /// Ends it as a loss of power would.
    pub fn kill(&mut self) {
        self.0.kill().expect("it is ours");
        self.0.wait().expect("it is ours");
    }

    /// Processor time so far, in hundredths of a second.
    pub fn processor_ticks(&self) -> u64 {
        let stat = fs::read_to_string(format!("/proc/{}/stat", self.id())).expect("it is there");
        let after_name = stat.rsplit_once(')').expect("a name").1;
        let ticks = after_name.split_whitespace().nth(11);
        ticks.and_then(|ticks| ticks.parse().ok()).expect("ticks")
    }

    /// Waits until it has computed for so many hundredths of a second.
    pub fn wait_until_busy(&mut self, ticks: u64) {
        while self.processor_ticks() < ticks {
            assert_eq!(self.ended(), None, "it ended by itself");
            sleep(Duration::from_millis(20));
        }
    }

    /// Waits for its end.
    pub fn wait(&mut self) -> ExitStatus {
        let begun = Instant::now();
        loop {
            if let Some(status) = self.ended() {
                return status;
            }
            assert!(begun.elapsed() < MAX, "it does not end");
            sleep(Duration::from_millis(10));
        }
    }

    /// Waits for its end; with what it printed.
    pub fn output(mut self) -> Output {
        // Both pipes are read while it runs: a full one would stop it.
        let (out, err) = (drain(self.0.stdout.take()), drain(self.0.stderr.take()));
        let status = self.wait();
        let [stdout, stderr] = [out, err].map(|reader| reader.join().expect("it only reads"));
        Output {
            status,
            stdout,
            stderr,
        }
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn drain(pipe: Option<impl Read + Send + 'static>) -> std::thread::JoinHandle<Vec<u8>> {
    std::thread::spawn(move || {
        let mut bytes = Vec::new();
        if let Some(mut pipe) = pipe {
            pipe.read_to_end(&mut bytes).expect("a pipe");
        }
        bytes
    })
}

/// Sends a signal to any process.
pub fn send(id: u32, signal: Signal) -> nix::Result<()> {
    signal::kill(Pid::from_raw(id.cast_signed()), signal)
}
