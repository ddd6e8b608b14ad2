//! Files that one run at a time may have, by a lock that goes when the file is closed.

use std::fs::{File, OpenOptions, TryLockError};
use std::io;
use std::path::Path;

use super::Problem;
use crate::report::ReportError;
use crate::scenario::regular;

/// A file to write, held by this run alone; made if it is not there, and as it was if it is.
///
/// # Errors
/// If another run has it, or the disk would not.
pub fn to_write(path: &Path) -> Result<File, Problem> {
    let mut options = OpenOptions::new();
    let options = options.read(true).write(true).create(true).truncate(false);
    let file = regular::open(path, options).map_err(|cause| failed(path, cause))?;
    match file.try_lock() {
        Ok(()) => Ok(file),
        Err(TryLockError::WouldBlock) => Err(another(path)),
        Err(TryLockError::Error(cause)) => Err(failed(path, cause)),
    }
}

/// A file to remove, held by this run until then; none if it is not there. Where files cannot be locked nobody can
/// be writing either, as [`to_write`] refuses.
///
/// # Errors
/// If another run has it, or the disk would not.
pub fn to_remove(path: &Path) -> Result<Option<File>, Problem> {
    let file = match regular::open_to_read(path) {
        Ok(file) => file,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(failed(path, error)),
    };
    match file.try_lock() {
        Err(TryLockError::WouldBlock) => Err(another(path)),
        _ => Ok(Some(file)),
    }
}

fn another(path: &Path) -> Problem {
    Problem::refused(
        format!("another run is writing {}", path.display()),
        "wait for it, or choose another folder with --out",
    )
}

fn failed(path: &Path, cause: io::Error) -> Problem {
    let path = path.to_path_buf();
    Problem::Report(ReportError::File { path, cause })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_one_run_writes_no_other_writes_or_removes() {
        let root = tempfile::tempdir().unwrap();
        let path = root.path().join("part-1-of-1.txt");
        assert!(to_remove(&path).unwrap().is_none());
        let held = to_write(&path).unwrap();
        let is_refused = |problem| matches!(problem, Problem::Refused(..));
        assert!(is_refused(to_write(&path).unwrap_err()));
        assert!(is_refused(to_remove(&path).unwrap_err()));
        drop(held);
        let held = to_remove(&path).unwrap().unwrap();
        assert!(is_refused(to_write(&path).unwrap_err()));
        drop(held);
        to_write(&path).unwrap();
    }
}
