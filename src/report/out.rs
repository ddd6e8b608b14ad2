//! Where results go: a folder that is proved writable before the long work, and standard output.
//!
//! Files are written aside, in the same folder, and renamed together when the last of them is whole: on
//! failure the earlier results are all still there.
//!
//! Everything that is printed passes through [`visible`]. A reader that closes standard output early
//! (`| head`) is no mistake.

use super::ReportError;
use crate::scenario::visible;
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use tempfile::NamedTempFile;

/// A folder that exists and can be written, and the files that wait to be put there.
#[derive(Debug)]
pub struct OutputFolder {
    path: PathBuf,
    written: Mutex<Vec<(NamedTempFile, PathBuf)>>,
}

impl OutputFolder {
    /// Makes the folder, with those above it, and proves that a file can be written there.
    ///
    /// # Errors
    /// [`ReportError::Folder`], with the path, the cause and a cure.
    pub fn open(path: impl Into<PathBuf>) -> Result<Self, ReportError> {
        let path = path.into();
        match std::fs::create_dir_all(&path).and_then(|()| aside(&path)) {
            Ok(_) => Ok(Self {
                path,
                written: Mutex::default(),
            }),
            Err(cause) => Err(ReportError::Folder { path, cause }),
        }
    }

    /// The folder.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Writes the file `name` aside with `fill`; [`Self::keep`] puts it in its place, and makes the folders
    /// in `name`. Gives that path.
    ///
    /// # Errors
    /// [`ReportError::File`].
    pub fn write(
        &self,
        name: &str,
        fill: impl FnOnce(&mut dyn Write) -> io::Result<()>,
    ) -> Result<PathBuf, ReportError> {
        let path = self.path.join(name);
        match write_aside(&self.path, fill) {
            Ok(file) => {
                let mut written = self.written.lock().unwrap_or_else(PoisonError::into_inner);
                written.push((file, path.clone()));
                Ok(path)
            }
            Err(cause) => Err(ReportError::File {
                path,
                cause: underlying(cause),
            }),
        }
    }

    /// Puts all files written so far in their places; how many. Files written and not kept vanish.
    ///
    /// # Errors
    /// [`ReportError::File`], [`ReportError::Folder`]. A folder in the way of any of them, or a file in the
    /// way of a folder, leaves all earlier files as they were.
    pub fn keep(&self) -> Result<usize, ReportError> {
        let mut written = self.written.lock().unwrap_or_else(PoisonError::into_inner);
        let files = std::mem::take(&mut *written);
        if let Some((_, path)) = files.iter().find(|(_, path)| path.is_dir()) {
            return Err(ReportError::File {
                path: path.clone(),
                cause: io::ErrorKind::IsADirectory.into(),
            });
        }
        for (_, path) in &files {
            if let Some(within) = path.parent().filter(|parent| *parent != self.path) {
                std::fs::create_dir_all(within).map_err(|cause| ReportError::Folder {
                    path: within.to_owned(),
                    cause,
                })?;
            }
        }
        let count = files.len();
        for (file, path) in files {
            file.persist(&path).map_err(|failed| ReportError::File {
                path,
                cause: failed.error,
            })?;
        }
        Ok(count)
    }
}

fn write_aside(
    folder: &Path,
    fill: impl FnOnce(&mut dyn Write) -> io::Result<()>,
) -> io::Result<NamedTempFile> {
    let mut file = aside(folder)?;
    let mut buffered = BufWriter::new(&mut file);
    fill(&mut buffered)?;
    buffered.flush()?;
    drop(buffered);
    Ok(file)
}

/// The system's own error where a CSV writer has wrapped it: its kind decides what is said and done.
fn underlying(error: io::Error) -> io::Error {
    match error.downcast::<csv::Error>() {
        Ok(wrapped) => match wrapped.into_kind() {
            csv::ErrorKind::Io(cause) => cause,
            other => io::Error::other(format!("{other:?}")),
        },
        Err(error) => error,
    }
}

/// A file beside its later place, with the permissions any other new file would get.
pub(super) fn aside(folder: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".scullery-").suffix(".part");
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    builder.tempfile_in(folder)
}

/// Prints `text` on standard output; bold only reaches a terminal. JSON reads the same as it was written.
///
/// # Errors
/// [`ReportError::Stdout`], but a closed pipe is success.
pub fn print(text: &str) -> Result<(), ReportError> {
    pour(&mut anstream::stdout().lock(), &visible::of(text)).map_err(ReportError::Stdout)
}

/// Prints what a library has coloured.
///
/// # Errors
/// As [`print`].
pub fn print_styled(text: &str) -> Result<(), ReportError> {
    pour(&mut anstream::stdout().lock(), &visible::of_styled(text)).map_err(ReportError::Stdout)
}

/// Writes text on standard output with `fill`, piece by piece; a closed pipe is success.
///
/// # Errors
/// [`ReportError::Stdout`].
pub fn stream(fill: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> Result<(), ReportError> {
    let mut to = visible::Writer::new(BufWriter::new(io::stdout().lock()));
    match fill(&mut to).and_then(|()| to.flush()).map_err(underlying) {
        Err(cause) if cause.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => other.map_err(ReportError::Stdout),
    }
}

/// Writes all of `text`; a reader who has left is content with what was read.
fn pour(to: &mut dyn Write, text: &str) -> io::Result<()> {
    match to.write_all(text.as_bytes()).and_then(|()| to.flush()) {
        Err(cause) if cause.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn opening_makes_the_folder_and_leaves_nothing_in_it() {
        let root = tempfile::tempdir().unwrap();
        let folder = OutputFolder::open(root.path().join("a/b")).unwrap();
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    }

    #[test]
    fn a_file_in_the_way_is_named_with_its_cure() {
        let root = tempfile::tempdir().unwrap();
        let path = root.path().join("taken");
        std::fs::write(&path, "x").unwrap();
        let message = OutputFolder::open(&path).unwrap_err().to_string();
        assert!(message.contains("taken"), "{message}");
        assert!(message.contains("help: a file is in the way"), "{message}");
    }

    #[test]
    fn a_failed_write_leaves_the_earlier_file_whole() {
        let root = tempfile::tempdir().unwrap();
        let folder = OutputFolder::open(root.path()).unwrap();
        folder.write("a.csv", |w| w.write_all(b"whole")).unwrap();
        assert_eq!(folder.keep().unwrap(), 1);
        let failed = folder.write("a.csv", |w| {
            w.write_all(b"ha")?;
            Err(io::Error::other("pulled the plug"))
        });
        assert!(matches!(failed, Err(ReportError::File { .. })));
        assert_eq!(
            std::fs::read_to_string(root.path().join("a.csv")).unwrap(),
            "whole"
        );
        assert_eq!(std::fs::read_dir(root.path()).unwrap().count(), 1);
    }

    #[test]
    fn files_come_all_together_or_not_at_all() {
        let root = tempfile::tempdir().unwrap();
        let read = || std::fs::read_to_string(root.path().join("a.csv")).unwrap();
        let folder = OutputFolder::open(root.path()).unwrap();
        folder.write("a.csv", |w| w.write_all(b"old")).unwrap();
        folder.keep().unwrap();
        folder.write("a.csv", |w| w.write_all(b"new")).unwrap();
        assert_eq!(read(), "old");
        std::fs::create_dir(root.path().join("b.csv")).unwrap();
        folder.write("b.csv", |w| w.write_all(b"new")).unwrap();
        let message = folder.keep().unwrap_err().to_string();
        assert!(message.contains("b.csv") && message.contains("a folder of that name"));
        assert_eq!(read(), "old");
        assert_eq!(std::fs::read_dir(root.path()).unwrap().count(), 2);
    }

    #[test]
    fn folders_within_are_made_and_a_file_in_their_way_is_named() {
        let root = tempfile::tempdir().unwrap();
        let folder = OutputFolder::open(root.path()).unwrap();
        let write = || {
            folder.write("a.csv", |w| w.write_all(b"a")).unwrap();
            folder.write("charts/b.svg", |w| w.write_all(b"b")).unwrap()
        };
        std::fs::write(root.path().join("charts"), "in the way").unwrap();
        write();
        let message = folder.keep().unwrap_err().to_string();
        assert!(message.contains("a file is in the way"), "{message}");
        assert!(!root.path().join("a.csv").exists());
        std::fs::remove_file(root.path().join("charts")).unwrap();
        let path = write();
        assert_eq!(folder.keep().unwrap(), 2);
        assert_eq!(std::fs::read(path).unwrap(), b"b");
    }

    #[test]
    fn what_a_csv_writer_meets_keeps_its_kind() {
        let kind = io::ErrorKind::StorageFull;
        let fill = |to: &mut dyn Write| -> io::Result<()> {
            let mut csv = csv::Writer::from_writer(to);
            Ok(csv.write_record(["x".repeat(100_000)])?)
        };
        let met = fill(&mut Gone(kind)).unwrap_err();
        assert_eq!(underlying(met).kind(), kind);
    }

    #[cfg(unix)]
    #[test]
    fn files_can_be_read_by_whom_the_mask_allows() {
        use std::os::unix::fs::PermissionsExt;
        let root = tempfile::tempdir().unwrap();
        let plain = root.path().join("plain");
        std::fs::write(&plain, "x").unwrap();
        let folder = OutputFolder::open(root.path()).unwrap();
        let ours = folder.write("ours", |w| w.write_all(b"x")).unwrap();
        folder.keep().unwrap();
        let mode = |path: &Path| std::fs::metadata(path).unwrap().permissions().mode();
        assert_eq!(mode(&ours), mode(&plain));
    }

    struct Gone(io::ErrorKind);

    impl Write for Gone {
        fn write(&mut self, _: &[u8]) -> io::Result<usize> {
            Err(self.0.into())
        }
        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn a_reader_who_left_is_success_and_a_full_disk_is_not() {
        assert!(pour(&mut Gone(io::ErrorKind::BrokenPipe), "text").is_ok());
        assert!(pour(&mut Gone(io::ErrorKind::StorageFull), "text").is_err());
    }
}
