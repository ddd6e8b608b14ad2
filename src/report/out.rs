//! Where results go: a folder that is proved writable before the long work, and standard output.
//!
//! Files are written aside, one by one, each closed before the next is begun, and put in their places
//! together when the last of them is whole, while files that belong to earlier results go: on failure the earlier results are all still there. What a killed
//! run left is removed by the next one into the same folder; was it killed amid the renames, its files are
//! taken back and the earlier ones put in their places. Until then they lie mixed, as no system swaps many
//! files at once.
//!
//! Everything that is printed passes through [`visible`]. A reader that closes standard output early
//! (`| head`) is no mistake.

mod hold;
mod staging;
#[cfg(test)]
mod tests;

use super::ReportError;
use crate::scenario::visible;
use hold::Hold;
use staging::{PREFIX, Put, Staging};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use tempfile::NamedTempFile;

/// A folder that exists and can be written, and the files that wait to be put there.
#[derive(Debug)]
pub struct OutputFolder {
    path: PathBuf,
    /// Nothing before the first file. Locked while a file is written, so that no more than one is open.
    written: Mutex<Option<Staging>>,
}

impl OutputFolder {
    /// Makes the folder, with those above it, proves that a file can be written there, and removes what killed
    /// runs have left.
    ///
    /// # Errors
    /// [`ReportError::Folder`], with the path, the cause and a cure.
    pub fn open(path: impl Into<PathBuf>) -> Result<Self, ReportError> {
        let path = path.into();
        match std::fs::create_dir_all(&path).and_then(|()| aside(&path)) {
            Ok(_) => {
                for folder in [&path, &path.join(super::parts::FOLDER)] {
                    remove_leftovers(folder);
                }
                Ok(Self {
                    path,
                    written: Mutex::default(),
                })
            }
            Err(cause) => Err(ReportError::Folder { path, cause }),
        }
    }

    /// The folder.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Writes the file `name` aside with `fill`; [`Self::keep`] puts it in its place, and makes the folders
    /// in `name`. Gives that path. Others that write wait: `fill` must not wait for them.
    ///
    /// # Errors
    /// [`ReportError::File`].
    pub fn write(
        &self,
        name: &str,
        fill: impl FnOnce(&mut dyn Write) -> io::Result<()>,
    ) -> Result<PathBuf, ReportError> {
        let path = self.path.join(name);
        let mut written = self.written.lock().unwrap_or_else(PoisonError::into_inner);
        let staging = match &mut *written {
            Some(staging) => Ok(staging),
            none => Staging::new(&self.path).map(|staging| none.insert(staging)),
        };
        match staging.and_then(|staging| staging.write(name, fill)) {
            Ok(()) => Ok(path),
            Err(cause) => Err(ReportError::File {
                path,
                cause: underlying(cause),
            }),
        }
    }

    /// A file of an earlier run that would lie beside results it does not belong to. If it is there, and none of that
    /// name has been written now, it goes when those are put in their places.
    pub fn remove(&self, name: &str) {
        let mut written = self.written.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(staging) = &mut *written {
            staging.remove(name);
        }
    }

    /// Puts all files written so far in their places; how many. Files written and not kept vanish.
    ///
    /// # Errors
    /// [`ReportError::File`], [`ReportError::Folder`]. All earlier files are then as they were.
    pub fn keep(&self) -> Result<usize, ReportError> {
        self.keep_by(&mut |from, to| std::fs::rename(from, to))
    }

    fn keep_by(&self, put: Put<'_>) -> Result<usize, ReportError> {
        let mut written = self.written.lock().unwrap_or_else(PoisonError::into_inner);
        written.take().map_or(Ok(0), |staging| staging.keep(put))
    }
}

/// Unless another run is just putting its files there: then that one does it.
fn remove_leftovers(folder: &Path) {
    if staging::has_leftovers(folder)
        && let Ok(Some(_hold)) = Hold::take(folder)
    {
        staging::remove_leftovers(folder);
    }
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
pub(crate) fn aside(folder: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(PREFIX).suffix(".part");
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    builder.tempfile_in(folder)
}

/// Prints `text` on standard output; bold only reaches a terminal. JSON reads the same as it was written.
///
/// # Errors
/// [`ReportError::Stdout`], but a closed pipe is success.
#[cfg(feature = "cli")]
pub fn print(text: &str) -> Result<(), ReportError> {
    pour(&mut anstream::stdout().lock(), &visible::of(text)).map_err(ReportError::Stdout)
}

/// Prints what a library has coloured.
///
/// # Errors
/// As [`print()`].
#[cfg(feature = "cli")]
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
#[cfg(any(feature = "cli", test))]
fn pour(to: &mut dyn Write, text: &str) -> io::Result<()> {
    match to.write_all(text.as_bytes()).and_then(|()| to.flush()) {
        Err(cause) if cause.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}
