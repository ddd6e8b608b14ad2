//! The parts of a study: what is written while design points are played, and how parts become one table.
//!
//! | file | does |
//! |---|---|
//! | [`share`] | which points belong to which part |
//! | `lock` | files that one run at a time may have |
//! | [`seal`] | lines with a running checksum |
//! | [`stamp`] | what makes two parts those of the same study |
//! | [`part`] | the file of a part: locked, resumed where it stopped, appended to |
//! | [`rows`] | heads and rows of the tables |
//! | [`journal`] | the evenings of a choice that is under way |
//! | [`gather`] | all parts checked and put together |
//!
//! A part holds the very rows of the tables, as text, so that gathering only sorts them: the tables of a
//! study are the same bytes on one machine and on a thousand. Parts lie in the folder `parts` below the
//! output folder.

pub mod gather;
pub mod journal;
mod lock;
pub mod part;
pub mod rows;
pub mod seal;
pub mod share;
pub mod stamp;

use super::ReportError;

/// Name of the folder of the parts.
pub const FOLDER: &str = "parts";

/// Why parts could not be written or gathered.
#[derive(Debug)]
pub enum Problem {
    /// The disk would not.
    Report(ReportError),
    /// What lies there does not fit; what is wrong, and the cure.
    Refused(Vec<String>, String),
}

impl From<ReportError> for Problem {
    fn from(error: ReportError) -> Self {
        Self::Report(error)
    }
}

impl Problem {
    /// One thing that does not fit, and the cure.
    fn refused(what: impl Into<String>, cure: impl Into<String>) -> Self {
        Self::Refused(vec![what.into()], cure.into())
    }
}

#[cfg(test)]
#[cfg(target_os = "linux")]
mod tests {
    use std::os::fd::AsRawFd as _;
    use std::os::unix::fs::symlink;
    use std::path::Path;
    use std::sync::mpsc;
    use std::time::Duration;

    use super::share::Share;
    use super::*;
    use crate::study::design::read;

    /// The message of a call that must not wait for the other end of a pipe.
    fn refused<T>(call: impl FnOnce() -> Result<T, Problem> + Send + 'static) -> String {
        let (done, waits) = mpsc::channel();
        std::thread::spawn(move || {
            let Err(Problem::Report(error)) = call() else {
                return;
            };
            let _ = done.send(error.to_string());
        });
        let waited = waits.recv_timeout(Duration::from_secs(300));
        waited.expect("it is refused rather than waited for")
    }

    #[test]
    fn a_pipe_in_place_of_a_file_is_refused() {
        let (reader, _writer) = std::io::pipe().unwrap();
        let root = tempfile::tempdir().unwrap();
        let share = Share { part: 1, of: 1 };
        let study = || read::read(Path::new("tests/sweeps/supper.toml")).unwrap();
        let stamp = stamp::Stamp::of(&study(), 1, false);
        for name in ["evenings.txt", "study.json", "part-1-of-1.txt"] {
            let pipe = format!("/proc/self/fd/{}", reader.as_raw_fd());
            symlink(pipe, root.path().join(name)).unwrap();
        }
        type Call = Box<dyn FnOnce(&Path, stamp::Stamp) -> Result<(), Problem> + Send>;
        let calls: [Call; 7] = [
            Box::new(move |at, _| journal::Journal::open(at, &study()).map(drop)),
            Box::new(|at, _| journal::throw_away(at)),
            Box::new(|at, _| stamp::Stamp::there(at).map(drop)),
            Box::new(|at, stamp| stamp.agree(at)),
            Box::new(move |at, stamp| part::Part::open(at, &stamp, share).map(drop)),
            Box::new(|at, _| part::throw_away(at)),
            Box::new(|at, stamp| gather::check(at, &stamp).map(drop)),
        ];
        for call in calls {
            let (at, stamp) = (root.path().to_owned(), stamp.clone());
            let message = refused(move || call(&at, stamp));
            assert!(message.contains("it is a pipe, not a file"), "{message}");
            assert!(message.contains("help: remove it"), "{message}");
        }
        assert_eq!(part::finished(root.path(), &stamp, share), 0);
    }
}
