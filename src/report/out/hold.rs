//! The right to put files into a folder: one run at a time has it, for as long as a few renames take.
//!
//! A lock of the system's own on a file that is there only so long. A run that is killed leaves the file and
//! no lock. Where the file system knows no locks nobody waits, and nobody removes what others left.

use std::fs::{File, OpenOptions, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

use crate::scenario::regular;

const NAME: &str = ".scullery.lock";
/// How often it is tried, and how long apart: ten seconds in all.
const TRIES: u32 = 500;
const APART: Duration = Duration::from_millis(20);

/// Held until it is dropped.
pub struct Hold {
    _file: File,
    path: PathBuf,
}

impl Hold {
    /// Waits for other runs; nothing where there are no locks.
    ///
    /// # Errors
    /// [`io::ErrorKind::ResourceBusy`] if another run does not come to an end.
    pub fn take(folder: &Path) -> io::Result<Option<Self>> {
        let path = folder.join(NAME);
        for _ in 0..TRIES {
            let mut options = OpenOptions::new();
            let options = options.write(true).create(true).truncate(false);
            let Ok(file) = regular::open(&path, options) else {
                return Ok(None);
            };
            match file.try_lock() {
                Ok(()) if is_at(&file, &path) => return Ok(Some(Self { _file: file, path })),
                // The holder before has removed it.
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => std::thread::sleep(APART),
                Err(TryLockError::Error(_)) => {
                    let _ = std::fs::remove_file(&path);
                    return Ok(None);
                }
            }
        }
        Err(io::ErrorKind::ResourceBusy.into())
    }
}

impl Drop for Hold {
    fn drop(&mut self) {
        // Removed while it is still locked; what stays is used by the next.
        let _ = std::fs::remove_file(&self.path);
    }
}

#[cfg(unix)]
fn is_at(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let same =
        |a: &std::fs::Metadata, b: &std::fs::Metadata| (a.dev(), a.ino()) == (b.dev(), b.ino());
    matches!((file.metadata(), path.metadata()), (Ok(a), Ok(b)) if same(&a, &b))
}

#[cfg(not(unix))]
fn is_at(_: &File, path: &Path) -> bool {
    path.exists()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_at_a_time_and_nothing_stays() {
        let folder = tempfile::tempdir().unwrap();
        let inside = std::sync::atomic::AtomicU32::new(0);
        std::thread::scope(|scope| {
            for _ in 0..4 {
                scope.spawn(|| {
                    for _ in 0..25 {
                        let _hold = Hold::take(folder.path()).unwrap().expect("locks");
                        let others = inside.fetch_add(1, std::sync::atomic::Ordering::SeqCst);
                        assert_eq!(others, 0);
                        inside.fetch_sub(1, std::sync::atomic::Ordering::SeqCst);
                    }
                });
            }
        });
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    }
}
